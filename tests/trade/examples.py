"""One good input of every calculation, with every field that it can take at least once."""

from typing import Any

from tests.trade.jobs import Job
from tests.trade.sites import a_repair, a_site, a_step

SUPPLY = {
    "v_ab_v": 400,
    "v_bc_v": 401,
    "v_ca_v": 402,
    "nominal_v": 400,
    "rotation": "forward",
    "i_a_a": 9,
    "i_b_a": 9,
    "i_c_a": 10,
    "unbalance_limit_pct": 2,
    "unbalance_limit_source": "limits sheet",
    "unbalance_limit_mark": "P",
    "tolerance_pct": 10,
    "tolerance_source": "limits sheet",
    "tolerance_mark": "M",
}
HOLD = {
    "readings": [
        {"t_s": 0, "gauge_pa": 3.3e6, "temperature_c": 20, "barometer_pa": 101000},
        {"t_s": 43200, "gauge_pa": 3.31e6, "temperature_c": 21, "barometer_pa": 101100},
        {"t_s": 86400, "gauge_pa": 3.3e6, "temperature_c": 20, "barometer_pa": 101000},
    ],
    "volume_m3": 0.06,
    "gauge_resolution_pa": 1000,
    "temperature_uncertainty_k": 0.1,
    "leak_to_exclude_pa_m3_s": 0.01,
    "copper_growth": True,
    "filled_t_s": -900,
}
STAND = {
    "readings": [{"t_s": 600 * at, "pressure_pa": 40 + at} for at in range(7)],
    "coldest_c": 5,
    "volume_m3": 0.06,
    "limit_pa": 66,
    "limit_source": "limits sheet",
    "limit_mark": "P",
    "hold_s": 3600,
    "hold_source": "limits sheet",
    "hold_mark": "P",
    "pump_down_pa": 45,
    "pump_down_source": "limits sheet",
    "pump_down_mark": "P",
    "gauge_resolution_pa": 0.1,
}
CHARGE = {
    "refrigerant": "R-410A",
    "liquid_c": 40,
    "lines": [
        {"size": "3/8 coil", "length_m": 30},
        {"size": "own", "inner_diameter_m": 0.01, "length_m": 10},
        {"outer_diameter_m": 0.012, "wall_m": 0.001, "length_m": 10},
    ],
    "included_length_m": 10,
    "factors_kg_m": {"3/8": 0.059},
}
ROOM = {
    "refrigerant": "R-32",
    "charge_kg": 2,
    "room_m3": 30,
    "limit_kg_m3": 0.077,
    "limit_source": "mechanical code table 1103.1",
    "limit_mark": "S",
}
GAUGE = {"refrigerant": "R-407C", "gauge_pa": 8e5, "barometer_pa": 101325, "line_c": 12}
AT_ALTITUDE = {"refrigerant": "R-407C", "gauge_pa": 8e5, "altitude_m": 200, "line_c": 12}
AIR = {
    "return_db_c": 27,
    "return_wb_c": 19,
    "supply_db_c": 14,
    "supply_wb_c": 12.5,
    "flow_m3_s": 0.25,
    "flow_at": "supply",
    "barometer_pa": 101325,
    "temperature_uncertainty_k": 0.25,
    "wet_bulb_uncertainty_k": 0.25,
    "flow_uncertainty_pct": 5,
}
JOINT = {
    "straight_before_m": 0.6,
    "straight_after_m": 0.6,
    "straight_limit_m": 0.5,
    "straight_limit_source": "limits sheet",
    "straight_limit_mark": "P",
    "attitude": "level",
    "tilt_deg": 3,
    "tilt_limit_deg": 10,
    "tilt_limit_source": "limits sheet",
    "tilt_limit_mark": "P",
}
WORDS = ["0011", "0110", "1001", "1100"]
PORTS = {
    "codes": [{"unit": str(at), "code": word} for at, word in enumerate(WORDS)],
    "responses": [
        {"unit": str(at), "values": [None if at == 0 == when else 9.0 * int(bit) for when, bit in enumerate(word)]}
        for at, word in enumerate(WORDS)
    ],
    "round_s": 600,
    "lag_s": 60,
    "noise_k": 0.5,
}
COUNT = {
    "expected": [{"unit": "A", "port": "1"}, {"unit": "B", "port": 2}, {"unit": "C"}],
    "reported_units": 2,
    "reported_ports": ["1", 2],
    "fan_seen": [{"unit": "A", "running": True}],
    "powered": [{"unit": "B", "seen": False}],
}
ADDRESSES = {
    "units": [{"unit": "A", "group": "01", "central": 1, "system": "S1"}, {"unit": "B", "group": 1}],
    "others": [{"unit": "C", "group": 1, "central": "2", "system": "S2"}],
    "group_range": [1, 64],
    "central_range": [1, 128],
}
BOXES = {"boxes": [{"box": "B1", "ports": 6, "ports_per_board": 4, "used": [1, 2]}]}
ROUND = {
    "units": [
        {"unit": "A", "tag": "L1-1", "floor": "1", "floor_order": 1, "place": "office"},
        {"unit": "B", "floor": "2"},
    ],
    "start": "B",
}


