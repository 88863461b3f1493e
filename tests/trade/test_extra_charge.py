"""Additional refrigerant for the liquid lines."""

import math
from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import tubes
from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, result_of

LIQUIDS_C = range(-20, 61, 5)
IN_LIBRARY = {"R-410A": "R410A", "R-32": "R32", "R-407C": "R407C", "R-134a": "R134a"}
SIZES = tubes.names()

lines = st.lists(
    st.fixed_dictionaries({"size": st.sampled_from(SIZES), "length_m": st.floats(0, 200)}), min_size=1, max_size=6
)


def a_run(*lengths_m: float, size: str = "3/8 coil", **more: Any) -> dict[str, Any]:
    return {"refrigerant": "R-410A", "lines": [{"size": size, "length_m": at} for at in lengths_m], **more}


def codes_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]


def _error_pct(name: str) -> float:
    worst = 0.0
    for liquid_c in LIQUIDS_C:
        density = PropsSI("D", "T", liquid_c + 273.15, "Q", 0, IN_LIBRARY[name])
        for size in result_of("tube_sizes", {})["sizes"]:
            expected = math.pi * (size["inner_diameter_m"] / 2) ** 2 * 10 * density
            result = result_of("extra_charge", a_run(10, size=size["size"], refrigerant=name, liquid_c=liquid_c))
            worst = max(worst, 100 * abs(result["mass_kg"] / expected - 1))
    return worst


def library_checks() -> list[Check]:
    """Every tube size full of liquid from -20 to 60 degrees."""
    cases = len(LIQUIDS_C) * len(SIZES)
    return [
        Check(
            "extra_charge",
            f"{name}, all sizes, -20 to 60 degC",
            cases,
            _error_pct(name),
            "%",
            0.1,
            "CoolProp 8.0.0",
            "L",
        )
        for name in IN_LIBRARY
    ]


def test_the_charge_of_every_tube_stays_with_the_density_of_the_library() -> None:
    checks = library_checks()

    assert all(check.cases == 17 * 13 for check in checks)
    assert [check for check in checks if not check.holds()] == []


def test_the_usual_factors_lie_12_to_22_pct_above_liquid_at_40_degrees() -> None:
    sizes = {"3/8": "3/8 coil", "1/2": "1/2 coil", "5/8": "5/8 coil", "3/4": "3/4 wall 0.035"}
    offered = result_of("tube_sizes", {})["usual_factors"]

    differences = [
        result_of("extra_charge", a_run(10, size=sizes[row["size"]], factors_kg_m={row["size"]: row["factor_kg_m"]}))[
            "difference_pct"
        ]
        for row in offered
    ]

    assert len(differences) == 4
    assert all(-22 < difference < -12 for difference in differences), differences


def test_the_included_length_is_taken_off_in_the_order_of_the_lines() -> None:
    thick_first = {"size": "5/8 coil", "length_m": 10}, {"size": "3/8 coil", "length_m": 10}

    there = result_of("extra_charge", {"refrigerant": "R-32", "lines": [*thick_first], "included_length_m": 10})
    back = result_of("extra_charge", {"refrigerant": "R-32", "lines": [*thick_first[::-1]], "included_length_m": 10})

    assert [line["charged_length_m"] for line in there["lines"]] == [0, 10]
    assert there["mass_kg"] < back["mass_kg"]
    assert codes_of(there)[1] == "included_off_first_lines"


def test_lines_within_the_included_length_need_nothing() -> None:
    # 0.3 less 0.1 less 0.2 is not nought in binary, and yet nothing is left to charge.
    result = result_of("extra_charge", a_run(0.1, 0.2, included_length_m=0.3))

    assert result["mass_kg"] == 0
    assert codes_of(result)[1] == "all_within_included"


def test_a_factor_of_the_full_size_comes_before_one_of_the_nominal_size() -> None:
    result = result_of("extra_charge", a_run(10, factors_kg_m={"3/8": 0.05, "3/8 coil": 0.06}))

    assert result["lines"][0]["factor_kg_m"] == 0.06
    assert result["factor_mass_kg"] == pytest.approx(0.6)


def test_a_line_without_a_factor_is_named_and_nothing_is_guessed() -> None:
    result = result_of("extra_charge", a_run(10, 5, factors_kg_m={"1/2": 0.12}))

    assert result["factor_mass_kg"] is None
    assert result["difference_pct"] is None
    assert result["reasons"][-1] == {
        "code": "factor_missing",
        "values": {"sizes": ["3/8 coil", "3/8 coil"], "lines": [0, 1]},
    }


