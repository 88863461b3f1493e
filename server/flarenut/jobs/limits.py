"""The limits that a job begins with. A company changes them; where each comes from goes with it."""

from typing import Any, NamedTuple

from flarenut.trade import joint_geometry, room_limit

LIMITS: tuple[dict[str, Any], ...] = (
    {
        "name": "supply_tolerance_pct",
        "value": 10.0,
        "unit": "%",
        "source": "from memory, not verified: the usual tolerance of the supply; the nameplate decides",
        "mark": "M",
    },
    {
        "name": "unbalance_limit_pct",
        "value": 2.0,
        "unit": "%",
        "source": "common practice for this equipment, no published source; the maker's manual decides",
        "mark": "P",
    },
    {
        "name": "unbalance_never_above_pct",
        "value": 5.0,
        "unit": "%",
        "source": "NEMA MG-1: never run a motor above 5 % voltage unbalance",
        "mark": "S",
    },
)


def default_of(name: str) -> float:
    """The value that a new job starts with."""
    return float(next(limit["value"] for limit in LIMITS if limit["name"] == name))


class Ends(NamedTuple):
    """What a limit of the sheet may be: no wider than the engine judges by."""

    low: float
    high: float
    unit: str


# Limits that have no value of their own: the as-built sheet may give them, for the whole job.
FROM_SHEET: dict[str, Ends] = {
    "vacuum_limit_pa": Ends(1.0, 10_000.0, "Pa"),
    "vacuum_hold_s": Ends(60.0, 30 * 86_400.0, "s"),
    "leak_to_exclude_pa_m3_s": Ends(1e-9, 10.0, "Pa m3/s"),
    "room_limit_kg_m3": Ends(room_limit.LOWEST_LIMIT_KG_M3, room_limit.HIGHEST_LIMIT_KG_M3, "kg/m3"),
    "straight_limit_m": Ends(0.0, joint_geometry.LONGEST_RUN_M, "m"),
    "tilt_limit_deg": Ends(0.0, joint_geometry.LARGEST_TILT_LIMIT_DEG, "deg"),
    "max_share_on": Ends(0.0, 1.0, "of all"),
}


def limits_of_sheet(said: dict[str, Any]) -> list[dict[str, Any]]:
    """Rows of the limits sheet. Nobody has looked into the source that the sheet names (M)."""
    source = f"from the sheet: {said.get('source') or ''}"
    return [
        {"name": name, "value": said[name], "unit": ends.unit, "source": source, "mark": "M"}
        for name, ends in FROM_SHEET.items()
        if said.get(name) is not None
    ]
