"""The supply of an outdoor module."""

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, result_of

PHASES = ["v_ab_v", "v_bc_v", "v_ca_v"]


def a_supply(**more: Any) -> dict[str, Any]:
    sound = {"v_ab_v": 400, "v_bc_v": 401, "v_ca_v": 399, "nominal_v": 400, "rotation": "forward"}
    return {**sound, **more}


def codes_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]


@RANDOM
@given(st.lists(st.floats(200, 300), min_size=3, max_size=3), st.permutations([0, 1, 2]))
def test_the_order_of_the_phases_does_not_change_the_unbalance(volts: list[float], order: list[int]) -> None:
    one = result_of("supply_power", a_supply(**dict(zip(PHASES, volts, strict=True))))
    other = result_of(
        "supply_power",
        a_supply(**{name: volts[at] for name, at in zip(PHASES, order, strict=True)}),
    )

    assert other["unbalance_pct"] == pytest.approx(one["unbalance_pct"], rel=1e-9, abs=1e-9)
    assert other["true_unbalance_pct"] == pytest.approx(one["true_unbalance_pct"], rel=1e-6, abs=1e-5)
    assert other["deviation_pct"] == pytest.approx(one["deviation_pct"], rel=1e-9, abs=1e-9)


def by_components_pct(volts: list[float]) -> float:
    """Negative over positive sequence; the three voltages close to a triangle, its corners give the phasors."""
    ab, bc, ca = volts
    x = (ab * ab + ca * ca - bc * bc) / (2 * ab)
    y = max(0.0, ca * ca - x * x) ** 0.5
    v_ab, v_bc, v_ca = complex(ab, 0), complex(x - ab, y), complex(-x, -y)
    turn = complex(-0.5, 3**0.5 / 2)
    sequences = sorted([abs(v_ab + turn * v_bc + turn**2 * v_ca), abs(v_ab + turn**2 * v_bc + turn * v_ca)])
    return 100 * sequences[0] / sequences[1]


def true_pct(volts: list[float]) -> float:
    return float(result_of("supply_power", a_supply(**dict(zip(PHASES, volts, strict=True))))["true_unbalance_pct"])


def library_checks() -> list[Check]:
    """True unbalance over a grid of three voltages from 360 to 440 V."""
    grid = [[float(one) for one in volts] for volts in product(range(360, 441, 10), repeat=3)]
    worst = max(abs(true_pct(volts) - by_components_pct(volts)) for volts in grid)
    source = "symmetrical components of the phasors"
    return [Check("supply_power", "true_unbalance_pct, 360 to 440 V", len(grid), worst, "%", 1e-5, source, "H")]


def test_true_unbalance_agrees_over_the_grid_of_the_report() -> None:
    (check,) = library_checks()

    assert check.cases == 729
    assert check.holds()


@RANDOM
@given(st.lists(st.floats(200, 300), min_size=3, max_size=3))
def test_true_unbalance_agrees_with_symmetrical_components(volts: list[float]) -> None:
    assert true_pct(volts) == pytest.approx(by_components_pct(volts), rel=1e-6, abs=1e-5)


def test_reversed_rotation_fails_a_supply_that_is_sound_otherwise() -> None:
    result = result_of("supply_power", a_supply(rotation="reverse"))

    assert result["verdict"] == "fail"
    assert codes_of(result) == [
        "rotation_reverse",
        "unbalance_within_limit",
        "deviation_within_limit",
    ]
    assert "next.swap_two_conductors" in result["next"]
    assert "next.measure_again_before_start" in result["next"]
    assert result["cautions"] == ["caution.supply"]


def test_rotation_not_measured_leaves_it_unclear_and_says_what_settles_it() -> None:
    result = result_of("supply_power", a_supply(rotation="not_measured"))

    assert result["verdict"] == "unclear"
    assert result["next"] == ["next.measure_rotation"]


