"""Capacity from the air before and after a unit."""

import math
from itertools import product
from typing import Any

import psychrolib
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from flarenut.trade import moist_air
from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, here, on_the_phone, result_of

LIBRARY = "PsychroLib 2.5.0"
RETURNS_C = [(18, 12), (24, 14), (27, 19), (35, 24), (45, 30)]
SUPPLIES_C = [(4, 3), (10, 9.5), (14, 12.5), (14, 14)]
BAROMETERS_PA = [60_000, 83_528, 101_325]
FLOWS_AT = ["supply", "return"]
BELOW_FREEZING = {"return_wb_c": 0, "supply_wb_c": -10}
BULBS_C = [(dry_c, dry_c - below_k) for dry_c in range(-20, 61, 5) for below_k in (0, 1, 3, 6)]


def a_unit(**more: Any) -> dict[str, Any]:
    return {
        "return_db_c": 27,
        "return_wb_c": 19,
        "supply_db_c": 14,
        "supply_wb_c": 12.5,
        "flow_m3_s": 0.25,
        "flow_at": "supply",
        "barometer_pa": 101_325,
        **more,
    }


def codes_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]


def water_by_library(dry_c: float, wet_c: float, barometer_pa: float) -> float:
    psychrolib.SetUnitSystem(psychrolib.SI)
    return float(psychrolib.GetHumRatioFromTWetBulb(dry_c, wet_c, barometer_pa))


def total_by_library(unit: dict[str, Any]) -> float:
    states = [
        (dry_c, water_by_library(dry_c, wet_c, unit["barometer_pa"]))
        for dry_c, wet_c in (
            (unit["return_db_c"], unit["return_wb_c"]),
            (unit["supply_db_c"], unit["supply_wb_c"]),
        )
    ]
    before, after = [psychrolib.GetMoistAirEnthalpy(*state) for state in states]
    measured = states[FLOWS_AT[::-1].index(unit["flow_at"])]
    volume_m3_kg = psychrolib.GetMoistAirVolume(*measured, unit["barometer_pa"])
    return float(unit["flow_m3_s"] / volume_m3_kg * (before - after))


def units() -> list[dict[str, Any]]:
    return [
        a_unit(
            return_db_c=before[0],
            return_wb_c=before[1],
            supply_db_c=after[0],
            supply_wb_c=after[1],
            barometer_pa=barometer_pa,
            flow_at=at,
        )
        for before, after, barometer_pa, at in product(RETURNS_C, SUPPLIES_C, BAROMETERS_PA, FLOWS_AT)
    ]


def air_by_library(altitude_m: float) -> float:
    """The library takes the height of the standard's tables, which counts the pull of the earth as even."""
    earth_m = 6_356_766
    return float(psychrolib.GetStandardAtmPressure(earth_m * altitude_m / (earth_m + altitude_m)))


def library_checks() -> list[Check]:
    """Capacity of units, and water in the air from -20 to 60 degrees down to a wet bulb of -26."""
    grid = units()
    total_w = max(abs(result_of("air_side", unit)["total_w"] - total_by_library(unit)) for unit in grid)
    airs = [
        (ours, theirs)
        for (dry_c, wet_c), barometer_pa in product(BULBS_C, BAROMETERS_PA)
        if (ours := moist_air.humidity_kg_kg(dry_c, wet_bulb_c=wet_c, barometer_pa=barometer_pa)) > 0
        and (theirs := water_by_library(dry_c, wet_c, barometer_pa))
    ]
    water_pct = max(100 * abs(ours - theirs) / max(theirs, 0.001) for ours, theirs in airs)
    altitudes_m = range(-400, 5001, 100)
    air_pa = max(
        abs(result_of("barometer", {"altitude_m": altitude_m})["barometer_pa"] - air_by_library(altitude_m))
        for altitude_m in altitudes_m
    )
    return [
        Check("barometer", "barometer_pa of an altitude", len(altitudes_m), air_pa, "Pa", 1.0, LIBRARY, "L"),
        Check("air_side", "total_w, 0.6 to 1 bar", len(grid), total_w, "W", 0.001, LIBRARY, "L"),
        Check("air_side", "water from wet bulb", len(airs), water_pct, "%", 1e-6, LIBRARY, "L"),
    ]


