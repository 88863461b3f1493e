"""Published and derived values, in both runtimes, from the same files."""

import json
from typing import Any

import pytest

from flarenut.trade import entry
from tests.trade import handbook
from tests.trade.runtimes import here, on_the_phone

# Their inputs are the rows of a job, which tests make from a story; see test_job_plan.py.
OF_A_WHOLE_JOB = {"job_plan", "job_chance"}
# What they give is an order or a list to choose from; see the tests of their own.
LISTS = {"round_order", "issue_categories"}
ROWS = handbook.rows()
CASES = handbook.cases()


@pytest.fixture(scope="module")
def phone() -> dict[tuple[str, str], Any]:
    """What MicroPython makes of every case, by calculation and case."""
    answers = on_the_phone([(calculation, inputs) for calculation, _, inputs in CASES])
    return {(case[0], case[1]): answer for case, answer in zip(CASES, answers, strict=True)}


@pytest.mark.parametrize("row", ROWS, ids=[f"{row.calculation}: {row.case}: {row.output}" for row in ROWS])
def test_a_value_of_the_handbook_comes_out(row: handbook.Expected) -> None:
    answer = here(row.calculation, row.inputs)

    value = handbook.look_up(answer, output=row.output)

    if isinstance(value, float | int) and not isinstance(value, bool):
        assert value == pytest.approx(float(row.expected), rel=0, abs=row.tolerance)
    else:
        assert (value if isinstance(value, str) else json.dumps(value)) == row.expected


@pytest.mark.parametrize(("calculation", "case", "inputs"), CASES, ids=[f"{case[0]}: {case[1]}" for case in CASES])
def test_the_phone_gives_the_same_verdict_and_the_same_numbers(
    calculation: str,
    case: str,
    inputs: dict[str, Any],
    phone: dict[tuple[str, str], Any],
) -> None:
    server = here(calculation, inputs)

    assert phone[(calculation, case)] == server


@pytest.mark.parametrize(("calculation", "case", "inputs"), CASES, ids=[f"{case[0]}: {case[1]}" for case in CASES])
def test_a_verdict_says_why_and_a_limit_says_where_it_is_from(
    calculation: str, case: str, inputs: dict[str, Any]
) -> None:
    answer = here(calculation, inputs)

    reasons = answer["result"].get("reasons", []) if answer["ok"] else []
    assert reasons or "verdict" not in answer.get("result", {}), case
    for reason in reasons:
        if "limit" in reason["values"]:
            assert {"unit", "source", "mark"} <= set(reason["values"]), reason
            assert reason["values"]["source"].strip(), reason
            assert reason["values"]["mark"] in handbook.MARKS, reason


def test_every_calculation_is_in_the_handbook() -> None:
    calculations = {row.calculation for row in ROWS}

    known = {calculation["name"] for calculation in json.loads(entry.describe())}
    assert calculations == known - OF_A_WHOLE_JOB - LISTS
