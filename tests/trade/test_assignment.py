"""The assignment solver against scipy's."""

import functools
import random
from itertools import permutations

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from flarenut.trade.assignment import Match
from tests.trade.checks import Check

SEED = 20_261_125
MATRICES = 1000
KINDS = ["whole numbers with ties", "fractions", "of both signs", "more columns than rows"]

Costs = list[list[float]]


def seeded(what: str = "") -> random.Random:
    return random.Random(f"{SEED} {what}")  # noqa: S311 -- a test's draws keep no secret.


def a_matrix(rng: random.Random, *, kind: str, most: int = 24) -> Costs:
    rows = rng.randint(1, most)
    columns = rows + (rng.randint(1, 8) if kind == "more columns than rows" else 0)
    draw = {
        "whole numbers with ties": lambda: rng.randint(0, 5),
        "fractions": lambda: rng.uniform(0, 100),
        "of both signs": lambda: rng.uniform(-1e6, 1e6),
        "more columns than rows": lambda: rng.randint(0, 30),
    }[kind]
    return [[draw() for _ in range(columns)] for _ in range(rows)]


def total(costs: Costs, columns: list[int]) -> float:
    return sum(costs[row][column] for row, column in enumerate(columns))


def best_total(costs: Costs) -> float:
    rows, columns = linear_sum_assignment(np.array(costs))
    return float(np.array(costs)[rows, columns].sum())


def biggest(costs: Costs) -> float:
    return max(1.0, *(abs(cost) for row in costs for cost in row))


@functools.cache
def worst_of(kind: str) -> float:
    """The largest difference of the totals, of the largest cost, over a quarter of the matrices."""
    rng = seeded(kind)
    worst = 0.0
    for _ in range(MATRICES // len(KINDS)):
        costs = a_matrix(rng, kind=kind)
        columns = Match(costs).columns
        assert len(set(columns)) == len(costs)
        worst = max(worst, abs(total(costs, columns) - best_total(costs)) / biggest(costs))
    return worst


def library_checks() -> list[Check]:
    """The solver on a thousand random matrices."""
    return [check_of(kind) for kind in KINDS]


def check_of(kind: str) -> Check:
    return Check(
        calculation="port_check_read",
        what=f"assignment, {kind}",
        cases=MATRICES // len(KINDS),
        worst_error=worst_of(kind),
        unit="of the largest cost",
        allowed=0.0 if "whole" in kind or "columns" in kind else 1e-12,
        source="scipy linear_sum_assignment",
        mark="L",
    )


@pytest.mark.parametrize("kind", KINDS)
def test_no_match_is_cheaper_than_ours_on_a_thousand_random_matrices(kind: str) -> None:
    print("seed", SEED)  # noqa: T201 -- shown when the test fails.

    check = check_of(kind)

    assert check.cases == MATRICES // len(KINDS)
    assert check.worst_error <= check.allowed


def test_the_published_example_comes_out() -> None:
    costs = [[4, 1, 3], [2, 0, 5], [3, 2, 2]]

    match = Match([[float(cost) for cost in row] for row in costs])

    assert match.columns == [1, 0, 2]
    assert total(match.costs, match.columns) == 5


def test_a_match_of_sixty_four_is_the_best_one() -> None:
    rng = seeded()
    costs = [[rng.uniform(0, 100) for _ in range(64)] for _ in range(64)]

    match = Match(costs)

    assert total(costs, match.columns) == pytest.approx(best_total(costs), rel=1e-12)


def test_the_detour_costs_what_solving_anew_does() -> None:
    rng = seeded()
    for _ in range(200):
        costs = a_matrix(rng, kind="fractions", most=10)
        if len(costs) == 1:
            continue
        row = rng.randrange(len(costs))
        match = Match(costs)
        # Without the pair: dearer than any match could make up for.
        barred = [cost + (1e5 if column == match.columns[row] else 0) for column, cost in enumerate(costs[row])]

        extra, column = match.detour(row, costs=barred)

        others = [barred if at == row else costs[at] for at in range(len(costs))]
        assert extra == pytest.approx(best_total(others) - best_total(costs), abs=1e-9)
        assert column != match.columns[row]


def test_all_matches_of_four_are_tried_and_none_is_cheaper() -> None:
    rng = seeded()
    for _ in range(100):
        costs = [[rng.randint(0, 3) for _ in range(4)] for _ in range(4)]

        match = Match([[float(cost) for cost in row] for row in costs])

        assert total(match.costs, match.columns) == min(total(match.costs, list(p)) for p in permutations(range(4)))
