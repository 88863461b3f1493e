"""Spreading units over the rounds: about half of the load is on, though more may be."""

from typing import Any

import pytest

from flarenut.trade.port_spread import Spread
from tests.trade.port_installs import a_plan, names
from tests.trade.runtimes import here, on_the_phone, result_of

KW = [1.5, 2.2, 2.8, 3.6, 5.6, 7.1]
ALL = list(range(1, 15))  # Every word of four rounds but the two that tell nothing.


def loads_of(units: int) -> list[float]:
    return [KW[at * 5 % len(KW)] for at in range(units)]


def on_in_each_round(words: list[int], *, loads: list[float]) -> list[float]:
    return [sum(load for word, load in zip(words, loads, strict=False) if word >> bit & 1) for bit in range(4)]


@pytest.mark.parametrize(("goal", "low", "high"), [(0.3, 0.3, 0.45), (0.5, 0.45, 0.55), (0.7, 0.55, 0.7)])
def test_every_round_is_drawn_to_the_goal_where_much_more_may_be_on(goal: float, low: float, high: float) -> None:
    loads = [load / sum(loads_of(7)) for load in loads_of(7)]

    spread = Spread(ALL, loads=loads, rounds=4, goal=goal, most=1.0)

    assert spread.fits
    assert all(low <= on <= high for on in on_in_each_round(spread.words, loads=loads))


def test_what_a_round_may_have_on_is_kept_even_where_the_goal_is_above_it() -> None:
    loads = [load / sum(loads_of(7)) for load in loads_of(7)]

    spread = Spread(ALL, loads=loads, rounds=4, goal=0.7, most=0.5)

    assert spread.fits
    assert max(on_in_each_round(spread.words, loads=loads)) <= 0.5


def a_plan_by_power(units: int) -> dict[str, Any]:
    rows = [{"unit": name, "kw": kw} for name, kw in zip(names(units), loads_of(units), strict=True)]
    return a_plan(units, units=rows, max_share_on=1)


@pytest.mark.parametrize("units", [12, 21, 27, 33, 40])
def test_a_plan_has_about_half_of_the_power_on_in_each_round_though_all_might_run(units: int) -> None:
    plan = a_plan_by_power(units)
    power = {row["unit"]: row["kw"] for row in plan["units"]}

    rounds = result_of("port_check_plan", plan)["rounds"]

    shares = [sum(power[name] for name in row["on"]) / sum(power.values()) for row in rounds]
    assert shares == pytest.approx([0.5] * len(rounds), abs=0.08)


def test_the_phone_spreads_the_units_alike() -> None:
    calls = [("port_check_plan", a_plan_by_power(units)) for units in (12, 21, 27, 33, 40)]

    assert on_the_phone(calls) == [here(*call) for call in calls]
