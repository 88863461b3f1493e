"""Units of the trade in SI."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from flarenut.trade import ranges, units
from tests.trade.random_graphs import RANDOM

NAMES = [row[0] for row in units.UNITS]


@pytest.mark.parametrize(
    ("unit", "si"),
    [
        ("psi", constants.psi),
        ("bar", constants.bar),
        ("micron", constants.torr / 1000),
        ("degF difference", constants.degree_Fahrenheit),
        ("in", constants.inch),
        ("ft", constants.foot),
        ("ft3", constants.foot**3),
        ("L", constants.liter),
        ("lb", constants.pound),
        ("oz", constants.oz),
        ("oz/ft", constants.oz / constants.foot),
        ("lb/1000 ft3", constants.pound / (1000 * constants.foot**3)),
        ("cfm", constants.foot**3 / constants.minute),
        ("Btu/h", constants.Btu_IT / constants.hour),
        ("h", constants.hour),
    ],
)
def test_a_unit_is_as_large_as_in_the_library(unit: str, si: float) -> None:
    assert units.to_si(1, unit=unit) - units.to_si(0, unit=unit) == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (-40, -40), (70, 21.11111111111111)])
def test_fahrenheit_begins_at_32(fahrenheit: float, celsius: float) -> None:
    assert units.to_si(fahrenheit, unit="degF") == pytest.approx(celsius, abs=1e-12)
    assert units.from_si(celsius, unit="degF") == pytest.approx(fahrenheit, abs=1e-12)


def test_the_published_figures_of_the_trade_come_out() -> None:
    assert units.to_si(500, unit="micron") == pytest.approx(66.6612, abs=5e-5)
    assert units.to_si(26.22, unit="lb/1000 ft3") == pytest.approx(0.420, abs=5e-5)
    assert units.to_si(550, unit="psi") == pytest.approx(3_792_116.5, abs=0.05)
    assert units.to_si(29.921, unit="inHg") == pytest.approx(101_325, abs=2)
    assert units.to_si(1, unit="ton") == pytest.approx(3516.853, abs=5e-4)


@RANDOM
@given(st.sampled_from(NAMES), st.floats(-1e6, 1e6))
def test_there_and_back_is_the_same_value(unit: str, value: float) -> None:
    there = units.to_si(value, unit=unit)

    assert units.from_si(there, unit=unit) == pytest.approx(value, rel=1e-12, abs=1e-9)


@RANDOM
@given(st.sampled_from(NAMES), st.floats(-1e6, 1e6), st.floats(0.001, 1e3))
def test_more_in_one_unit_is_more_in_si(unit: str, value: float, more: float) -> None:
    assert units.to_si(value + more, unit=unit) > units.to_si(value, unit=unit)


def test_a_unit_is_known_by_one_name_and_has_its_unit_in_si() -> None:
    assert len(set(NAMES)) == len(NAMES)
    assert units.si_of("cfm") == "m3/s"


def test_an_unknown_unit_is_refused_with_those_that_are_known() -> None:
    with pytest.raises(ranges.InputError) as refused:
        units.to_si(1, unit="furlong")

    assert refused.value.code == "not_a_choice"
    assert "psi" in refused.value.message
