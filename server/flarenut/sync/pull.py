"""A pull: what changed since the phone last asked, all of it from one moment of the database."""

import uuid
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import select

from flarenut.db import db, one_snapshot
from flarenut.errors import NotSignedIn, UpdateNeeded
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.people.devices import is_anothers_device
from flarenut.people.tables import Company
from flarenut.sync.aside import aside_mark
from flarenut.sync.cursor import LAST_ID, Cursor, from_the_start, read_cursor
from flarenut.sync.mark import epoch_of, mark_of
from flarenut.sync.sight import is_in_sight
from flarenut.sync.sums import report_differing, sums_of
from flarenut.sync.tables import Lane
from flarenut.sync.wire import page_of, row_on_the_wire, tables_for

OLDEST_PULL = 1  # the oldest way of reading that is still answered; pushing is never asked for an update
MOST_ROWS = 2000  # of one answer, whatever was asked for
MOST_JOBS = 50  # with rows in one answer; the others follow at once in the next


@dataclass
class JobPart:
    """What one answer says of one job."""

    job_id: uuid.UUID
    head: int
    cursor: Cursor
    is_reset: bool
    rows: list[dict[str, Any]] = field(default_factory=list)
    removals: list[dict[str, str]] = field(default_factory=list)

    def on_the_wire(self, *, last_seq: int) -> dict[str, Any]:
        """As the phone reads it."""
        return {
            "job_id": str(self.job_id),
            "state": "reset" if self.is_reset else "patch",
            "rows": self.rows,
            "removals": self.removals,
            "cursor": self.cursor.text(),
            "more": self.cursor.is_mid_page,
            "last_seq": last_seq,
        }


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a phone wants to know, and where it stands."""

    device_id: uuid.UUID
    v: int
    mark: str | None
    cursors: list[str]
    limit: int
    check: list[uuid.UUID]
    differed: list[dict[str, Any]]


@dataclass(frozen=True, kw_only=True)
class Heads:
    """What the reader may see, as it stands in this snapshot."""

    epoch: uuid.UUID
    jobs: dict[uuid.UUID, int]
    people_rev: int
    aside: str
    mark: str


def pull(actor: Actor, *, asked: Asked) -> dict[str, Any]:
    """Access, heads, rows and the lanes' numbers, from one snapshot: nothing can slip between them."""
    if asked.v < OLDEST_PULL:
        raise UpdateNeeded("update_needed", "This version of the app cannot read what is new. Its work is still taken.")
    report_differing(actor, device_id=asked.device_id, differed=asked.differed)
    known = {cursor.job: cursor for cursor in map(read_cursor, asked.cursors)}
    with one_snapshot():
        if is_anothers_device(actor, device_id=asked.device_id):
            # Nothing of this person may come to lie in the store of the other.
            raise NotSignedIn("not_signed_in", "This phone's store belongs to someone else. Sign in first.")
        heads = _heads(actor)
        told = {"people_rev": heads.people_rev, "mark": heads.mark}
        if asked.mark is not None:
            return {"jobs": [], **told, "changed": asked.mark != heads.mark}
        jobs, whole = _jobs(actor, asked=asked, known=known, heads=heads)
        sums = sums_of(actor, jobs=[job_id for job_id in asked.check if job_id in whole])
    gone = [_gone(job_id) for job_id in known if job_id not in heads.jobs]
    return {"jobs": [*gone, *jobs], **told, "aside": heads.aside, **({"sums": sums} if sums else {})}


def _heads(actor: Actor) -> Heads:
    company = db.session.get_one(Company, actor.company_id)
    query = select(Job.id, Job.rev).where(is_in_sight(actor)).order_by(Job.id)
    jobs: dict[uuid.UUID, int] = {row.id: row.rev for row in db.session.execute(query)}
    epoch, aside, people_rev = epoch_of(company), aside_mark(actor), company.people_rev
    mark = mark_of(actor, epoch=epoch, heads=jobs, people_rev=people_rev, aside=aside)
    return Heads(epoch=epoch, jobs=jobs, people_rev=people_rev, aside=aside, mark=mark)


