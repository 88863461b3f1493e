"""Eight write to the same jobs, some commits are held open, and one reads on from its cursor all the while.

A cursor made of a sequence steps over rows whose numbers were drawn early and committed late. The
same race is run with such a cursor, and must find that it loses rows: a race that cannot lose any
would prove nothing of ours.
"""

import random
import threading
import time
import uuid
from collections.abc import Callable, Iterator
from typing import Any, Protocol

import pytest
from marshmallow import Schema
from sqlalchemy import Engine, event, insert, text

from flarenut.db import db
from flarenut.issues.tables import IssueEvent
from flarenut.jobs import tables as jobs
from flarenut.sync.catalogue import MUTATIONS, Kind
from flarenut.sync.change import Change
from tests.builders import CastMember, Phone, a_job, a_mutation, an_issue, push
from tests.builders.jobs import Job
from tests.faults.schedule import Size

Enter = Callable[..., Phone]

WRITERS = 8
HELD_SHARE = 0.25  # of the commits
LONGEST_HOLD_S = 0.008
LINES = 25  # rows that one change brings


def hold(chance: random.Random) -> None:
    """Between the last row and its commit: a slow disk, or a writer that lost its turn."""
    if chance.random() < HELD_SHARE:
        time.sleep(chance.random() * LONGEST_HOLD_S)


class Contest(Protocol):
    """What races: rows that are written, and a cursor that reads them."""

    def write(self, writer: int, *, chance: random.Random) -> int:
        """One transaction; how many rows it committed."""

    def read_on(self) -> None:
        """Everything after the cursor."""


def race(contest: Contest, *, rows: int, seed: str) -> None:
    """Until that many rows are committed; the reader reads once more when all writers are done."""
    failures: list[BaseException] = []
    is_over = threading.Event()

    def writing(writer: int) -> None:
        chance, left = random.Random(f"{seed}/{writer}"), rows // WRITERS
        while left > 0 and not failures:
            left -= contest.write(writer, chance=chance)

    def reading() -> None:
        is_last = False
        while not is_last and not failures:
            is_last = is_over.is_set()
            contest.read_on()

    def run(act: Callable[[], None]) -> None:
        try:
            act()
        except BaseException as error:  # noqa: BLE001 -- handed to the test's own thread below.
            failures.append(error)

    reader = threading.Thread(target=run, args=(reading,))
    writers = [threading.Thread(target=run, args=(lambda place=place: writing(place),)) for place in range(WRITERS)]
    for thread in (reader, *writers):
        thread.start()
    for thread in writers:
        thread.join()
    is_over.set()
    reader.join()
    assert not failures, failures


class Revisions:
    """Ours: real pushes and real pulls. Only the change itself is the test's own, so that it brings many rows."""

    BATCH = 3
    KIND = "issue.note_often"

    def __init__(self, writers: list[Phone], *, reader: Phone, jobs: list[Job]) -> None:
        self._writers, self._reader = writers, reader
        self._issues = [(job, an_issue(writers[0], job=job)) for job in jobs]
        reader.pull()
        self.seen: set[str] = set()

    def write(self, writer: int, *, chance: random.Random) -> int:
        job, issue = chance.choice(self._issues)
        notes = [a_mutation(self.KIND, issue) for _ in range(chance.randint(1, self.BATCH))]
        lane = push(self._writers[writer], job.id, notes)
        assert [receipt["outcome"] for receipt in lane["receipts"]] == ["applied"] * len(notes), lane
        return LINES * len(notes)

    def read_on(self) -> None:
        pulled = [row for part in self._reader.pull() for row in part["rows"]]
        found = [row["id"] for row in pulled if row["table"] == "issue_event"]
        assert self.seen.isdisjoint(found), "a row that never changed came twice"
        self.seen.update(found)