def test_capacity_and_water_stay_with_the_library() -> None:
    _, capacity, water = checks = library_checks()

    assert capacity.cases == 120
    assert water.cases > 150
    assert [check for check in checks if not check.holds()] == []


def test_the_phone_finds_the_same_digits_over_the_whole_grid() -> None:
    calls = [("air_side", unit) for unit in [*units(), a_unit(return_db_c=1, supply_db_c=-9, **BELOW_FREEZING)]]

    assert on_the_phone(calls) == [here(*call) for call in calls]


def test_the_air_split_is_told_and_never_judged() -> None:
    for supply_db_c in (26, 14, 13):
        result = result_of("air_side", a_unit(supply_db_c=supply_db_c))

        assert "verdict" not in result
        assert codes_of(result)[0] == "air_split_not_judged"
        assert result["reasons"][0]["values"]["split_k"] == 27 - supply_db_c


def test_a_heating_unit_shows_a_negative_sensible_figure_whatever_the_wet_bulb_after_it() -> None:
    without = result_of("air_side", a_unit(supply_db_c=40, supply_wb_c=None))
    given_too = result_of("air_side", a_unit(supply_db_c=40, supply_wb_c=25))

    assert without == given_too
    assert without["total_w"] == without["sensible_w"] < 0
    assert without["shr"] is None
    assert without["condensate_kg_s"] == 0
    assert "heating_sensible_only" in codes_of(without)


def test_sensors_that_were_named_are_not_called_usual() -> None:
    named = a_unit(temperature_uncertainty_k=0.2, wet_bulb_uncertainty_k=0.5, flow_uncertainty_pct=3)

    assert "usual_uncertainties" not in codes_of(result_of("air_side", named))
    part = result_of("air_side", {**named, "flow_uncertainty_pct": None})["reasons"][2]["values"]
    assert part["fields"] == ["flow_uncertainty_pct"]
    assert part["flow_uncertainty_pct"] == 5


def test_a_unit_that_does_next_to_nothing_is_within_its_uncertainty() -> None:
    result = result_of("air_side", a_unit(supply_db_c=26.9, supply_wb_c=18.9))

    assert "result_below_uncertainty" in codes_of(result)


@RANDOM
@given(
    st.floats(10, 45),
    st.floats(0, 8),
    st.floats(0, 30),
    st.floats(0, 4),
    st.floats(0.01, 20),
    st.floats(55_000, 108_000),
    st.sampled_from(FLOWS_AT),
)
def test_heat_and_water_of_a_cooling_unit_add_up(
    return_db_c: float, below_k: float, split_k: float, less_k: float, flow_m3_s: float, barometer_pa: float, at: str
) -> None:
    unit = a_unit(
        return_db_c=return_db_c,
        return_wb_c=return_db_c - below_k,
        supply_db_c=return_db_c - split_k,
        supply_wb_c=return_db_c - split_k - less_k,
        flow_m3_s=flow_m3_s,
        barometer_pa=barometer_pa,
        flow_at=at,
    )
    answer = here("air_side", unit)
    assume(answer["ok"])
    result = answer["result"]

    twice = result_of("air_side", {**unit, "flow_m3_s": 2 * flow_m3_s})
    dried = result["return_humidity_kg_kg"] - result["supply_humidity_kg_kg"]
    vapour_j_kg = 1000 * (2501 + 1.86 * return_db_c)

    latent_w = result["air_kg_s"] * dried * vapour_j_kg
    assert result["total_w"] - result["sensible_w"] == pytest.approx(latent_w, rel=1e-6, abs=1e-3)
    assert result["sensible_w"] >= 0
    assert result["condensate_kg_s"] == pytest.approx(max(0, result["air_kg_s"] * dried))
    assert (result["shr"] is None) == (result["total_w"] <= 0)
    assert ("supply_no_drier" in codes_of(result)) == (dried <= 0)
    assert twice["total_w"] == pytest.approx(2 * result["total_w"], rel=1e-9, abs=1e-9)
    assert twice["uncertainty_w"] == pytest.approx(2 * result["uncertainty_w"], rel=1e-6)


