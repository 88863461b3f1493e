"""Powers that both runtimes compute alike."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import barometer, refrigerants, same_digits
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import on_the_phone, result_of

LAST_DIGIT = 2**-52


@RANDOM
@given(st.floats(-700, 700))
def test_a_power_of_e_is_right_to_the_last_digits(x: float) -> None:
    assert same_digits.exp(x) == pytest.approx(math.exp(x), rel=3 * LAST_DIGIT)


@RANDOM
@given(st.floats(1e-9, 1e9))
def test_a_cube_root_is_right_to_the_last_digits(x: float) -> None:
    assert same_digits.cube_root(x) == pytest.approx(math.cbrt(x), rel=3 * LAST_DIGIT)


@RANDOM
@given(st.floats(0.1, 2), st.floats(-10, 10))
def test_any_power_is_right_to_the_last_digits(base: float, exponent: float) -> None:
    assert same_digits.power(base, exponent=exponent) == pytest.approx(base**exponent, rel=50 * LAST_DIGIT)


def test_thousands_of_saturations_have_the_same_digits_on_the_phone() -> None:
    # Enough for a function that differs once in a thousand calls to be found.
    calls = [
        ("saturation", {"refrigerant": name, "temperature_c": -60 + 125 * (step * 617 % 1000) / 1000})
        for name in refrigerants.NAMES
        for step in range(600)
    ]

    phone = [answer["result"] for answer in on_the_phone(calls)]

    assert phone == [result_of(name, data) for name, data in calls]


def test_the_barometer_has_the_same_digits_on_the_phone() -> None:
    calls = [
        ("superheat", {"refrigerant": "R-32", "gauge_pa": 8e5, "altitude_m": at_m + 0.1, "line_c": 9})
        for at_m in range(0, 5400, 9)
    ]

    phone = [answer["result"] for answer in on_the_phone(calls)]

    assert phone == [result_of(name, data) for name, data in calls]
    assert phone[0]["barometer_pa"] == pytest.approx(barometer.barometer_pa(0.1))
