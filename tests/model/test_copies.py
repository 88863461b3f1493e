"""As in test_model.py, while phones are put back to what they were or copied, and the server comes back from backups.

By turns of the seed: phones only, the server only, or both.
"""

from pathlib import Path

import pytest

from tests.conftest import Say
from tests.model.bench import Bench
from tests.model.failing import keep, with_kept

COPIES = ("--copies",)
A_FIFTIETH = 50  # of the seeds of test_model.py
SHARES = 3
# What the app says with a fault in it, and in which worlds that shows.
FAULTS = {
    "what a restored server lost waits for a timer": {
        "file": "sync/round.ts",
        "before": "there.isMore ? await thereAndBack(line) : there",
        "after": "there",
        "noticed": "waits 10 s after the last fault",
    },
    "what a restored server lost of jobs out of sight stays lost": {
        "file": "sync/epoch.ts",
        "before": "await offerAll(store, { job_id, device_id: asked.device_id, last_seq });",
        "after": "if (last_seq !== undefined) await offerAll(store, { job_id, device_id: asked.device_id, last_seq });",
        "noticed": "has no receipt",
    },
    "only what numbers say is lost is offered": {
        "file": "sync/lanes.ts",
        "before": "isLost: () => true, isShown: isBeyond(gap) }",
        "after": "isLost: isBeyond(gap) }",
        "noticed": "has no receipt",
    },
}
# Any change of the app may give seeds another course; one in 25 shows the first of these, whichever they are.
IN_RESERVE = range(1, 101)
TELLING = {
    "only what numbers say is lost is offered": (101, 166, 179),
    "what a restored server lost waits for a timer": (31, 2, 13),
    "what a restored server lost of jobs out of sight stays lost": (34, 17),
}


@pytest.fixture(scope="module")
def kept() -> Path:
    """Where the seeds of such worlds that failed are kept."""
    return Path(__file__).with_name("failing_seeds_with_copies.txt")


@pytest.mark.parametrize("share", range(SHARES))
def test_whatever_is_copied_or_restored_nothing_is_lost_and_every_queue_drains(
    bench: Bench, seeds: int, kept: Path, at_once: int, share: int, say: Say
) -> None:
    mine = with_kept(seeds // A_FIFTIETH, kept=kept)[share::SHARES]

    told = list(bench.run(mine, at_once=at_once, more=COPIES))

    failed = {one["seed"]: one["problems"] for one in told if one["problems"]}
    for seed in failed:
        keep(seed, kept=kept)
    assert failed == {}
    assert sorted(one["seed"] for one in told) == sorted(mine)
    slowest_s = max((one["empty_ms"] for one in told), default=0) / 1000
    say(f"{len(told)} seeds with copies: the slowest queue was empty after {slowest_s} s")


@pytest.mark.parametrize("fault", FAULTS)
def test_a_deliberate_fault_of_the_phone_is_noticed(bench: Bench, at_once: int, fault: str) -> None:
    broken = bench.app_with(FAULTS[fault])

    told = bench.run([*TELLING[fault], *IN_RESERVE], at_once=at_once, app=broken, more=COPIES)

    said: list[str] = []
    for problem in (problem for one in told for problem in one["problems"]):
        said.append(problem)
        if FAULTS[fault]["noticed"] in problem:
            return
    pytest.fail(f"{fault}: {said}")
