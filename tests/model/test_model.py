"""The phone's own code against the real server, while a seeded lot breaks lines, disks, clocks and phones.

What must hold is judged in `pwa/src/testing/model/verdict.ts`; what can go wrong is drawn in `steps.ts` and
`network.ts` beside it.
"""

import re
import time
from pathlib import Path

import pytest

from tests.conftest import AddUp, Say
from tests.model.bench import STEPS, Bench
from tests.model.failing import keep, with_kept
from tests.model.told import SHARES, of_seeds

# The quietest of 7,500 seeds that were looked at wrote 12 changes, the middle one 34.
LEAST_WRITTEN = 5
# Of 250 seeds none was told more than 5 times that a phone is full, or that what it changes has gone.
MOST_REFUSED = 15
SAME_SEEDS = range(1, 11)
TWICE = SAME_SEEDS[:3]
# In the first two access ends over unsent work, and a photo is cut: they notice some faults that few others do.
TELLING = sorted(SAME_SEEDS, key=lambda seed: seed not in (6, 8))
# That both phones of one person send the same change again comes once in thousands of seeds, and here in one of 20.
BOTH_SEND_AGAIN = ("--often", "again")

# Ways to lose, double or disorder work: what a file of the app says, what it says with the fault in it, and
# what must be said of that: a crash in setting up would prove nothing.
FAULTS = {
    "the outbox is emptied before the receipt": {
        "file": "sync/push.ts",
        "before": "const device_id = await deviceIdOf(line.store);",
        "after": "const device_id = await deviceIdOf(line.store);"
        " for (const lane of batch) await line.store.outbox.bulkDelete(lane.mutations.map((one) => one.id));",
        "noticed": r"has no receipt",
    },
    "a mutation gets a new id at each try": {
        "file": "sync/push.ts",
        "before": "return mutation;",
        "after": "return { ...mutation, id: `${mutation.id.slice(0, -4)}${String(Date.now()).slice(-4)}` };",
        "noticed": r"the server has a receipt that nobody wrote",
    },
    "the cursor moves past a row that was not stored": {
        "file": "sync/take.ts",
        "before": "await rows.bulkPut(brought);",
        "after": "await rows.bulkPut(brought.slice(1));",
        "noticed": r"holds other rows than the server: here undefined",
    },
    "rows stay when access ends": {
        "file": "sync/purge.ts",
        "before": "for (const table of [store.rows, store.overlay]) {",
        "after": "for (const table of [store.overlay]) {",
        "noticed": r"holds other rows than the server: here .* there undefined",
    },
    "pictures stay when access ends": {
        "file": "sync/photo_state.ts",
        "before": "await thumbs.bulkDelete(",
        "after": "if (ids.length === 0) await thumbs.bulkDelete(",
        "noticed": r"has \d+ in thumbs of photos that it may not see",
    },
    "unsent work is purged when access ends": {
        "file": "sync/purge.ts",
        "before": "if (waiting > 0) {\n      return false;",
        "after": "if (waiting > 0) {\n      await store.outbox.clear();",
        "noticed": r"has no receipt",
    },
    "a photo that was cut is left for ever": {
        "file": "sync/photos.ts",
        "before": "return upload.uploaded_at === null && !upload.held;",
        "after": "return upload.uploaded_at === null && !upload.held && upload.started_at === null;",
        "noticed": r"^a photo waits 10 s after the last fault",
    },
    "an answer that was lost is waited for to the end": {
        "file": "sync/silence.ts",
        "before": "const PATIENCE_MS = 6_000;",
        "after": "const PATIENCE_MS = 60_000;",
        "noticed": r"^(something|a photo) waits 10 s after the last fault",
    },
    "saved is said and nothing is written": {
        "file": "actions/write.ts",
        "before": 'await store.transaction("rw", tables, async () => {\n    for (const deed',
        "after": 'if (what.deeds.every(({ type }) => type !== "issue.raise"))'
        ' await store.transaction("rw", tables, async () => {\n    for (const deed',
        "noticed": r'said "saved", and 0 of \d are on disk',
    },
    "what was typed is saved without its words": {
        "file": "actions/answerIssue.ts",
        "before": "const fields: IssueAnswerFields = { words, fixed, promised_on: promisedOn };",
        "after": 'const fields: IssueAnswerFields = { words: words && "x", fixed, promised_on: promisedOn };',
        "noticed": r'said "saved", and .* is not on disk',
    },
    "a promise loses its day on the wire": {
        "file": "sync/push.ts",
        "before": "return mutation;",
        "after": 'return mutation.type === "issue.answer"'
        " ? { ...mutation, fields: { ...mutation.fields, promised_on: null } } : mutation;",
        "noticed": r"the server has a line .* and not .*, which was written",
    },
    "what is sent again names nothing that it replaces": {
        "file": "sync/push.ts",
        "before": "return mutation;",
        "after": "const { replaces: _it, ...bare } = mutation; return bare;",
        "noticed": r"^issue\.\w+ was sent again and done twice",
    },
}
OFTEN = {"what is sent again names nothing that it replaces": BOTH_SEND_AGAIN}
TELL_THAT = (15, 23)
# Any change of the app may give seeds another course: most show most faults, and these are run only where none has yet.
IN_RESERVE = range(1, 101)