def _site() -> dict[str, Any]:
    site = a_site("2026-12-01 10:00", crew={"technician": 1, "contractor": 2})
    site["zone"]["changes"] = site["zone"]["changes"][:2]
    site["steps"] = [
        a_step("hold", hours=24, calendar="clock"),
        a_step("charge", hours=2, needs=["hold"], bring=["N2"]),
    ]
    site["issues"] = [a_repair("leak", hours=2, stops=["hold"], resets=["hold"], promised_at=site["now"] + 86400)]
    return site


def _job() -> dict[str, Any]:
    job = Job()
    job.raise_issue("leak", on="J1", category="leak", promised_on="2026-12-04")
    rows = job.rows()
    rows["zone"]["changes"] = rows["zone"]["changes"][:2]
    rows["units"] = [unit for unit in rows["units"] if unit["id"] in {"M1", "B1", "L1", "J1"}]
    kept = {unit["id"] for unit in rows["units"]} | {None}
    rows["steps"] = [step for step in rows["steps"] if step["unit_id"] in kept and step["system_id"] != "S2"]
    rows["systems"] = rows["systems"][:1]
    rows["durations"] = {"charge": {"low": 3600, "likely": 7200, "high": 10800}}
    return rows


def _drawn(rows: dict[str, Any]) -> dict[str, Any]:
    asked = {"at": rows["now"] + 864000, "seed": 7, "runs": 100}
    return {**rows, **asked, "promise_kept_share": 0.8, "promise_late_shifts": 2}


def examples() -> list[tuple[str, dict[str, Any]]]:
    """Calculation and input; a calculation with two ways to say one thing comes twice."""
    return [
        ("supply_power", SUPPLY),
        ("pressure_hold", HOLD),
        ("vacuum_stand", STAND),
        ("vacuum_limits", {}),
        ("extra_charge", CHARGE),
        ("tube_sizes", {}),
        ("room_limit", ROOM),
        ("room_limits", {}),
        ("saturation", {"refrigerant": "R-454B", "pressure_pa": 9e5}),
        ("saturation", {"refrigerant": "R-32", "temperature_c": 5}),
        ("superheat", GAUGE),
        ("superheat", AT_ALTITUDE),
        ("subcooling", GAUGE),
        ("subcooling", AT_ALTITUDE),
        ("barometer", {"altitude_m": 500}),
        ("air_side", AIR),
        ("air_side", {**{name: AIR[name] for name in AIR if name != "barometer_pa"}, "altitude_m": 200}),
        ("joint_geometry", JOINT),
        (
            "port_check_plan",
            {"units": [{"unit": name, "kw": 3.6} for name in "ABCDE"], "distance": 2, "max_share_on": 0.6},
        ),
        ("port_check_read", PORTS),
        ("critical_path", {"tasks": [{"id": "A", "duration_s": 3}, {"id": "B", "duration_s": 4, "needs": ["A"]}]}),
        ("return_plan", _site()),
        ("job_plan", _job()),
        ("ready_chance", _drawn(_site())),
        ("job_chance", _drawn(_job())),
        ("unit_count", COUNT),
        ("addresses", ADDRESSES),
        ("port_switches", BOXES),
        ("round_order", ROUND),
        ("issue_categories", {}),
    ]