def note_often(change: Change, _fields: dict[str, Any]) -> None:
    """Lines of an issue's history, stamped as every verb stamps what it writes."""
    one = {
        "company_id": change.actor.company_id, "job_id": change.job.id, "rev": change.rev, "issue_id": change.entity,
        "kind": "changed", "words": "x", "by_name": change.actor.name, "by_role": change.actor.role, "at": change.at,
        "shown_to_contractor": False,
    }  # fmt: skip
    db.session.execute(insert(IssueEvent), [{**one, "id": uuid.uuid4()} for _ in range(LINES)])


class Sequence:
    """The naive one: rows numbered by a sequence, and a cursor that is the highest number seen."""

    BATCH = 20

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._cursor = 0
        self.seen: set[int] = set()

    def write(self, writer: int, *, chance: random.Random) -> int:
        count = chance.randint(2, self.BATCH)
        with self._engine.begin() as connection:
            for _ in range(count):
                connection.execute(text("INSERT INTO numbered_row (writer) VALUES (:writer)"), {"writer": writer})
            hold(chance)
        return count

    def read_on(self) -> None:
        wanted = text("SELECT n FROM numbered_row WHERE n > :cursor ORDER BY n LIMIT 1000")
        with self._engine.begin() as connection:
            found = list(connection.scalars(wanted, {"cursor": self._cursor}))
        self._cursor = max(found, default=self._cursor)
        self.seen.update(found)


@pytest.fixture
def commits_are_held(seed: str) -> Iterator[None]:
    """Every transaction of the server waits a little before some of its commits."""
    own = threading.local()

    def wait(session: Any) -> None:
        if not session.in_nested_transaction():  # a savepoint commits nothing
            own.chance = getattr(own, "chance", None) or random.Random(f"{seed}/{threading.get_ident()}")
            hold(own.chance)

    event.listen(db.session, "before_commit", wait)
    yield
    event.remove(db.session, "before_commit", wait)


@pytest.fixture
def numbered(owner: Engine) -> Iterator[Engine]:
    """A table that only this test has."""
    with owner.begin() as connection:
        connection.execute(text("CREATE TABLE numbered_row (n bigserial PRIMARY KEY, writer integer)"))
    yield owner
    with owner.begin() as connection:
        connection.execute(text("DROP TABLE numbered_row"))


def test_a_revision_of_the_job_misses_no_row_that_was_committed_late(
    ana: CastMember,
    client_as: Enter,
    owner: Engine,
    size: Size,
    seed: str,
    say: Callable[[str], None],
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:
    monkeypatch.setitem(MUTATIONS, Revisions.KIND, Kind(jobs.Job, Schema, note_often, frozenset({"dispatcher"})))
    writers, reader = [client_as(ana) for _ in range(WRITERS)], client_as(ana)
    contest = Revisions(writers, reader=reader, jobs=[a_job(writers[0]) for _ in range(2)])
    request.getfixturevalue("commits_are_held")
    begun = time.monotonic()

    race(contest, rows=size.race_rows, seed=seed)

    with owner.connect() as connection:
        told = set(map(str, connection.scalars(text("SELECT id FROM issue_event WHERE kind = 'changed'"))))
    say(f"seed {seed}: {len(told)} rows by revision, {len(told - contest.seen)} missed, "
        f"{time.monotonic() - begun:.0f} s")  # fmt: skip
    assert len(told) >= size.race_rows
    assert contest.seen == told


def test_a_sequence_in_its_place_misses_rows(
    numbered: Engine, size: Size, seed: str, say: Callable[[str], None]
) -> None:
    contest = Sequence(numbered)
    begun = time.monotonic()

    race(contest, rows=size.race_rows, seed=seed)

    with numbered.connect() as connection:
        told = set(connection.scalars(text("SELECT n FROM numbered_row")))
    missed = len(told - contest.seen)
    say(f"seed {seed}: {len(told)} rows by sequence, {missed} missed ({100 * missed / len(told):.1f} %), "
        f"{time.monotonic() - begun:.0f} s")  # fmt: skip
    assert len(told) >= size.race_rows
    assert missed > 0