@pytest.mark.parametrize("share", range(SHARES))
def test_whatever_breaks_nothing_is_lost_nothing_comes_twice_and_every_queue_drains(
    bench: Bench, seeds: int, kept: Path, at_once: int, share: int, say: Say, add_up: AddUp
) -> None:
    mine = with_kept(seeds, kept=kept)[share::SHARES]
    began, told = time.monotonic(), []

    for one in bench.run(mine, at_once=at_once):
        told.append(one)
        if one["problems"]:
            keep(one["seed"], kept=kept)
            say(f"seed {one['seed']}: {one['problems']}")

    assert {one["seed"]: one["problems"] for one in told if one["problems"]} == {}
    assert sorted(one["seed"] for one in told) == sorted(mine)
    assert {one["seed"]: one["written"] for one in told if one["written"] < LEAST_WRITTEN} == {}
    assert {one["seed"]: one["refused"] for one in told if one["refused"] > MOST_REFUSED} == {}
    add_up(of_seeds(told, seconds=time.monotonic() - began))


def test_every_seed_is_in_one_share(seeds: int, kept: Path) -> None:
    every = with_kept(seeds, kept=kept)

    shared = [seed for share in range(SHARES) for seed in every[share::SHARES]]

    assert sorted(shared) == sorted(every)
    assert set(range(1, seeds + 1)) <= set(every)


def test_a_seed_run_twice_gives_the_same_trace(bench: Bench) -> None:
    first, second = (list(bench.run([*TWICE], more=("--trace",))) for _time in range(2))

    assert len(first) == len(TWICE)
    assert all(len(one["trace"]) > STEPS for one in first)
    assert [one["trace"] for one in first] == [one["trace"] for one in second]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_deliberate_fault_of_the_phone_is_noticed(bench: Bench, at_once: int, fault: str) -> None:
    noticed = FAULTS[fault]["noticed"]
    broken = bench.app_with(FAULTS[fault])

    telling = TELL_THAT if fault in OFTEN else TELLING

    told = bench.run([*telling, *IN_RESERVE], at_once=at_once, app=broken, more=OFTEN.get(fault, ()))

    said: list[str] = []
    for problem in (problem for one in told for problem in one["problems"]):
        said.append(problem)
        if re.search(noticed, problem):
            return
    pytest.fail(f"nobody said {noticed!r} of it, only: {said}")


def test_what_both_phones_of_one_person_send_again_is_done_once(bench: Bench, at_once: int) -> None:
    told = list(bench.run([*TELL_THAT], at_once=at_once, more=BOTH_SEND_AGAIN))

    assert {one["seed"]: one["problems"] for one in told} == {seed: [] for seed in TELL_THAT}


def test_the_phones_own_program_says_which_seed_it_begins(bench: Bench) -> None:
    dying = bench.app_with({
        "file": "sync/push.ts",
        "before": "const device_id = await deviceIdOf(line.store);",
        "after": "const device_id = process.exit(9);",
    })  # fmt: skip

    told = list(bench.run([4, 5], app=dying))

    assert told == [{"seed": 4, "problems": ["the program of the phones ended with 9"]}]


def test_a_seed_that_fails_is_kept_once_and_run_again(tmp_path: Path) -> None:
    kept = tmp_path / "failing_seeds.txt"
    kept.write_text("# Seeds that once failed.\n42\n")

    for seed in (4_711, 42, 4_711, 12):
        keep(seed, kept=kept)
    with kept.open("a") as beside:
        beside.write("12\n")  # Another process that had not seen it yet.

    assert kept.read_text() == "# Seeds that once failed.\n42\n4711\n12\n12\n"
    assert with_kept(3, kept=kept) == [42, 4_711, 12, 1, 2, 3]