def test_only_blends_are_said_to_be_charged_as_liquid() -> None:
    said = {
        name: "caution.charge_as_liquid" in result_of("extra_charge", a_run(1, refrigerant=name))["cautions"]
        for name in ("R-410A", "R-454B", "R-407C", "R-32", "R-134a")
    }

    assert said == {"R-410A": True, "R-454B": True, "R-407C": True, "R-32": False, "R-134a": False}


def test_the_table_is_outer_diameter_less_two_walls() -> None:
    for size in result_of("tube_sizes", {})["sizes"]:
        assert size["inner_diameter_m"] == pytest.approx(size["outer_diameter_m"] - 2 * size["wall_m"], abs=1e-12)
        assert size["mark"] == "S"


@RANDOM
@given(lines, st.floats(0, 300))
def test_each_line_adds_its_part_and_more_included_means_less_to_add(runs: list[dict[str, Any]], more_m: float) -> None:
    data = {"refrigerant": "R-32", "lines": runs}

    whole = result_of("extra_charge", data)
    less = result_of("extra_charge", {**data, "included_length_m": more_m})

    assert whole["mass_kg"] == pytest.approx(sum(line["mass_kg"] for line in whole["lines"]))
    assert whole["volume_m3"] * whole["liquid_density_kg_m3"] == pytest.approx(whole["mass_kg"])
    assert less["mass_kg"] <= whole["mass_kg"]
    total_m = sum(run["length_m"] for run in runs)
    assert less["charged_length_m"] == pytest.approx(max(0, total_m - more_m), abs=1e-5)


@RANDOM
@given(lines, st.floats(-20, 59), st.floats(0.01, 1))
def test_warmer_liquid_is_less_of_it(runs: list[dict[str, Any]], liquid_c: float, warmer_k: float) -> None:
    data = {"refrigerant": "R-454B", "lines": [*runs, {"size": "1/4 coil", "length_m": 1}]}

    cold = result_of("extra_charge", {**data, "liquid_c": liquid_c})
    warm = result_of("extra_charge", {**data, "liquid_c": liquid_c + warmer_k})

    assert warm["mass_kg"] < cold["mass_kg"]
    assert warm["volume_m3"] == cold["volume_m3"]


@pytest.mark.parametrize(
    ("line", "code", "field"),
    [
        ({"length_m": 1}, "missing", "lines[0].size"),
        ({"size": "3/8 coil"}, "missing", "lines[0].length_m"),
        ({"size": "3/8 coil", "length_m": -1}, "out_of_range", "lines[0].length_m"),
        ({"size": 7, "length_m": 1}, "not_a_choice", "lines[0].size"),
        ({"inner_diameter_m": 8, "length_m": 1}, "out_of_range", "lines[0].inner_diameter_m"),
        ({"outer_diameter_m": 0.01, "length_m": 1}, "missing", "lines[0].wall_m"),
        ({"wall_m": 0.001, "length_m": 1}, "missing", "lines[0].outer_diameter_m"),
        ({"outer_diameter_m": 0.01, "wall_m": 0.0046, "length_m": 1}, "out_of_range", "lines[0].wall_m"),
        (
            {"inner_diameter_m": 0.008, "outer_diameter_m": 0.01, "length_m": 1},
            "contradictory",
            "lines[0].inner_diameter_m",
        ),
        ({"size": "7/8", "inner_diameter_m": 0.02, "length_m": 1}, "contradictory", "lines[0].size"),
    ],
)
def test_a_bad_line_is_named(line: dict[str, Any], code: str, field: str) -> None:
    error = error_of("extra_charge", {"refrigerant": "R-32", "lines": [line]})

    assert error["code"] == code
    assert error["field"] == field


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"lines": None}, "missing", "lines"),
        ({"lines": "3/8"}, "not_a_choice", "lines"),
        ({"lines": [{"size": "3/8 coil", "length_m": 1}] * 501}, "out_of_range", "lines"),
        ({"liquid_c": 60.1}, "out_of_range", "liquid_c"),
        ({"included_length_m": -1}, "out_of_range", "included_length_m"),
        ({"factors_kg_m": [0.06]}, "not_a_choice", "factors_kg_m"),
        ({"factors_kg_m": {"3/8": "0.06"}}, "not_a_number", "factors_kg_m.3/8"),
        ({"factors_kg_m": {"3/8": 0}}, "out_of_range", "factors_kg_m.3/8"),
        ({"factors_kg_m": {"3/8": None}}, "missing", "factors_kg_m.3/8"),
    ],
)
def test_a_bad_input_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("extra_charge", a_run(1, **more))

    assert error["code"] == code
    assert error["field"] == field
