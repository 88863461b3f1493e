"""The chance to be ready: the draws, the simulated plan, and what is said of both."""

import math
from collections.abc import Callable
from typing import Any

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from flarenut.trade import draws, remaining, return_plan, simulated_plan, visit
from tests.trade import random_graphs
from tests.trade.checks import Check
from tests.trade.jobs import Job, moment
from tests.trade.runtimes import here, on_the_phone, result_of
from tests.trade.sites import a_repair, a_site, a_step

DAY_S = 86400
# What a share of 2,000 runs may be off by: three standard deviations of the worst case.
SHARE_OFF = 3 * math.sqrt(0.25 / 2000)
ALWAYS = {"shift_start": "00:00", "shift_end": "24:00", "shift_days": [1, 2, 3, 4, 5, 6, 7]}
CHAIN = [(3600, 7200, 36000), (7200, 7200, 10800), (600, 20000, 20000), (0, 40000, 80000), (100, 200, 90000)]
SHAPES = [(0, 1, 2), (0, 0, 90000), (3600, 7200, 36000), (10, 5000, 5000), (86400, 86400, 93600)]


def asked(plan: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {**plan, "at": plan["now"] + 10 * DAY_S, "seed": 20261125, "runs": 200, **more}


def a_chain() -> dict[str, Any]:
    """Steps one after the other, where people work day and night."""
    names = [f"step{n}" for n in range(len(CHAIN))]
    steps = [
        a_step(
            name,
            hours=0,
            needs=names[max(0, n - 1) : n],
            duration_s=dict(zip(("low", "likely", "high"), CHAIN[n], strict=True)),
        )
        for n, name in enumerate(names)
    ]
    return a_site("2026-12-01 10:00", shift=ALWAYS, steps=steps)


def certain(plan: dict[str, Any]) -> dict[str, Any]:
    """The same plan, with hours that are known."""
    for step in plan["steps"]:
        likely = step["duration_s"]["likely"]
        step["duration_s"] = {"low": likely, "likely": likely, "high": likely}
    for issue in plan["issues"]:
        likely = issue["repair_s"]["likely"]
        issue["repair_s"] = {"low": likely, "likely": likely, "high": likely}
    return plan


def simulated(plan: dict[str, Any]) -> simulated_plan.SimulatedPlan:
    site, steps, issues = return_plan.read(plan)
    work = visit.Work(remaining.Remaining(steps, issues=issues, calendar=site.calendar), site=site)
    promises = draws.Promises(kept_share=0.75, late_shifts=3)
    return simulated_plan.SimulatedPlan(work, start_s=int(site.now_s), promises=promises)


def generator_checks() -> list[Check]:
    drawn = draws.Draws(0)
    drawn.state = 1.0
    for _ in range(10_000):
        drawn.share()
    error = abs(drawn.state - 399268537.0)
    what = "the 10,000th number from 1"
    return [Check("ready_chance", what, 1, error, "", 0.0, "ISO C++ [rand.predef], minstd_rand", "S")]


def triangle_checks() -> list[Check]:
    """Every draw is the quantile of its share, to the half second that rounding moves it."""
    worst = 0.0
    drawn, shares = draws.Draws(7), draws.Draws(7)
    for _ in range(400):
        hours = drawn.hours([draws.triangle(shape) for shape in SHAPES])
        for (low, likely, high), found in zip(SHAPES, hours, strict=True):
            turn = (likely - low) / (high - low)
            quantile = stats.triang.ppf(shares.share(), turn, loc=low, scale=high - low)
            worst = max(worst, abs(found - float(quantile)))
    return [Check("ready_chance", "drawn hours", 400 * len(SHAPES), worst, "s", 0.5 + 1e-6, "scipy.stats.triang", "L")]


def chain_checks() -> list[Check]:
    """A chain around the clock against numpy's own generator: only the sum counts."""
    random = np.random.default_rng(20261125)
    total = sum(random.triangular(low, likely, high, 400_000) for low, likely, high in CHAIN)
    half, eight = np.quantile(total, [0.5, 0.8])
    plan = a_chain()
    result = result_of("ready_chance", asked(plan, runs=10_000, at=plan["now"] + float(eight)))
    spread = float(np.std(total))
    chance = abs(result["chance"] - 0.8)
    p50 = abs(result["ready_at_p50"] - plan["now"] - float(half)) / spread
    p80 = abs(result["ready_at_p80"] - plan["now"] - float(eight)) / spread
    source, share = "numpy, triangular chain, 400,000 runs", 3 * math.sqrt(0.16 / 10_000)
    # The density of the sum at its quantiles, in units of its spread, is above a quarter.
    return [
        Check("ready_chance", "chance of a chain", 10_000, chance, "", share, source, "L"),
        Check("ready_chance", "ready_at_p50 of a chain, in deviations", 10_000, p50, "", 0.06, source, "L"),
        Check("ready_chance", "ready_at_p80 of a chain, in deviations", 10_000, p80, "", 0.06, source, "L"),
    ]


def library_checks() -> list[Check]:
    return [*generator_checks(), *triangle_checks(), *chain_checks()]


@pytest.mark.parametrize("make", [generator_checks, triangle_checks, chain_checks])
def test_draws_and_sums_agree_with_their_source(make: Callable[[], list[Check]]) -> None:
    checks = make()

    assert checks
    for check in checks:
        assert check.cases > 0, check
        assert check.holds(), check


def test_the_share_of_draws_is_even_from_nought_to_one() -> None:
    drawn = draws.Draws(1)

    shares = [drawn.share() for _ in range(50_000)]

    assert stats.kstest(shares, "uniform").pvalue > 0.001
    assert min(shares) > 0
    assert max(shares) < 1
    assert abs(np.corrcoef(shares[:-1], shares[1:])[0, 1]) < 0.02


def test_neighbouring_seeds_draw_differently() -> None:
    firsts = [draws.Draws(seed).share() for seed in range(2000)]

    assert stats.kstest(firsts, "uniform").pvalue > 0.001
    assert len(set(firsts)) == 2000


@random_graphs.RANDOM
@given(random_graphs.plans(who=("contractor",)))
def test_a_run_without_few_hands_ends_with_the_longest_path(plan: dict[str, Any]) -> None:
    work = simulated(plan)
    hours = draws.Draws(3).hours(work.shapes)

    end = work.run(draws.Draws(3))

    names = [item.name for item in work.items]
    graph = nx.DiGraph()
    graph.add_nodes_from(names)
    for at, later in enumerate(work.feeds):
        graph.add_edges_from((names[at], names[after]) for after in later)
    finish = random_graphs.longest_finish(graph, weight=dict(zip(names, hours, strict=True)))
    needed = [finish[name] for name, is_needed in zip(names, work.is_needed, strict=True) if is_needed]
    assert end == max(needed, default=0)


@random_graphs.RANDOM
@given(random_graphs.plans(who=("contractor",)), st.integers(1, 3), st.integers(6, 20))
def test_hours_that_are_known_give_the_day_of_the_return_plan(plan: dict[str, Any], crews: int, end: int) -> None:
    plan["crew"] = {"technician": crews, "contractor": crews}
    plan["shift"] = {"shift_start": "05:00", "shift_end": f"{end:02}:30", "shift_days": [1, 2, 3, 5]}
    # Much to do and few hands: whose turn it is decides the day.
    for step in plan["steps"]:
        step["state"] = "todo"

    result = result_of("ready_chance", asked(certain(plan), runs=100))

    ready_at = result_of("return_plan", plan)["ready_at"]
    assert result["ready_at_p50"] == result["ready_at_p80"] == ready_at
    assert result["chance"] == float(ready_at <= plan["now"] + 10 * DAY_S)


@random_graphs.RANDOM
@given(random_graphs.plans())
def test_half_of_the_runs_are_ready_no_later_than_eight_in_ten(plan: dict[str, Any]) -> None:
    result = result_of("ready_chance", asked(plan, runs=100))

    # Every draw is brought to the nearest second.
    best = result_of("return_plan", plan)["ready_at_best"] - len(plan["steps"]) - len(plan["issues"])
    assert best <= result["ready_at_p50"] <= result["ready_at_p80"]
    assert result_of("ready_chance", asked(plan, runs=100, at=result["ready_at_p50"]))["chance"] >= 0.5
    assert result_of("ready_chance", asked(plan, runs=100, at=result["ready_at_p50"] - 1))["chance"] < 0.5


def test_a_later_day_is_never_less_likely() -> None:
    plan = a_chain()

    chances = [result_of("ready_chance", asked(plan, at=plan["now"] + 10_000 * n))["chance"] for n in range(30)]

    assert chances == sorted(chances)
    assert chances[0] == 0
    assert chances[-1] == 1


def test_one_crew_for_two_repairs_is_ready_later_than_two_crews() -> None:
    hours = {"low": 3600, "likely": 7200, "high": 28800}
    steps = [a_step("charge", hours=0)]
    issues = [a_repair(name, hours=1, stops=["charge"], repair_s=hours) for name in ("leak", "joint")]
    plan = a_site("2026-12-01 10:00", shift=ALWAYS, steps=steps, issues=issues)

    one = result_of("ready_chance", asked(plan, crew={"contractor": 1}))
    two = result_of("ready_chance", asked(plan, crew={"contractor": 2}))

    assert one["ready_at_p50"] > two["ready_at_p50"] + 3600
    assert [reason["code"] for reason in one["reasons"]] == ["no_promise", "no_promise", "hours_spread"]


def test_another_seed_gives_about_the_same_chance() -> None:
    plan = a_chain()
    at = result_of("ready_chance", asked(plan, runs=2000))["ready_at_p50"]

    chances = [result_of("ready_chance", asked(plan, runs=2000, seed=seed, at=at))["chance"] for seed in range(8)]

    assert len(set(chances)) > 1
    assert all(abs(chance - 0.5) < 2 * SHARE_OFF for chance in chances)


def test_a_promise_beyond_the_clock_change_holds_by_the_clock_on_the_wall() -> None:
    promised = moment("2027-03-15 09:00")
    leak = a_repair("leak", hours=1, stops=["charge"], promised_at=promised)
    plan = a_site("2027-03-12 10:00", steps=[a_step("charge", hours=0)], issues=[leak])

    result = result_of("ready_chance", asked(plan, promise_kept_share=1))

    assert result["ready_at_p80"] == moment("2027-03-15 15:30")


def test_the_chance_of_a_job_is_that_of_its_plan() -> None:
    job = Job()
    job.mark_all(but=("pressure_hold", "evacuation", "standing_vacuum", "charge", "preheat", "test_run"))
    job.raise_issue("leak", on="L1", category="leak", promised_on="2026-12-03")
    plan = job.plan()

    result = result_of("job_chance", {**job.rows(), "at": plan["ready_at"], "seed": 1, "runs": 500})

    assert plan["ready_at_best"] <= result["ready_at_p50"] <= result["ready_at_p80"]
    assert 0 < result["chance"] < 1
    assert result["state"] == plan["state"] == "wait_contractor"
    assert "promises_may_break" in [reason["code"] for reason in result["reasons"]]


def test_a_job_with_known_hours_is_ready_on_the_day_of_its_plan() -> None:
    job = Job()
    job.mark_all(but=("evacuation", "charge", "test_run"))
    one, other = {"low": 7200, "likely": 7200, "high": 7200}, {"low": 30000, "likely": 30000, "high": 30000}
    rows = {**job.rows(), "durations": {"evacuation": other, "charge": one}}

    result = result_of("job_chance", {**rows, "at": job.now, "seed": 1, "runs": 100})

    assert result["ready_at_p50"] == result["ready_at_p80"] == result_of("job_plan", rows)["ready_at"]


def test_one_seed_gives_the_same_digits_on_the_phone() -> None:
    inputs: list[dict[str, Any]] = []

    @random_graphs.RANDOM
    @given(random_graphs.plans(), st.integers(0, 10**9), st.integers(1, 2))
    def gather(plan: dict[str, Any], seed: int, crews: int) -> None:
        promised = [{**issue, "promised_at": plan["now"] + DAY_S} for issue in plan["issues"]]
        more = {"issues": promised, "crew": {"contractor": crews}, "now": plan["now"] + 0.7}
        inputs.append(asked({**plan, **more}, seed=seed, runs=100))

    gather()

    phone = on_the_phone([("ready_chance", data) for data in inputs])

    assert len(inputs) > 50
    assert phone == [here("ready_chance", data) for data in inputs]
