"""Installs with units on wrong ports, and what a port check would read in them."""

import math
import random
from itertools import combinations
from typing import Any

from tests.trade.runtimes import result_of

SEED = 20_261_125
ROUND_S = 600.0
LAG_S = 300.0
NOISE_K = 0.5
ANSWERS_K = (5.0, 10.0)
# A wrong reading: mistyped, another unit's, a door open.
WRONG_K = (-5.0, 15.0)

Truth = list[int | None]
"""Of each unit the port it hangs on, by place; None for a unit that never answers."""


def names(count: int) -> list[str]:
    """Tags of units."""
    return [f"U{at}" for at in range(count)]


def a_plan(count: int, **more: Any) -> dict[str, Any]:
    """What to ask a plan for."""
    return {"units": [{"unit": name} for name in names(count)], "distance": 4, "max_share_on": 0.6, **more}


def distance(codes: list[str]) -> int:
    """Counted digit by digit."""
    return min(sum(a != b for a, b in zip(one, other, strict=True)) for one, other in combinations(codes, 2))


def two_swaps(rng: random.Random, *, count: int) -> Truth:
    """Four units in two pairs, each on the port of the other."""
    truth: Truth = list(range(count))
    a, b, c, d = rng.sample(range(count), 4)
    truth[a], truth[b], truth[c], truth[d] = b, a, d, c
    return truth


def reading(
    codes: list[dict[str, str]],
    truth: Truth,
    *,
    rng: random.Random,
    noise_k: float = NOISE_K,
    lag_s: float = LAG_S,
    wrong_share: float = 0.0,
) -> dict[str, Any]:
    """Input of a reading: every unit follows its valve with a lag, and is read with noise."""
    responses = []
    for name, port in zip(names(len(truth)), truth, strict=True):
        answer_k = rng.uniform(*ANSWERS_K)
        state = 0.0
        values = []
        for at in range(len(codes[0]["code"])):
            is_on = port is not None and codes[port]["code"][at] == "1"
            target_k = answer_k if is_on else 0.0
            state = target_k + (state - target_k) * (math.exp(-ROUND_S / lag_s) if lag_s else 0.0)
            is_wrong = rng.random() < wrong_share
            values.append(rng.uniform(*WRONG_K) if is_wrong else state + rng.gauss(0, noise_k))
        responses.append({"unit": name, "values": values})
    return {
        "codes": codes,
        "responses": responses,
        "round_s": ROUND_S,
        "lag_s": lag_s,
        "noise_k": max(noise_k, 0.1),
    }


def seeded() -> random.Random:
    """The same draws in every run."""
    return random.Random(SEED)  # noqa: S311 -- a test's draws keep no secret.


def codes_for(count: int, **more: Any) -> list[dict[str, str]]:
    """The plan, as words."""
    codes: list[dict[str, str]] = result_of("port_check_plan", a_plan(count, **more))["codes"]
    return codes


def reasons_of(result: dict[str, Any]) -> list[str]:
    """Their codes."""
    return [reason["code"] for reason in result["reasons"]]