def _jobs(
    actor: Actor, *, asked: Asked, known: dict[uuid.UUID, Cursor], heads: Heads
) -> tuple[list[dict[str, Any]], set[uuid.UUID]]:
    """(what changed in each job, the jobs of which nothing is left to read after this)."""
    parts = [
        part
        for job_id, head in heads.jobs.items()
        if (part := _part(job_id, head=head, known=known.get(job_id), epoch=heads.epoch))
    ]
    _fill(actor, parts=parts, most=min(asked.limit, MOST_ROWS))
    seqs = _last_seqs(asked.device_id, jobs=[part.job_id for part in parts])
    unread = {part.job_id for part in parts if part.cursor.is_mid_page}
    return [part.on_the_wire(last_seq=seqs.get(part.job_id, 0)) for part in parts], set(heads.jobs) - unread


def _part(job_id: uuid.UUID, *, head: int, known: Cursor | None, epoch: uuid.UUID) -> JobPart | None:
    """Nothing, when nothing changed. From the start, when the phone knows another database than this."""
    if known is None or known.epoch != epoch or known.rev > head:
        start = from_the_start(job_id, epoch=epoch, head=head)
        return JobPart(job_id, head, start, is_reset=True)
    if known.rev == head and not known.is_mid_page:
        return None
    return JobPart(job_id, head, known, is_reset=False)


def _fill(actor: Actor, *, parts: list[JobPart], most: int) -> None:
    """Deal the rows out, job by job, until the answer is full; then say where each job goes on."""
    found = _rows(actor, parts=parts[:MOST_JOBS], most=most + 1)
    for place, table, row in found[:most]:
        part = parts[place]
        if row.is_theirs:
            part.rows.append(row_on_the_wire(row, table=table))
        else:
            part.removals.append({"table": table, "id": str(row.id)})
    cut = found[most - 1] if len(found) > most else None
    last_whole = (found[most][0] if cut else min(len(parts), MOST_JOBS)) - 1
    for place, part in enumerate(parts):
        part.cursor = _next_cursor(part, is_whole=place <= last_whole, is_cut=cut, place=place)


def _next_cursor(part: JobPart, *, is_whole: bool, is_cut: Any, place: int) -> Cursor:
    known = part.cursor
    if is_whole:
        return replace(known, rev=part.head, until=part.head, page_id=LAST_ID)
    if is_cut is not None and is_cut[0] == place:
        row = is_cut[2]
        return replace(known, rev=row.rev, until=part.head, page_id=uuid.UUID(str(row.id)))
    return replace(known, until=part.head)


def _rows(actor: Actor, *, parts: list[JobPart], most: int) -> list[tuple[int, str, Any]]:
    """The next rows of every table, in the order of jobs, revisions and ids. One query a table."""
    if not parts:
        return []
    asked = {
        "jobs": [part.job_id for part in parts],
        "revs": [part.cursor.rev for part in parts],
        "pages": [part.cursor.page_id for part in parts],
        "heads": [part.head for part in parts],
        "sinces": [part.cursor.since for part in parts],
        "most": most,
    }
    found = [
        (row.place - 1, table, row)
        for table in tables_for(actor)
        for row in db.session.execute(page_of(table, role=actor.role), asked)
    ]
    found.sort(key=lambda one: (one[0], one[2].rev, str(one[2].id)))
    return found[:most]


def _last_seqs(device_id: uuid.UUID, *, jobs: list[uuid.UUID]) -> dict[uuid.UUID, int]:
    query = select(Lane.job_id, Lane.last_seq).where(Lane.device_id == device_id, Lane.job_id.in_(jobs))
    return {row.job_id: row.last_seq for row in db.session.execute(query)}


def _gone(job_id: uuid.UUID) -> dict[str, Any]:
    """Access ended, or never was: the phone hands in what is unsent and only then forgets the job."""
    return {
        "job_id": str(job_id),
        "state": "gone",
        "rows": [],
        "removals": [],
        "cursor": None,
        "more": False,
        "last_seq": 0,
    }
