"""The phone's own code against the real server, while a seeded lot breaks lines, disks, clocks and phones.

What must hold is judged in `pwa/src/testing/model/verdict.ts`; what can go wrong is drawn in `steps.ts` and
`network.ts` beside it.
"""

import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.model.bench import STEPS, Bench

SAME_SEEDS = range(1, 11)
# One more than there are cores: a program of phones waits for the server half of its time.
AT_ONCE = (os.cpu_count() or 1) + 1

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


def test_whatever_breaks_nothing_is_lost_nothing_comes_twice_and_every_queue_drains(
    bench: Bench, seeds: int, kept: Path, say: Callable[[str], None]
) -> None:
    began, told = time.monotonic(), []

    for one in bench.run(_with_kept(seeds, kept=kept), at_once=AT_ONCE):
        told.append(one)
        if one["problems"]:
            _keep(one["seed"], kept=kept)
            say(f"seed {one['seed']}: {one['problems']}")

    assert len(told) >= seeds
    assert {one["seed"]: one["problems"] for one in told if one["problems"]} == {}
    say(_summary(told, seconds=time.monotonic() - began))


def test_a_seed_run_twice_gives_the_same_trace(bench: Bench) -> None:
    first, second = (list(bench.run([*SAME_SEEDS], more=("--trace",))) for _time in range(2))

    assert len(first) == len(SAME_SEEDS)
    assert all(len(one["trace"]) > STEPS for one in first)
    assert [one["trace"] for one in first] == [one["trace"] for one in second]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_deliberate_fault_of_the_phone_is_noticed(bench: Bench, fault: str) -> None:
    broken = bench.app_with(FAULTS[fault])

    told = bench.run([*SAME_SEEDS], at_once=AT_ONCE, app=broken)

    assert next((one["problems"] for one in told if one["problems"]), None)


def _with_kept(seeds: int, *, kept: Path) -> list[int]:
    again = [int(line) for line in kept.read_text().splitlines() if line.strip().isdecimal()]
    return [*again, *(seed for seed in range(1, seeds + 1) if seed not in again)]


def _keep(seed: int, *, kept: Path) -> None:
    text = kept.read_text()
    if str(seed) not in text.splitlines():
        kept.write_text(f"{text}{seed}\n")


def _summary(told: list[dict[str, Any]], *, seconds: float) -> str:
    def total(name: str) -> int:
        return sum(int(one[name] or 0) for one in told)

    slowest_ms = max(one["empty_ms"] for one in told)
    return (
        f"{len(told)} seeds of {STEPS} steps in {seconds:.0f} s, {len(told) * STEPS / seconds:.0f} steps a second:"
        f" {total('written')} mutations, {total('requests')} requests, {total('kills')} kills,"
        f" {total('undone')} writes cut in the middle; the slowest queue was empty after {slowest_ms / 1000} s"
    )
