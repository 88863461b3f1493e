"""Straight runs and attitude of a joint."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, result_of


def a_joint(**more: Any) -> dict[str, Any]:
    return {"straight_before_m": 0.6, "straight_after_m": 0.6, "attitude": "level", "tilt_deg": 2, **more}


def codes_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]


def test_a_joint_that_lies_right_passes_by_limits_that_have_no_source() -> None:
    result = result_of("joint_geometry", a_joint())

    assert result["verdict"] == "pass"
    assert codes_of(result) == ["straight_before_enough", "straight_after_enough", "joint_level_within_tilt"]
    assert {reason["values"]["mark"] for reason in result["reasons"]} == {"P"}
    assert result["next"] == result["cautions"] == []


def test_a_limit_of_the_sheet_takes_the_place_of_the_usual_one() -> None:
    result = result_of("joint_geometry", a_joint(straight_limit_m=0.8, straight_limit_source="an invented manual"))

    assert result["verdict"] == "fail"
    assert result["reasons"][0]["values"]["source"] == "an invented manual"
    assert result["reasons"][2]["values"]["source"] == "common practice"


def test_a_short_run_on_either_side_fails_and_says_which() -> None:
    before = result_of("joint_geometry", a_joint(straight_before_m=0.1))
    after = result_of("joint_geometry", a_joint(straight_after_m=0.1))

    assert codes_of(before)[:2] == ["straight_before_too_short", "straight_after_enough"]
    assert codes_of(after)[:2] == ["straight_before_enough", "straight_after_too_short"]
    assert before["next"] == after["next"] == ["next.pipe_the_straight_run_again"]


def test_a_joint_exactly_on_its_limits_passes() -> None:
    on_limits = a_joint(straight_before_m=0.5, straight_after_m=0.5, tilt_deg=10)

    assert result_of("joint_geometry", on_limits)["verdict"] == "pass"
    assert result_of("joint_geometry", {**on_limits, "tilt_deg": 10.001})["verdict"] == "fail"


def test_a_joint_neither_level_nor_vertical_fails_whatever_its_angle() -> None:
    result = result_of("joint_geometry", a_joint(attitude="other", tilt_deg=None))

    assert result["verdict"] == "fail"
    assert result["next"] == ["next.set_the_joint_right"]


def test_putting_it_right_opens_the_circuit_and_that_is_said() -> None:
    assert result_of("joint_geometry", a_joint(tilt_deg=30))["cautions"] == ["caution.opening_the_circuit"]


@RANDOM
@given(st.floats(0, 5), st.floats(0, 5), st.floats(0, 90), st.floats(0, 2))
def test_more_straight_and_less_tilt_never_turn_a_pass_into_a_fail(
    before_m: float, after_m: float, tilt_deg: float, more: float
) -> None:
    joint = a_joint(straight_before_m=before_m, straight_after_m=after_m, tilt_deg=tilt_deg)
    better = a_joint(straight_before_m=before_m + more, straight_after_m=after_m + more, tilt_deg=tilt_deg / (1 + more))

    verdicts = [result_of("joint_geometry", one)["verdict"] for one in (joint, better)]

    assert verdicts != ["pass", "fail"]
    assert (verdicts[0] == "pass") == (min(before_m, after_m) >= 0.5 and tilt_deg <= 10)


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"straight_before_m": None}, "missing", "straight_before_m"),
        ({"straight_after_m": -0.1}, "out_of_range", "straight_after_m"),
        ({"straight_limit_m": "0.5"}, "not_a_number", "straight_limit_m"),
        ({"straight_limit_m": 0.5, "straight_limit_mark": "X"}, "not_a_choice", "straight_limit_mark"),
        ({"attitude": "tilted"}, "not_a_choice", "attitude"),
        ({"attitude": None}, "missing", "attitude"),
        ({"tilt_deg": None}, "missing", "tilt_deg"),
        ({"tilt_deg": 91}, "out_of_range", "tilt_deg"),
        ({"tilt_limit_deg": 46}, "out_of_range", "tilt_limit_deg"),
    ],
)
def test_a_bad_input_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("joint_geometry", a_joint(**more))

    assert error["code"] == code
    assert error["field"] == field
