"""The one door to the engine, in both runtimes."""

import json
import math
from itertools import pairwise

import pytest

from flarenut.trade import categories, entry, glossary, sequence
from tests.trade.jobs import Job
from tests.trade.runtimes import on_the_phone, result_of, texts_on_the_phone
from tests.trade.sites import a_site

BAD_TEXTS = ["", "{", "[]", "7", '"text"', '{"now": NaN}', '{"now": Infinity}', "nonsense", "[" * 100_000]


@pytest.mark.parametrize("text", BAD_TEXTS)
def test_what_is_not_a_json_object_is_refused(text: str) -> None:
    answer = json.loads(entry.compute("supply_power", text))

    assert answer["error"]["code"] == "bad_json"


def test_the_phone_refuses_the_same_texts() -> None:
    calls = [("supply_power", text) for text in BAD_TEXTS]

    phone = [json.loads(text) for text in texts_on_the_phone(calls)]

    assert phone == [json.loads(entry.compute(name, text)) for name, text in calls]


def test_an_unknown_calculation_is_told_which_there_are() -> None:
    error = json.loads(entry.compute("dowsing", "{}"))["error"]

    assert error["code"] == "unknown_calculation"
    assert "supply_power" in error["message"]


def test_an_unknown_calculation_is_told_before_its_input_is_read() -> None:
    error = json.loads(entry.compute("dowsing", ""))["error"]

    assert error["code"] == "unknown_calculation"


def test_a_number_too_large_to_be_one_is_out_of_range() -> None:
    text = '{"v_ab_v": 1e999, "v_bc_v": 1, "v_ca_v": 1, "nominal_v": 230, "rotation": "forward"}'

    here = json.loads(entry.compute("supply_power", text))
    phone = json.loads(texts_on_the_phone([("supply_power", text)])[0])

    assert here["error"]["code"] == "out_of_range"
    assert phone == here


def test_large_moments_and_long_fractions_cross_to_the_phone_unharmed() -> None:
    # Moments beyond 31 bits, fractions that binary cannot hold, letters beyond ASCII.
    durations = [0.1, 1 / 3, 2**33 / 1000 + 0.1, 31_622_399.999999996, 5e-324]
    tasks = [{"id": f"größe-{n}-😀", "duration_s": duration} for n, duration in enumerate(durations)]
    for before, after in pairwise(tasks):
        after["needs"] = [before["id"]]
    data = {"tasks": tasks}

    phone = on_the_phone([("critical_path", data)])[0]["result"]

    assert phone == result_of("critical_path", data)
    assert phone["length_s"] == math.fsum(durations[:2]) + durations[2] + durations[3]


def test_the_list_of_calculations_names_every_field_with_its_unit() -> None:
    described = json.loads(entry.describe())

    assert [row["name"] for row in described] == [
        "supply_power",
        "pressure_hold",
        "vacuum_stand",
        "vacuum_limits",
        "extra_charge",
        "tube_sizes",
        "room_limit",
        "room_limits",
        "saturation",
        "superheat",
        "subcooling",
        "barometer",
        "air_side",
        "joint_geometry",
        "port_check_plan",
        "port_check_read",
        "critical_path",
        "return_plan",
        "job_plan",
        "ready_chance",
        "job_chance",
        "unit_count",
        "addresses",
        "port_switches",
        "round_order",
        "issue_categories",
    ]
    for row in described:
        assert set(row) == {"name", "what", "inputs", "outputs"}
        for field in [*row["inputs"], *row["outputs"]]:
            name = field["name"].split(".")[-1].removesuffix("[]")
            assert field["note"]
            assert field["unit"] == (glossary.unit_of(name) or ""), field


def test_a_name_that_ends_in_a_unit_has_that_unit() -> None:
    names = [name for name, _, _ in glossary.GLOSSARY]

    assert names == sorted(set(names))
    for name, unit, meaning in glossary.GLOSSARY:
        assert glossary.unit_in_name(name) in (unit, None), name
        assert meaning


SUPPLY = {"v_ab_v": 1, "v_bc_v": 1, "v_ca_v": 1, "nominal_v": 100, "rotation": "forward"}
GAUGE = {"refrigerant": "R-32", "gauge_pa": 8e5, "altitude_m": 0, "line_c": 10}
EXAMPLES = {
    "supply_power": SUPPLY,
    "extra_charge": {"refrigerant": "R-32", "lines": [{"size": "3/8 coil", "length_m": 1}]},
    "tube_sizes": {},
    "room_limit": {
        "refrigerant": "R-32",
        "charge_kg": 1,
        "room_m3": 30,
        "limit_kg_m3": 0.077,
        "limit_source": "an edition",
    },
    "room_limits": {},
    "saturation": {"refrigerant": "R-32", "temperature_c": 5},
    "superheat": GAUGE,
    "subcooling": GAUGE,
    "joint_geometry": {"straight_before_m": 1, "straight_after_m": 1, "attitude": "level", "tilt_deg": 0},
    "critical_path": {"tasks": [{"id": "A", "duration_s": 1}]},
    "return_plan": a_site("2026-12-01 10:00"),
    "job_plan": Job().rows(),
    "round_order": {"units": []},
    "issue_categories": {},
}


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_everything_that_comes_out_is_described(name: str) -> None:
    described = {row["name"]: row["outputs"] for row in json.loads(entry.describe())}

    outputs = {field["name"].split("[")[0].split(".")[0] for field in described[name]}

    assert outputs == set(result_of(name, EXAMPLES[name]))


def test_each_category_stops_known_sides_and_names_known_cautions() -> None:
    for row in result_of("issue_categories", {})["categories"]:
        assert set(row["stops"]) <= set(sequence.STOPPABLE_SIDES)
        assert row["who_must_act"] in categories.WHO
        assert set(row["cautions"]) <= set(categories.CAUTIONS)
        assert row["repair_s"]["low"] <= row["repair_s"]["likely"] <= row["repair_s"]["high"]
        assert row["mark"] == "P"
    assert [row.code for row in categories.CATEGORIES if row.opens_circuit] == ["leak"]


def test_the_sequence_needs_only_what_comes_before_and_says_where_its_hours_are_from() -> None:
    seen: list[str] = []
    for step in sequence.STEPS:
        assert set(step["needs"]) <= set(seen), step["code"]
        assert step["side"] in sequence.SIDES
        assert step["part"] in sequence.PARTS
        assert step["source"]
        assert step["mark"] in {"S", "P"}
        assert step["duration_s"]["low"] <= step["duration_s"]["likely"]
        assert step["duration_s"]["likely"] <= step["duration_s"]["high"]
        seen.append(step["code"])
    assert set(sequence.RESET_BY_OPENING) < set(seen)
