"""The phone's own code against the real server, while a seeded lot breaks lines, disks, clocks and phones.

What must hold is judged in `pwa/src/testing/model/verdict.ts`; what can go wrong is drawn in `steps.ts` and
`network.ts` beside it.
"""

import time
from pathlib import Path

import pytest

from tests.conftest import AddUp, Say
from tests.model.bench import STEPS, Bench
from tests.model.told import SHARES, of_seeds

SAME_SEEDS = range(1, 11)

# Ways to lose, double or disorder work: what a file of the app says, and what it says with the fault in it.
FAULTS = {
    "the outbox is emptied before the receipt": {
        "file": "sync/push.ts",
        "before": "const device_id = await deviceIdOf(line.store);",
        "after": "const device_id = await deviceIdOf(line.store);"
        " for (const lane of batch) await line.store.outbox.bulkDelete(lane.mutations.map((one) => one.id));",
    },
    "a mutation gets a new id at each try": {
        "file": "sync/push.ts",
        "before": "...mutation }): Mutation => mutation)",
        "after": "...mutation }): Mutation => "
        "({ ...mutation, id: `${mutation.id.slice(0, -4)}${String(Date.now()).slice(-4)}` }))",
    },
    "the cursor moves past a row that was not stored": {
        "file": "sync/take.ts",
        "before": "await rows.bulkPut(known);",
        "after": "await rows.bulkPut(known.slice(1));",
    },
    "rows stay when access ends": {
        "file": "sync/purge.ts",
        "before": "for (const table of [store.rows, store.overlay]) {",
        "after": "for (const table of [store.overlay]) {",
    },
    "unsent work is purged when access ends": {
        "file": "sync/purge.ts",
        "before": "if (waiting > 0) {\n      return false;",
        "after": "if (waiting > 0) {\n      await store.outbox.clear();",
    },
    "saved is said and nothing is written": {
        "file": "actions/write.ts",
        "before": 'await store.transaction("rw", tables, async () => {\n    for (const deed',
        "after": "tables.at(0); void (async () => {\n    for (const deed",
    },
}


@pytest.mark.parametrize("share", range(SHARES))
def test_whatever_breaks_nothing_is_lost_nothing_comes_twice_and_every_queue_drains(
    bench: Bench, seeds: int, kept: Path, at_once: int, share: int, say: Say, add_up: AddUp
) -> None:
    mine = _with_kept(seeds, kept=kept)[share::SHARES]
    began, told = time.monotonic(), []

    for one in bench.run(mine, at_once=at_once):
        told.append(one)
        if one["problems"]:
            _keep(one["seed"], kept=kept)
            say(f"seed {one['seed']}: {one['problems']}")

    assert sorted(one["seed"] for one in told) == sorted(mine)
    assert {one["seed"]: one["problems"] for one in told if one["problems"]} == {}
    add_up(of_seeds(told, seconds=time.monotonic() - began))


def test_every_seed_is_in_one_share(seeds: int, kept: Path) -> None:
    every = _with_kept(seeds, kept=kept)

    shared = [seed for share in range(SHARES) for seed in every[share::SHARES]]

    assert sorted(shared) == sorted(every)
    assert set(range(1, seeds + 1)) <= set(every)


def test_a_seed_run_twice_gives_the_same_trace(bench: Bench) -> None:
    first, second = (list(bench.run([*SAME_SEEDS], more=("--trace",))) for _time in range(2))

    assert len(first) == len(SAME_SEEDS)
    assert all(len(one["trace"]) > STEPS for one in first)
    assert [one["trace"] for one in first] == [one["trace"] for one in second]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_deliberate_fault_of_the_phone_is_noticed(bench: Bench, at_once: int, fault: str) -> None:
    broken = bench.app_with(FAULTS[fault])

    told = bench.run([*SAME_SEEDS], at_once=at_once, app=broken)

    assert next((one["problems"] for one in told if one["problems"]), None)


def _with_kept(seeds: int, *, kept: Path) -> list[int]:
    again = [int(line) for line in kept.read_text().splitlines() if line.strip().isdecimal()]
    return [*again, *(seed for seed in range(1, seeds + 1) if seed not in again)]


def _keep(seed: int, *, kept: Path) -> None:
    text = kept.read_text()
    if str(seed) not in text.splitlines():
        kept.write_text(f"{text}{seed}\n")
