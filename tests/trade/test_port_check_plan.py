"""Planning a port check."""

from math import comb
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.trade.port_installs import a_plan, distance, names
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, here, on_the_phone, result_of

LEAST = {8: (4, 6, 7), 16: (5, 7, 8), 32: (6, 9, 10), 64: (7, 10, 11)}
# The docstring says why these take one round more.
ONE_MORE = {(16, 2), (64, 2)}


def codes_of(result: dict[str, Any]) -> list[str]:
    return [row["code"] for row in result["codes"]]


def reasons_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]


def most_words(rounds: int, *, least: int) -> int:
    """The sphere-packing bound: no code of so many rounds has more words."""
    if least % 2 == 0:
        return most_words(rounds - 1, least=least - 1)
    return int(2**rounds // sum(comb(rounds, wrong) for wrong in range((least - 1) // 2 + 1)))


@pytest.mark.parametrize("units", LEAST)
@pytest.mark.parametrize("apart", [2, 3, 4])
@pytest.mark.parametrize("share", [0.5, 0.6, 1])
def test_a_plan_takes_the_least_rounds_there_are(units: int, apart: int, share: float) -> None:
    least = LEAST[units][apart - 2]

    codes = codes_of(result_of("port_check_plan", a_plan(units, distance=apart, max_share_on=share)))

    assert len(codes[0]) == least + ((units, apart) in ONE_MORE)


@pytest.mark.parametrize("units", LEAST)
@pytest.mark.parametrize("apart", [2, 3, 4])
def test_no_plan_at_all_could_do_with_fewer_rounds_than_the_table(units: int, apart: int) -> None:
    least = LEAST[units][apart - 2]

    assert most_words(least - 1, least=apart) < units


@RANDOM
@given(
    st.integers(2, 64),
    st.integers(2, 4),
    st.floats(0.05, 1),
    st.one_of(st.none(), st.randoms(use_true_random=False)),
)
def test_a_plan_keeps_all_its_promises(units: int, apart: int, share: float, rng: Any) -> None:
    loads = [1.0] * units if rng is None else [rng.choice([1.5, 2.2, 2.8, 3.6, 5.6, 7.1]) for _ in range(units)]
    assume(max(loads) <= share * sum(loads))
    plan = a_plan(units, distance=apart, max_share_on=share)
    if rng is not None:
        plan["units"] = [{**row, "kw": kw} for row, kw in zip(plan["units"], loads, strict=True)]

    result = result_of("port_check_plan", plan)

    codes = codes_of(result)
    assert [row["unit"] for row in result["codes"]] == names(units)
    assert distance(codes) >= apart
    assert all("0" in code and "1" in code for code in codes)
    for at, row in enumerate(result["rounds"]):
        assert row["on"] == [name for name, code in zip(names(units), codes, strict=True) if code[at] == "1"]
        assert sorted(row["on"] + row["off"]) == sorted(names(units))
        on = sum(load for load, code in zip(loads, codes, strict=True) if code[at] == "1")
        assert on <= share * sum(loads) * (1 + 1e-6)
    assert len(result["rounds"]) == len(codes[0])


def test_a_tight_share_takes_more_rounds_and_says_so() -> None:
    usual = result_of("port_check_plan", a_plan(27))
    tight = result_of("port_check_plan", a_plan(27, max_share_on=0.25))

    assert "port_rounds_for_share" not in reasons_of(usual)
    why = next(reason for reason in tight["reasons"] if reason["code"] == "port_rounds_for_share")
    assert why["values"] == {"rounds": len(tight["rounds"]), "usual_rounds": 10, "max_share_on": 0.25}
    assert len(tight["rounds"]) > len(usual["rounds"]) == 10


def test_the_tightest_share_switches_one_unit_on_at_a_time() -> None:
    result = result_of("port_check_plan", a_plan(12, distance=2, max_share_on=1 / 12))

    assert [len(row["on"]) for row in result["rounds"]] == [1] * 12


def test_a_share_that_no_unit_fits_in_is_refused_by_name() -> None:
    units = [{"unit": "A", "kw": 7.0}, {"unit": "B", "kw": 1.5}, {"unit": "C", "kw": 1.5}]

    error = error_of("port_check_plan", a_plan(2, units=units, max_share_on=0.6))

    assert (error["code"], error["field"]) == ("contradictory", "max_share_on")
    assert error["limits"] == {"low": pytest.approx(0.7), "high": 1, "unit": "of all"}


def test_a_small_system_is_told_that_one_at_a_time_is_as_good() -> None:
    assert "port_one_at_a_time" in reasons_of(result_of("port_check_plan", a_plan(8)))
    assert "port_one_at_a_time" not in reasons_of(result_of("port_check_plan", a_plan(9)))


def test_the_cautions_name_the_makers_check_the_drains_and_the_season() -> None:
    result = result_of("port_check_plan", a_plan(8))

    assert result["cautions"] == ["caution.port_check_maker", "caution.port_check_drains", "caution.port_check_season"]


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"units": None}, "missing", "units"),
        ({"units": [{"unit": "A"}]}, "out_of_range", "units"),
        ({"units": [{"unit": str(at)} for at in range(65)]}, "out_of_range", "units"),
        ({"units": [{"unit": "A"}, {"unit": "A"}]}, "contradictory", "units[1].unit"),
        ({"units": [{"unit": "A"}, {}]}, "missing", "units[1].unit"),
        ({"units": [{"unit": "A", "kw": 2}, {"unit": "B"}]}, "missing", "units[1].kw"),
        ({"units": [{"unit": "A", "kw": 2}, {"unit": "B", "kw": 0}]}, "out_of_range", "units[1].kw"),
        ({"distance": 5}, "out_of_range", "distance"),
        ({"distance": 2.5}, "not_a_number", "distance"),
        ({"max_share_on": None}, "missing", "max_share_on"),
        ({"max_share_on": "half"}, "not_a_number", "max_share_on"),
        ({"max_share_on": 1.1}, "out_of_range", "max_share_on"),
        ({"max_share_on": 0}, "contradictory", "max_share_on"),
    ],
)
def test_a_bad_wish_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("port_check_plan", a_plan(9, **more))

    assert (error["code"], error["field"]) == (code, field)


def test_the_phone_makes_the_same_plans() -> None:
    kw = [{"unit": name, "kw": 1.5 + at % 5 * 1.1} for at, name in enumerate(names(27))]
    plans = [a_plan(27), a_plan(27, max_share_on=0.5), a_plan(64, max_share_on=0.25), a_plan(27, units=kw)]

    phone = on_the_phone([("port_check_plan", plan) for plan in plans])

    assert phone == [here("port_check_plan", plan) for plan in plans]
