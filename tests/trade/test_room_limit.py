"""Charge of a circuit against the smallest room it serves."""

from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, result_of

charges = st.floats(0.01, 500)
rooms = st.floats(1, 10_000)
allowed_limits = st.floats(0.01, 1)


def a_room(**more: Any) -> dict[str, Any]:
    return {
        "refrigerant": "R-410A",
        "charge_kg": 10,
        "room_m3": 30,
        "limit_kg_m3": 0.42,
        "limit_source": "an edition of the code",
        **more,
    }


def test_a_charge_just_over_the_limit_fails_though_it_would_be_shown_as_the_limit() -> None:
    assert result_of("room_limit", a_room(charge_kg=12.6))["verdict"] == "pass"
    assert result_of("room_limit", a_room(charge_kg=12.6000001))["verdict"] == "fail"


def test_a_pass_that_is_near_says_how_near() -> None:
    reason = result_of("room_limit", a_room(charge_kg=12))["reasons"][0]

    assert reason["code"] == "room_barely_large_enough"
    assert reason["values"]["share_pct"] == pytest.approx(95.238, abs=1e-3)
    assert reason["values"]["smallest_room_m3"] == pytest.approx(28.571, abs=1e-3)


def test_the_source_of_the_limit_is_carried_with_the_verdict() -> None:
    values = result_of("room_limit", a_room(limit_mark="S"))["reasons"][0]["values"]

    assert (values["source"], values["mark"]) == ("an edition of the code", "S")


def test_a_limit_without_a_mark_counts_as_from_memory() -> None:
    assert result_of("room_limit", a_room())["reasons"][0]["values"]["mark"] == "M"


def test_a_screening_always_says_that_it_is_one() -> None:
    for name in ("R-410A", "R-32", "R-454B", "R-407C", "R-134a"):
        cautions = result_of("room_limit", a_room(refrigerant=name))["cautions"]

        assert cautions[0] == "caution.screening_only"
        assert ("caution.flammable_charge_rules" in cautions) == (name in {"R-32", "R-454B"})


def test_one_printed_unit_is_not_made_from_another() -> None:
    # 420 g/m3 are 26.22 lb per 1000 cubic feet; printed is 26.
    row = result_of("room_limits", {})["limits"][0]

    assert row["limit_lb_1000_ft3"] == 26
    assert row["limit_kg_m3"] * 1000 / 16.018463 == pytest.approx(26.22, abs=0.005)


def test_no_limit_is_offered_where_copies_of_the_documents_conflict() -> None:
    rows = {row["refrigerant"]: row for row in result_of("room_limits", {})["limits"]}

    assert rows["R-454B"]["limit_kg_m3"] is None
    assert {name: row["mark"] for name, row in rows.items()} == {
        "R-410A": "M",
        "R-32": "S",
        "R-454B": "M",
        "R-407C": "M",
        "R-134a": "S",
    }


@pytest.mark.parametrize(("charge_kg", "code"), [(11.33, "room_large_enough"), (11.35, "room_barely_large_enough")])
def test_from_nine_tenths_of_what_is_allowed_a_pass_is_told_to_be_near(charge_kg: float, code: str) -> None:
    # Allowed are 12.6 kg.
    result = result_of("room_limit", a_room(charge_kg=charge_kg))

    assert result["verdict"] == "pass"
    assert result["reasons"][0]["code"] == code


@pytest.mark.parametrize("blank", ["", "  "])
def test_a_limit_without_a_document_decides_nothing(blank: str) -> None:
    assert error_of("room_limit", a_room(limit_source=blank))["field"] == "limit_source"


@RANDOM
@given(charges, rooms, allowed_limits)
def test_the_verdict_turns_at_the_smallest_room(charge_kg: float, room_m3: float, limit: float) -> None:
    result = result_of("room_limit", a_room(charge_kg=charge_kg, room_m3=room_m3, limit_kg_m3=limit))
    assume(abs(result["share_pct"] - 100) > 1e-6)

    assert (result["verdict"] == "pass") == (room_m3 > result["smallest_room_m3"])
    assert (result["verdict"] == "pass") == (result["concentration_kg_m3"] < limit)
    assert (result["verdict"] == "pass") == (result["margin_kg"] > 0)
    assert (result["verdict"] == "fail") == (result["reasons"][0]["code"] == "room_too_small")


@RANDOM
@given(charges, rooms, st.floats(1.001, 10))
def test_a_larger_room_never_turns_a_pass_into_a_fail(charge_kg: float, room_m3: float, times: float) -> None:
    small = result_of("room_limit", a_room(charge_kg=charge_kg, room_m3=room_m3))
    large = result_of("room_limit", a_room(charge_kg=charge_kg, room_m3=room_m3 * times))

    assert large["allowed_kg"] > small["allowed_kg"]
    assert (small["verdict"], large["verdict"]) != ("pass", "fail")


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"refrigerant": "air"}, "not_a_choice", "refrigerant"),
        ({"charge_kg": None}, "missing", "charge_kg"),
        ({"charge_kg": 0}, "out_of_range", "charge_kg"),
        ({"room_m3": "30"}, "not_a_number", "room_m3"),
        ({"room_m3": 0}, "out_of_range", "room_m3"),
        ({"limit_kg_m3": None}, "missing", "limit_kg_m3"),
        ({"limit_kg_m3": 420}, "out_of_range", "limit_kg_m3"),
        ({"limit_source": None}, "missing", "limit_source"),
        ({"limit_source": 1103}, "not_a_choice", "limit_source"),
        ({"limit_mark": "X"}, "not_a_choice", "limit_mark"),
    ],
)
def test_a_bad_input_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("room_limit", a_room(**more))

    assert error["code"] == code
    assert error["field"] == field
