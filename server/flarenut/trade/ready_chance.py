"""How likely the site is ready at a moment: the return plan, run many times with drawn hours.

What the chance knows of: the hours between low and high, the shifts, few hands, promises that
break. What it does not know of: whatever is not on the list. Without a promise work is taken to
begin at once, so a chance with `no_promise` among its reasons is a hopeful one.
"""

from . import (
    calendars,
    draws,
    job_plan,
    ranges,
    remaining,
    return_plan,
    sequence,
    simulated_plan,
    verdicts,
    visit,
)

NAME = "ready_chance"
WHAT = "Chance that the site is ready at a moment, and the moments of 5 and of 8 in 10 chances"
JOB_NAME = "job_chance"
JOB_WHAT = "The same from a job's rows"

# With 2,000 runs a chance of one half is known within 2.2 percent points, two deviations (H).
USUAL_RUNS = 2000
FEWEST_RUNS = 100
MOST_RUNS = 10000  # A phone needs some seconds for these.
USUAL_KEPT_SHARE = 0.75  # Three promises of four are kept (P).
USUAL_LATE_SHIFTS = 3  # A broken one is late by one to three shifts, each as likely (P).
MOST_LATE_SHIFTS = 20
HALF_PCT = 50
EIGHT_IN_TEN_PCT = 80

OWN_INPUTS = [
    ("at", "s", True, "moment asked about, seconds since 1970-01-01 UTC"),
    ("seed", "", True, "whole number; the same seed gives the same digits everywhere"),
    ("runs", "", False, "100 to 10000, 2000 when absent"),
    ("promise_kept_share", "", False, "0 to 1, how many promises are kept; 0.75 when absent (P)"),
    ("promise_late_shifts", "", False, "a broken one is 1 to this many shifts late; 3 (P)"),
]
INPUTS = OWN_INPUTS + return_plan.INPUTS
JOB_INPUTS = OWN_INPUTS + job_plan.INPUTS
OUTPUTS = [
    ("chance", "", "share of the runs in which the site is ready at or before `at`, 0 to 1"),
    ("ready_at_p50", "s", "in half of the runs the site is ready by then; whole seconds"),
    ("ready_at_p80", "s", "in 8 of 10 runs the site is ready by then; whole seconds"),
    ("runs", "", "how many runs there were"),
    ("state", "", "wait_contractor, to_book, nothing_left"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def ready_chance(data: dict[str, object]) -> dict[str, object]:
    """The chance, from explicit steps and issues."""
    site, steps, issues = return_plan.read(data)
    left = remaining.Remaining(steps, issues=issues, calendar=site.calendar)
    return _chance(data, left=left, site=site)


def job_chance(data: dict[str, object]) -> dict[str, object]:
    """The chance, from a job's rows."""
    site, steps, issues = job_plan.read(data)
    left = remaining.Remaining(steps, issues=issues, calendar=site.calendar)
    return _chance(data, left=left, site=site)


def _chance(
    data: dict[str, object], *, left: remaining.Remaining, site: visit.Site
) -> dict[str, object]:
    """Chance and dates of what is left.

    Valid for   whole seconds: a draw is brought to the nearest, `now` to the second begun
    Formula     chance = runs with ready <= at / runs; the date of p % is the first moment by
                which at least p % of the runs are ready                              [A]
    Source A    definition of a quantile of a sample (H)
    """
    at_s = ranges.number(data, "at", low=0.0, high=calendars.LATEST_S, unit="s")
    seed = ranges.whole(data, "seed", low=0, high=draws.HIGHEST_SEED, unit="seed")
    runs = _read_runs(data)
    promises = _read_promises(data)
    work = visit.Work(left, site=site)
    start_s = int(site.now_s)
    plan = simulated_plan.SimulatedPlan(work, start_s=start_s, promises=promises)
    drawn = draws.Draws(seed)
    ready = sorted([plan.run(drawn) for _ in range(runs)])
    return {
        "chance": len([one for one in ready if one + start_s <= at_s]) / runs,
        "ready_at_p50": start_s + _quantile(ready, pct=HALF_PCT),
        "ready_at_p80": start_s + _quantile(ready, pct=EIGHT_IN_TEN_PCT),
        "runs": runs,
        "state": work.state(),
        "reasons": _reasons(work, plan=plan, runs=runs),
        "cautions": [],
    }


def _quantile(ready: list[int], *, pct: int) -> int:
    return ready[(len(ready) * pct + 99) // 100 - 1]


def _read_runs(data: dict[str, object]) -> int:
    if data.get("runs") is None:
        return USUAL_RUNS
    return ranges.whole(data, "runs", low=FEWEST_RUNS, high=MOST_RUNS, unit="runs")


def _read_promises(data: dict[str, object]) -> draws.Promises:
    kept = ranges.number_or(
        data, "promise_kept_share", default=USUAL_KEPT_SHARE, low=0.0, high=1.0, unit="share"
    )
    late = USUAL_LATE_SHIFTS
    if data.get("promise_late_shifts") is not None:
        most = MOST_LATE_SHIFTS
        late = ranges.whole(data, "promise_late_shifts", low=1, high=most, unit="shifts")
    return draws.Promises(kept_share=kept, late_shifts=late)


def _reasons(
    work: visit.Work, *, plan: simulated_plan.SimulatedPlan, runs: int
) -> list[dict[str, object]]:
    """What a reader must know to trust the chance."""
    found = work.about_promises()
    shared = {"source": sequence.COMMON, "mark": verdicts.COMMON_PRACTICE}
    if any(plan.promised):
        kept = plan.promises.kept_share
        late = plan.promises.late_shifts
        found.append(
            verdicts.reason("promises_may_break", kept_share=kept, late_shifts=late, **shared)
        )
    if plan.items:
        found.append(verdicts.reason("hours_spread", runs=runs, shape="triangular", **shared))
    return found
