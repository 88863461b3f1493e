"""Pressure holds whose readings were taken too soon, in other warmth or in other weather."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import hold_doubts, pressure_hold
from tests.trade.holds import (
    HOUR_S,
    PSI,
    SEA_LEVEL_PA,
    a_hold,
    a_tight_day,
    codes_of,
    library_gauge_pa,
    reading,
)
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import result_of


def a_doubt(explains_pa: float) -> hold_doubts.Doubt:
    return hold_doubts.Doubt({}, explains_pa=explains_pa, todo="")


@pytest.mark.parametrize(
    ("residual_pa", "explains_pa", "code"),
    [
        (-500, 0, "doubt_remains"),
        (-1500, 0, "hold_lost_gas"),
        (-1500, 500, "doubt_outweighs"),
        (-1501, 500, "hold_lost_gas"),
        (1500, 5000, "hold_gained_gas"),
    ],
)
def test_a_doubt_keeps_a_pass_open_and_a_fail_only_as_far_as_it_explains_the_drop(
    residual_pa: float, explains_pa: float | None, code: str
) -> None:
    judged = pressure_hold.judged(
        residual_pa, uncertainty_pa=1000, critical_drop_pa=14_400, doubts=[a_doubt(explains_pa)]
    )

    assert judged == code


def test_a_hold_first_read_too_soon_is_judged_by_the_readings_after() -> None:
    hours = range(0, 25, 2)
    tight = a_tight_day(*[(h, 21) for h in hours])
    leaking = [reading(h, 550 * PSI - 20_000 * h) for h in hours]

    passed = result_of("pressure_hold", a_hold(*tight, filled_t_s=-300))
    failed = result_of("pressure_hold", a_hold(*leaking, filled_t_s=-300))

    assert (passed["verdict"], passed["held_s"]) == ("pass", 22 * HOUR_S)
    assert codes_of(passed)[1] == "readings_left_out"
    assert passed["reasons"][1]["values"] == {"count": 1, "of": 13}
    assert failed["verdict"] == "fail"


def test_it_is_filled_to_what_was_read_first_though_that_reading_is_left_out() -> None:
    first = reading(0, 560 * PSI)
    later = [reading(hours, 545 * PSI) for hours in (1, 12, 24)]

    result = result_of("pressure_hold", a_hold(first, *later, filled_t_s=-60))

    assert "readings_left_out" in codes_of(result)
    assert "below_usual_pressure" not in codes_of(result)


def test_until_two_readings_have_settled_it_says_how_long_the_hold_still_takes() -> None:
    result = result_of("pressure_hold", a_hold(*a_tight_day((0, 21), (24, 21)), filled_t_s=-300))

    assert codes_of(result)[:2] == ["doubt_remains", "too_soon_after_filling"]
    assert result["next"] == ["next.read_again_when_settled"]
    assert result["hold_left_s"] == pytest.approx(result["hold_needed_s"], rel=0.01)


def test_a_first_reading_too_soon_asks_for_the_next_when_the_gas_has_settled() -> None:
    result = result_of("pressure_hold", a_hold(reading(0, 550 * PSI), filled_t_s=-240))

    assert result["hold_left_s"] == 360


def lost(readings: list[dict[str, Any]], *, from_h: float, pa_per_h: float, to_h: float) -> list[dict[str, Any]]:
    """The same, with gas lost from one hour to another."""
    hours = [row["t_s"] / HOUR_S for row in readings]
    return [
        {**row, "gauge_pa": row["gauge_pa"] - pa_per_h * max(0.0, min(h, to_h) - from_h)}
        for row, h in zip(readings, hours, strict=True)
    ]


@pytest.mark.parametrize(("pa_per_h", "to_h"), [(140_000, 7), (20_000, 13), (10_000, 13)])
def test_nights_that_are_alike_do_not_hide_what_was_lost_since_the_first_reading(pa_per_h: float, to_h: float) -> None:
    day_and_nights = a_tight_day((0, 21), (3, 21), (6, 21), (13, 9), (20, 9), (33, 9))
    leaking = lost(day_and_nights, from_h=6, pa_per_h=pa_per_h, to_h=to_h)
    next_day = lost([*day_and_nights, *a_tight_day((48, 21))], from_h=6, pa_per_h=pa_per_h, to_h=to_h)

    assert result_of("pressure_hold", a_hold(*leaking))["verdict"] != "pass"
    assert result_of("pressure_hold", a_hold(*next_day))["verdict"] == "fail"


def test_a_sure_fail_is_not_taken_back_by_one_more_look_in_other_warmth() -> None:
    looks = a_tight_day((0, 21), (12, 21), (23, 21), (24, 33.5), (24.25, 33.5))
    leaking = lost(looks, from_h=0, pa_per_h=12_000, to_h=30)

    verdicts = [result_of("pressure_hold", a_hold(*leaking[:count]))["verdict"] for count in (3, 4, 5)]

    assert verdicts == ["fail", "fail", "fail"]


def test_the_copper_grows_from_the_first_reading_that_counts() -> None:
    cold = reading(0, library_gauge_pa(550 * PSI, from_c=21, to_c=5), 5)

    result = result_of(
        "pressure_hold", a_hold(cold, *a_tight_day((1, 21), (24, 21)), filled_t_s=-60, copper_growth=True)
    )

    grown = next(reason for reason in result["reasons"] if reason["code"] == "copper_growth_counted")
    assert grown["values"]["growth_pa"] == pytest.approx(0, abs=0.01)
    assert result["expected_ideal_gauge_pa"] == pytest.approx(550 * PSI, abs=1)


def test_a_burst_is_no_gas_that_settles() -> None:
    burst = [reading(0, 550 * PSI), reading(1, 300 * PSI)]

    assert result_of("pressure_hold", a_hold(*burst, filled_t_s=-60))["verdict"] == "fail"
    later = a_hold(*burst, reading(24, 300 * PSI), filled_t_s=-60)
    assert result_of("pressure_hold", later)["verdict"] != "pass"


def test_a_reading_on_a_cold_night_spoils_no_hold_that_is_read_again_in_like_warmth() -> None:
    night = a_tight_day((0, 21), (12, 9))

    evening = result_of("pressure_hold", a_hold(*night))
    morning = result_of("pressure_hold", a_hold(*night, *a_tight_day((24, 21))))

    assert (evening["verdict"], codes_of(evening)[1]) == ("unclear", "temperature_moved")

    assert (morning["verdict"], morning["held_s"]) == ("pass", 24 * HOUR_S)
    assert "temperature_moved" not in codes_of(morning)
    assert len(morning["curve"]) == 3


def test_neither_does_a_reading_under_another_barometer() -> None:
    front = reading(12, 550 * PSI + 1200, barometer_pa=SEA_LEVEL_PA - 1200)

    result = result_of("pressure_hold", a_hold(reading(0, 550 * PSI), front, reading(24, 550 * PSI)))

    assert (result["verdict"], result["held_s"]) == ("pass", 24 * HOUR_S)
    assert codes_of(result)[1] == "readings_left_out"


def test_a_reading_that_lies_farther_off_than_the_night_explains_is_not_left_out() -> None:
    night = reading(12, 400 * PSI, 9)

    result = result_of("pressure_hold", a_hold(*a_tight_day((0, 21)), night, *a_tight_day((24, 21))))

    assert result["verdict"] == "unclear"
    assert "readings_left_out" not in codes_of(result)
    assert "temperature_moved" in codes_of(result)


@RANDOM
@given(
    looks=st.lists(st.tuples(st.floats(-20, 60), st.floats(99_000, 103_000)), min_size=3, max_size=9),
    filled_ago_s=st.none() | st.floats(0, 7200),
)
def test_readings_that_count_are_of_like_warmth_and_weather_or_the_doubt_is_told(
    looks: list[tuple[float, float]], filled_ago_s: float | None
) -> None:
    rows = [reading(at / 4, 1e6, celsius, barometer_pa=pa) for at, (celsius, pa) in enumerate(looks)]
    more = {} if filled_ago_s is None else {"filled_t_s": -filled_ago_s}

    result = result_of("pressure_hold", a_hold(*rows, **more))

    doubted = {"temperature_moved", "barometer_moved", "too_soon_after_filling"} & set(codes_of(result))
    needs_doubt = (
        max(celsius for celsius, _ in looks) - min(celsius for celsius, _ in looks) > 11
        or max(pa for _, pa in looks) - min(pa for _, pa in looks) > 1000
        or (filled_ago_s is not None and filled_ago_s < 600)
    )
    assert bool(doubted) + ("readings_left_out" in codes_of(result)) == needs_doubt
    assert not (doubted and result["verdict"] == "pass")
