"""Superheat and subcooling at a gauge."""

from typing import Any

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import refrigerants
from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, result_of

IN_LIBRARY = {"R-410A": "R410A", "R-32": "R32", "R-407C": "R407C", "R-134a": "R134a", "R-454B": "R454B.mix"}
SEA_LEVEL_PA = 101325
GAUGES_PA = [100_000 * step for step in range(1, 17)]
ALTITUDES_M = [0, 1000, 2500]


def a_suction_line(**more: Any) -> dict[str, Any]:
    return {"refrigerant": "R-410A", "gauge_pa": 800_000, "barometer_pa": SEA_LEVEL_PA, "line_c": 10, **more}


def standard_barometer_pa(altitude_m: float) -> float:
    """By the barometric formula written as a power of the temperature ratio."""
    height_m = altitude_m / (1 + altitude_m / 6_356_766)
    return float(SEA_LEVEL_PA * ((288.15 - 0.0065 * height_m) / 288.15) ** (0.0341631947 / 0.0065))


def _error(calculation: str, *, quality: int) -> float:
    worst = 0.0
    for name, in_library in IN_LIBRARY.items():
        for gauge_pa in GAUGES_PA:
            for altitude_m in ALTITUDES_M:
                pressure_pa = gauge_pa + standard_barometer_pa(altitude_m)
                saturation_c = PropsSI("T", "P", pressure_pa, "Q", quality, "HEOS::" + in_library) - 273.15
                line = a_suction_line(
                    refrigerant=name, gauge_pa=gauge_pa, barometer_pa=None, altitude_m=altitude_m, line_c=20
                )
                result = result_of(calculation, line)
                expected = 20 - saturation_c if quality else saturation_c - 20
                worst = max(worst, abs(result[calculation + "_k"] - expected))
    return worst


def library_checks() -> list[Check]:
    """Five refrigerants, sixteen gauges, three altitudes."""
    cases = len(IN_LIBRARY) * len(GAUGES_PA) * len(ALTITUDES_M)
    return [
        Check(calculation, what, cases, _error(calculation, quality=quality), "K", 0.05, "CoolProp 8.0.0", "L")
        for calculation, what, quality in (
            ("superheat", "from the dew point, 0 to 2,500 m", 1),
            ("subcooling", "from the bubble point, 0 to 2,500 m", 0),
        )
    ]


def test_superheat_and_subcooling_stay_with_the_library_at_any_altitude() -> None:
    checks = library_checks()

    assert [check.cases for check in checks] == [240, 240]
    assert [check for check in checks if not check.holds()] == []


def test_the_gauge_of_a_mountain_site_reads_the_same_and_means_less() -> None:
    at_sea = result_of("superheat", a_suction_line())
    on_the_mountain = result_of("superheat", a_suction_line(barometer_pa=None, altitude_m=2500))

    assert on_the_mountain["superheat_k"] > at_sea["superheat_k"] + 0.5
    assert on_the_mountain["reasons"][1]["code"] == "barometer_from_altitude"


def test_superheat_counts_from_dew_and_subcooling_from_bubble_so_that_glide_is_in_neither() -> None:
    line = a_suction_line(refrigerant="R-407C")

    superheat = result_of("superheat", line)
    subcooling = result_of("subcooling", line)

    assert superheat["saturation_c"] - subcooling["saturation_c"] == pytest.approx(superheat["glide_k"])
    assert superheat["glide_k"] > 4
    assert superheat["superheat_k"] + subcooling["subcooling_k"] == pytest.approx(-superheat["glide_k"])


def test_a_line_colder_than_its_dew_point_has_no_superheat_and_says_so() -> None:
    result = result_of("superheat", a_suction_line(line_c=-5))

    assert result["superheat_k"] < 0
    assert result["reasons"][0]["code"] == "no_superheat"


def test_a_figure_of_a_many_valve_system_is_never_a_verdict() -> None:
    for calculation in ("superheat", "subcooling"):
        result = result_of(calculation, a_suction_line())

        assert "verdict" not in result
        assert result["cautions"][0] == "caution.sanity_figure"


@RANDOM
@given(st.sampled_from(refrigerants.NAMES), st.floats(0, 1_500_000), st.floats(1, 100_000))
def test_more_pressure_means_less_superheat_and_more_subcooling(name: str, gauge_pa: float, more_pa: float) -> None:
    low = a_suction_line(refrigerant=name, gauge_pa=gauge_pa)
    high = a_suction_line(refrigerant=name, gauge_pa=gauge_pa + more_pa)

    assert result_of("superheat", high)["superheat_k"] < result_of("superheat", low)["superheat_k"]
    assert result_of("subcooling", high)["subcooling_k"] > result_of("subcooling", low)["subcooling_k"]


@RANDOM
@given(st.floats(-50, 100), st.floats(0.001, 50))
def test_a_warmer_line_has_that_much_more_superheat(line_c: float, warmer_k: float) -> None:
    cold = result_of("superheat", a_suction_line(line_c=line_c))
    warm = result_of("superheat", a_suction_line(line_c=line_c + warmer_k))

    assert warm["superheat_k"] - cold["superheat_k"] == pytest.approx(warmer_k, abs=1e-9)


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"refrigerant": "R-22"}, "not_a_choice", "refrigerant"),
        ({"refrigerant": None}, "missing", "refrigerant"),
        ({"gauge_pa": "800"}, "not_a_number", "gauge_pa"),
        ({"gauge_pa": True}, "not_a_number", "gauge_pa"),
        ({"gauge_pa": -101_325}, "out_of_range", "gauge_pa"),
        ({"gauge_pa": 4_500_000}, "out_of_range", "gauge_pa"),
        ({"barometer_pa": None}, "missing", "barometer_pa"),
        ({"barometer_pa": 1013.25}, "out_of_range", "barometer_pa"),
        ({"altitude_m": 0}, "contradictory", "altitude_m"),
        ({"barometer_pa": None, "altitude_m": 9000}, "out_of_range", "altitude_m"),
        ({"line_c": None}, "missing", "line_c"),
        ({"line_c": -80.1}, "out_of_range", "line_c"),
    ],
)
@pytest.mark.parametrize("calculation", ["superheat", "subcooling"])
def test_a_bad_reading_is_named(calculation: str, more: dict[str, Any], code: str, field: str) -> None:
    error = error_of(calculation, a_suction_line(**more))

    assert error["code"] == code
    assert error["field"] == field


@pytest.mark.parametrize("name", refrigerants.NAMES)
def test_a_gauge_at_either_limit_is_still_read(name: str) -> None:
    for end in ("low", "high"):
        line = a_suction_line(refrigerant=name, barometer_pa=83_527.67)
        limits = error_of("superheat", {**line, "gauge_pa": 9e9})["limits"]

        result = result_of("superheat", {**line, "gauge_pa": limits[end]})

        assert refrigerants.LOW_C <= result["saturation_c"] <= refrigerants.HIGH_C
