"""A pull: what changed since the phone last asked, all of it from one moment of the database."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import select, true

from flarenut.db import db, one_snapshot, writing
from flarenut.errors import NotSignedIn, UpdateNeeded
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.people.devices import is_known_as_own, is_own_device
from flarenut.people.tables import Company
from flarenut.sync.aside import aside_mark, aside_of
from flarenut.sync.cursor import LAST_ID, Cursor, from_the_start, read_cursor
from flarenut.sync.mark import THIS_DATABASE, epoch_in, mark_of
from flarenut.sync.plain import object_of
from flarenut.sync.sight import is_in_sight
from flarenut.sync.sums import report_differing, sums_of
from flarenut.sync.tables import Lane
from flarenut.sync.wire import fields_on_the_wire, page_for, row_on_the_wire

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
    rows: list[str] = field(default_factory=list)
    removals: list[dict[str, str]] = field(default_factory=list)

    def on_the_wire(self, *, last_seq: int) -> str:
        """As the phone reads it."""
        told = {
            "job_id": str(self.job_id),
            "state": "reset" if self.is_reset else "patch",
            "removals": self.removals,
            "cursor": self.cursor.text(),
            "more": self.cursor.is_mid_page,
            "last_seq": last_seq,
        }
        return object_of(told, rows=self.rows)


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
    is_own_store: bool


def pull(actor: Actor, *, asked: Asked) -> str:
    """Access, heads, rows and the lanes' numbers, from one snapshot: nothing can slip between them. As JSON."""
    if asked.v < OLDEST_PULL:
        raise UpdateNeeded("update_needed", "This version of the app cannot read what is new. Its work is still taken.")
    report_differing(actor, device_id=asked.device_id, differed=asked.differed)
    known = {cursor.job: cursor for cursor in map(read_cursor, asked.cursors)}
    told = _told(actor, asked=asked, known=known)
    if told is None:
        _take_as_own(actor, device_id=asked.device_id)
        return pull(actor, asked=asked)
    return told


def _take_as_own(actor: Actor, *, device_id: uuid.UUID) -> None:
    """A store that nobody has yet becomes this one's.

    Into the store of someone else, perhaps of another company, nothing of this person may come: who
    signed in on a shared phone is another than its app believes.
    """
    with writing():
        is_own = is_own_device(actor, device_id=device_id)
    if not is_own:
        raise NotSignedIn("not_signed_in", "This phone's store belongs to someone else. Sign in first.")


def _told(actor: Actor, *, asked: Asked, known: dict[uuid.UUID, Cursor]) -> str | None:
    """The answer; None where it is not known that the store which asks is theirs."""
    with one_snapshot():
        heads = _heads(actor, device_id=asked.device_id)
        if not heads.is_own_store:
            return None
        told: dict[str, Any] = {"people_rev": heads.people_rev, "mark": heads.mark}
        if actor.role == "ended":
            told |= {"people_rev": 0, "ended": True}
        if asked.mark is not None:
            return object_of({**told, "changed": asked.mark != heads.mark}, jobs=[])
        jobs, whole = _jobs(actor, asked=asked, known=known, heads=heads)
        sums = sums_of(actor, jobs=[job_id for job_id in asked.check if job_id in whole])
    gone = [_gone(job_id) for job_id in known if job_id not in heads.jobs]
    told |= {"epoch": str(heads.epoch), "aside": heads.aside, **({"sums": sums} if sums else {})}
    return object_of(told, jobs=[*gone, *jobs])


def _heads(actor: Actor, *, device_id: uuid.UUID) -> Heads:
    """In two questions, as this is all that most pulls ask."""
    aside, is_own = aside_of(actor), is_known_as_own(actor, device_id=device_id)
    one = select(Company.epoch, Company.people_rev, THIS_DATABASE, is_own, aside)
    one = one.join(aside, true()).where(Company.id == actor.company_id)
    company_epoch, people_rev, database, is_own_store, *set_aside = db.session.execute(one).one()
    query = select(Job.id, Job.rev).where(is_in_sight(actor)).order_by(Job.id)
    jobs: dict[uuid.UUID, int] = {row.id: row.rev for row in db.session.execute(query)}
    epoch, told = epoch_in(database, of_company=company_epoch), aside_mark(*set_aside)
    mark = mark_of(actor, epoch=epoch, heads=jobs, people_rev=people_rev, aside=told)
    return Heads(epoch=epoch, jobs=jobs, people_rev=people_rev, aside=told, mark=mark, is_own_store=is_own_store)


def _jobs(
    actor: Actor, *, asked: Asked, known: dict[uuid.UUID, Cursor], heads: Heads
) -> tuple[list[str], set[uuid.UUID]]:
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
    keys = _keys(actor, parts=parts[:MOST_JOBS], most=most + 1)
    _deal_out(actor, parts=parts, keys=keys[:most])
    cut = keys[most - 1] if len(keys) > most else None
    last_whole = (keys[most].place - 1 if cut else min(len(parts), MOST_JOBS)) - 1
    for place, part in enumerate(parts):
        part.cursor = _next_cursor(part, is_whole=place <= last_whole, is_cut=cut, place=place)


def _deal_out(actor: Actor, *, parts: list[JobPart], keys: Sequence[Any]) -> None:
    """One query, of the tables that have something to send."""
    theirs: dict[str, list[str]] = {}
    for key in keys:
        if key.is_theirs:
            theirs.setdefault(key.table, []).append(key.id)
    fields = fields_on_the_wire(actor.role, ids=theirs)
    for key in keys:
        part = parts[key.place - 1]
        if key.is_theirs:
            part.rows.append(row_on_the_wire(key, job_id=part.job_id, fields=fields[key.table, key.id]))
        else:
            part.removals.append({"table": key.table, "id": key.id})


def _next_cursor(part: JobPart, *, is_whole: bool, is_cut: Any, place: int) -> Cursor:
    known = part.cursor
    if is_whole:
        return replace(known, rev=part.head, until=part.head, page_id=LAST_ID)
    if is_cut is not None and is_cut.place - 1 == place:
        return replace(known, rev=is_cut.rev, until=part.head, page_id=uuid.UUID(is_cut.id))
    return replace(known, until=part.head)


def _keys(actor: Actor, *, parts: list[JobPart], most: int) -> Sequence[Any]:
    """Which rows are next, in the order of jobs, revisions and ids. A place counts from one."""
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
    return db.session.execute(page_for(actor.role), asked).all()


def _last_seqs(device_id: uuid.UUID, *, jobs: list[uuid.UUID]) -> dict[uuid.UUID, int]:
    query = select(Lane.job_id, Lane.last_seq).where(Lane.device_id == device_id, Lane.job_id.in_(jobs))
    return {row.job_id: row.last_seq for row in db.session.execute(query)}


def _gone(job_id: uuid.UUID) -> str:
    """Access ended, or never was: the phone hands in what is unsent and only then forgets the job."""
    told: dict[str, Any] = {
        "job_id": str(job_id),
        "state": "gone",
        "removals": [],
        "cursor": None,
        "more": False,
        "last_seq": 0,
    }
    return object_of(told, rows=[])
