"""Eight write to the same jobs, some commits are held open, and one reads on from its cursors all the while.

It reads twice each time: by our own pull, whose cursor stands on the revision of each job, and by a cursor
made of a sequence, the way that one would be made: PostgreSQL numbers each row as it is written, and the
reader asks for what has a higher number than the highest it saw, of whatever job. Both see the same rows
of the same real pushes in the same race. The sequence steps over rows whose numbers were drawn early and
committed late, and must be found to: a race that cannot lose any would prove nothing of ours.
"""

import random
import threading
import time
import uuid
from collections.abc import Callable, Iterator
from typing import Any

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
BATCH = 3  # the most changes of one push
NOTE_OFTEN = "issue.note_often"


def hold(chance: random.Random) -> None:
    """Between the last row and its commit: a slow disk, or a writer that lost its turn."""
    if chance.random() < HELD_SHARE:
        time.sleep(chance.random() * LONGEST_HOLD_S)


class ByRevision:
    """Our own pull."""

    def __init__(self, reader: Phone) -> None:
        self._reader = reader
        self.seen: set[str] = set()

    def read_on(self) -> None:
        """Everything after the cursor."""
        pulled = [row for part in self._reader.pull() for row in part["rows"]]
        events = [row for row in pulled if row["table"] == "issue_event"]
        found = [row["id"] for row in events if row["fields"]["kind"] == "changed"]
        assert self.seen.isdisjoint(found), "a row that never changed came twice"
        self.seen.update(found)


class BySequence:
    """The naive one, on the same rows: the highest number seen."""

    def __init__(self, owner: Engine) -> None:
        self._owner = owner
        self._cursor = 0
        self.seen: set[str] = set()

    def read_on(self) -> None:
        """Everything after the cursor."""
        wanted = text("SELECT n, id::text FROM issue_event WHERE n > :cursor AND kind = 'changed'")
        with self._owner.connect() as connection:
            found = {row.n: row.id for row in connection.execute(wanted, {"cursor": self._cursor})}
        self._cursor = max(found, default=self._cursor)
        self.seen.update(found.values())


class Writers:
    """Real pushes. Only the change itself is the test's own, so that it brings many rows."""

    def __init__(self, phones: list[Phone], *, jobs: list[Job]) -> None:
        self._phones = phones
        self._issues = [(job, an_issue(phones[0], job=job)) for job in jobs]

    def write(self, writer: int, *, chance: random.Random) -> int:
        """One transaction; how many rows it committed."""
        job, issue = chance.choice(self._issues)
        notes = [a_mutation(NOTE_OFTEN, issue) for _ in range(chance.randint(1, BATCH))]
        lane = push(self._phones[writer], job.id, notes)
        assert [receipt["outcome"] for receipt in lane["receipts"]] == ["applied"] * len(notes), lane
        return LINES * len(notes)


def race(writers: Writers, *, cursors: list[ByRevision | BySequence], rows: int, seed: str) -> None:
    """Until that many rows are committed; whoever reads on does so once more when all writers are done."""
    failures: list[BaseException] = []
    is_over = threading.Event()

    def writing(writer: int) -> None:
        chance, left = random.Random(f"{seed}/{writer}"), rows // WRITERS
        while left > 0 and not failures:
            left -= writers.write(writer, chance=chance)

    def reading() -> None:
        is_last = False
        while not is_last and not failures:
            is_last = is_over.is_set()
            for cursor in cursors:
                cursor.read_on()

    def run(act: Callable[[], None]) -> None:
        try:
            act()
        except BaseException as error:  # noqa: BLE001 -- handed to the test's own thread below.
            failures.append(error)

    reader = threading.Thread(target=run, args=(reading,))
    threads = [threading.Thread(target=run, args=(lambda place=place: writing(place),)) for place in range(WRITERS)]
    for thread in (reader, *threads):
        thread.start()
    for thread in threads:
        thread.join()
    is_over.set()
    reader.join()
    assert not failures, failures


def note_often(change: Change, _fields: dict[str, Any]) -> None:
    """Lines of an issue's history, stamped as every verb stamps what it writes."""
    one = {
        "company_id": change.actor.company_id, "job_id": change.job.id, "rev": change.rev, "issue_id": change.entity,
        "kind": "changed", "words": "x", "by_name": change.actor.name, "by_role": change.actor.role, "at": change.at,
        "shown_to_contractor": False, "made_rev": change.rev,
    }  # fmt: skip
    db.session.execute(insert(IssueEvent), [{**one, "id": uuid.uuid4()} for _ in range(LINES)])


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
    """Every line of an issue's history is numbered by a sequence as well, while this test runs."""
    with owner.begin() as connection:
        connection.execute(text("ALTER TABLE issue_event ADD COLUMN n bigserial"))
        connection.execute(text("GRANT USAGE ON SEQUENCE issue_event_n_seq TO PUBLIC"))
    yield owner
    with owner.begin() as connection:
        connection.execute(text("ALTER TABLE issue_event DROP COLUMN n"))


def test_a_revision_of_the_job_misses_no_row_that_was_committed_late_and_a_sequence_in_its_place_does(
    ana: CastMember,
    client_as: Enter,
    numbered: Engine,
    size: Size,
    seed: str,
    say: Callable[[str], None],
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:
    monkeypatch.setitem(MUTATIONS, NOTE_OFTEN, Kind(jobs.Job, Schema, note_often, frozenset({"dispatcher"})))
    phones = [client_as(ana) for _ in range(WRITERS)]
    writers = Writers(phones, jobs=[a_job(phones[0]) for _ in range(2)])
    ours, naive = ByRevision(client_as(ana)), BySequence(numbered)
    request.getfixturevalue("commits_are_held")
    begun = time.monotonic()

    race(writers, cursors=[ours, naive], rows=size.race_rows, seed=seed)

    with numbered.connect() as connection:
        told = set(connection.scalars(text("SELECT id::text FROM issue_event WHERE kind = 'changed'")))
    missed, by_sequence = told - ours.seen, told - naive.seen
    say(f"seed {seed}: of {len(told)} rows {len(missed)} missed by revision and {len(by_sequence)} by sequence "
        f"({100 * len(by_sequence) / len(told):.1f} %), {time.monotonic() - begun:.0f} s")  # fmt: skip
    assert len(told) >= size.race_rows
    assert ours.seen == told
    assert by_sequence != set()