def test_rotation_not_measured_does_not_hide_a_failure() -> None:
    result = result_of("supply_power", a_supply(rotation="not_measured", v_ab_v=420))

    assert result["verdict"] == "fail"
    assert "rotation_not_measured" in codes_of(result)
    assert "unbalance_over_limit" in codes_of(result)


def test_every_number_that_decides_comes_with_limit_unit_source_and_mark() -> None:
    result = result_of("supply_power", a_supply(v_ab_v=380))

    judged = [reason for reason in result["reasons"] if "limit" in reason["values"]]
    assert len(judged) == 2
    for reason in judged:
        assert set(reason["values"]) == {"value", "limit", "unit", "source", "mark"}


def test_a_limit_with_a_blank_for_its_source_is_one_of_the_limits_sheet() -> None:
    result = result_of("supply_power", a_supply(unbalance_limit_pct=3, unbalance_limit_source=" "))

    judged = next(reason for reason in result["reasons"] if reason["code"] == "unbalance_within_limit")
    assert judged["values"]["source"] == "limits sheet"
    assert judged["values"]["mark"] == "M"


def test_the_verdict_is_judged_on_the_raw_number_and_not_on_what_is_shown() -> None:
    # Mean 400, farthest 8.001 away: 2.00025 %, shown as 2.00 %.
    result = result_of("supply_power", a_supply(v_ab_v=408.001, v_bc_v=396, v_ca_v=395.999))

    assert result["verdict"] == "fail"


def test_a_voltage_far_from_nominal_fails_even_when_the_mean_is_not() -> None:
    result = result_of(
        "supply_power",
        a_supply(v_ab_v=354, v_bc_v=366, v_ca_v=366, unbalance_limit_pct=5),
    )

    assert result["deviation_pct"] == pytest.approx(-11.5)
    assert codes_of(result)[-1] == "deviation_over_limit"


@pytest.mark.parametrize("name", [*PHASES, "nominal_v"])
@pytest.mark.parametrize(
    ("value", "code"),
    [
        (None, "missing"),
        ("400", "not_a_number"),
        (True, "not_a_number"),
        ([400], "not_a_number"),
        (-1, "out_of_range"),
        (1000.1, "out_of_range"),
        (1e999, "bad_json"),
    ],
)
def test_a_voltage_that_is_none_is_refused_by_name(name: str, value: Any, code: str) -> None:
    error = error_of("supply_power", a_supply(**{name: value}))

    assert error["code"] == code
    if code in ("not_a_number", "out_of_range"):
        assert error["field"] == name
        assert error["limits"] == {
            "low": 50 if name == "nominal_v" else 0,
            "high": 1000,
            "unit": "V",
        }


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"rotation": "sideways"}, "not_a_choice", "rotation"),
        ({"rotation": None}, "missing", "rotation"),
        ({"i_a_a": 10, "i_b_a": 11}, "missing", "i_c_a"),
        ({"i_a_a": 10, "i_b_a": 11, "i_c_a": -1}, "out_of_range", "i_c_a"),
        ({"unbalance_limit_pct": 5.1}, "out_of_range", "unbalance_limit_pct"),
        ({"tolerance_pct": 0}, "out_of_range", "tolerance_pct"),
        ({"tolerance_pct": 5, "tolerance_mark": "X"}, "not_a_choice", "tolerance_mark"),
        ({"unbalance_limit_pct": 1, "unbalance_limit_source": 7}, "not_a_choice", None),
        ({"v_ab_v": 0, "v_bc_v": 0, "v_ca_v": 0}, "contradictory", "v_ab_v"),
        ({"v_ab_v": 900}, "contradictory", "v_ab_v"),
    ],
)
def test_a_bad_input_is_named(more: dict[str, Any], code: str, field: str | None) -> None:
    error = error_of("supply_power", a_supply(**more))

    assert error["code"] == code
    assert error["field"] == (field or "unbalance_limit_source")


def test_no_load_has_no_current_unbalance() -> None:
    result = result_of("supply_power", a_supply(i_a_a=0, i_b_a=0, i_c_a=0))

    assert result["current_unbalance_pct"] is None