@RANDOM
@given(st.floats(0, 1), st.floats(0, 1), st.floats(0, 10), st.floats(0.01, 1))
def test_a_worse_sensor_never_makes_the_result_better_known(
    dry_k: float, wet_k: float, flow_pct: float, worse: float
) -> None:
    sensors = {"temperature_uncertainty_k": dry_k, "wet_bulb_uncertainty_k": wet_k, "flow_uncertainty_pct": flow_pct}
    result = result_of("air_side", a_unit(**sensors))

    for name, value in sensors.items():
        less = result_of("air_side", a_unit(**{**sensors, name: value + worse}))
        assert less["uncertainty_w"] > result["uncertainty_w"]


@RANDOM
@given(st.floats(0.01, 1), st.floats(0.01, 1), st.floats(0.1, 10))
def test_the_largest_contribution_is_the_one_whose_end_helps_most(dry_k: float, wet_k: float, flow_pct: float) -> None:
    sensors = {"temperature_uncertainty_k": dry_k, "wet_bulb_uncertainty_k": wet_k, "flow_uncertainty_pct": flow_pct}
    result = result_of("air_side", a_unit(**sensors))
    left_w = {
        code: result_of("air_side", a_unit(**{**sensors, name: 0}))["uncertainty_w"]
        for code, name in zip(("dry_bulb_decides", "wet_bulb_decides", "flow_decides"), sensors, strict=True)
    }

    reason = result["reasons"][1]

    assert left_w[reason["code"]] == min(left_w.values())
    parts_w = reason["values"]["contribution_w"], left_w[reason["code"]]
    assert math.hypot(*parts_w) == pytest.approx(result["uncertainty_w"])
    assert 100 / 3 - 1e-9 <= reason["values"]["share_pct"] <= 100


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"return_db_c": None}, "missing", "return_db_c"),
        ({"return_db_c": 60.1}, "out_of_range", "return_db_c"),
        ({"return_wb_c": 27.1}, "contradictory", "return_wb_c"),
        ({"return_wb_c": 4}, "contradictory", "return_wb_c"),
        ({"supply_db_c": "14"}, "not_a_number", "supply_db_c"),
        ({"supply_wb_c": None}, "missing", "supply_wb_c"),
        ({"supply_wb_c": 14.1}, "contradictory", "supply_wb_c"),
        ({"supply_db_c": 40, "supply_wb_c": 41}, "contradictory", "supply_wb_c"),
        ({"flow_m3_s": 0}, "out_of_range", "flow_m3_s"),
        ({"flow_m3_s": True}, "not_a_number", "flow_m3_s"),
        ({"flow_at": None}, "missing", "flow_at"),
        ({"flow_at": "coil"}, "not_a_choice", "flow_at"),
        ({"barometer_pa": None}, "missing", "barometer_pa"),
        ({"barometer_pa": 1013.25}, "out_of_range", "barometer_pa"),
        ({"altitude_m": 0}, "contradictory", "altitude_m"),
        ({"temperature_uncertainty_k": -0.1}, "out_of_range", "temperature_uncertainty_k"),
        ({"wet_bulb_uncertainty_k": 10.1}, "out_of_range", "wet_bulb_uncertainty_k"),
        ({"flow_uncertainty_pct": 101}, "out_of_range", "flow_uncertainty_pct"),
    ],
)
def test_a_bad_reading_of_the_air_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("air_side", a_unit(**more))

    assert error["code"] == code
    assert error["field"] == field


@RANDOM
@given(st.floats(-500, 5400), st.floats(1, 100))
def test_the_barometer_falls_with_every_metre(altitude_m: float, higher_m: float) -> None:
    low_pa, high_pa = [
        result_of("barometer", {"altitude_m": one})["barometer_pa"] for one in (altitude_m, altitude_m + higher_m)
    ]

    # The air weighs 6.3 to 12.7 N/m3 between these heights.
    assert 6 * higher_m < low_pa - high_pa < 13 * higher_m
