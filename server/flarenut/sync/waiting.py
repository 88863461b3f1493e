"""What could not be taken because something was not there is taken once that is there.

After a restore from a backup the phones offer again what was lost, in whatever order they come: what one has
done to an issue may arrive before the issue itself, which another phone has.
"""

import uuid
from collections.abc import Iterator, Sequence

from sqlalchemy import ColumnElement, Row, and_, any_, exists, func, or_, select, true, tuple_
from sqlalchemy.orm import aliased

from flarenut.db import db
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.people.authors import author_of
from flarenut.sync.again import all_for, settle_replaced
from flarenut.sync.apply import apply_mutation
from flarenut.sync.aside import GOES_WITH
from flarenut.sync.catalogue import CREATING
from flarenut.sync.mutation import Mutation
from flarenut.sync.sight import can_see_job
from flarenut.sync.tables import SetAside

NOT_FOUND = "not_found"
OPEN_A_JOB = frozenset({"job.create", "visit.plan", "visit.set"})  # to those who could say nothing on it before
MAY_BE_WAITED_FOR = CREATING | OPEN_A_JOB
MOST_AT_ONCE = 500  # whole mutations in memory; each may be as large as a push (P)
# What two people did in turn to one thing, each of them after the other, takes one round a turn: an issue has
# five or six. The job is locked meanwhile, and what is left is tried again with the next thing that is made (P).
MOST_ROUNDS = 20

Key = tuple[uuid.UUID, uuid.UUID]
Waiting = Row[uuid.UUID, uuid.UUID, uuid.UUID | None, uuid.UUID | None]


def take_what_waited(job_id: uuid.UUID, *, made: dict[uuid.UUID, str]) -> None:
    """Under the lock of the job, as if it came now: who may do it and what it meets is judged as ever.

    What is taken so needs nobody any more; what is not waits on for its author, with the reason it had.
    One may hang on another that comes later in the list: so it is gone through until nothing more is taken.
    """
    job = db.session.get(Job, job_id)
    if job is None:
        return
    late: dict[uuid.UUID, str] = {}
    for _ in range(MOST_ROUNDS):
        taken = _take_all(_is_due(made, late=late), job=job)
        late |= {one.entity: one.type for one in taken if one.type in MAY_BE_WAITED_FOR and one.entity}
        if not taken:
            return


def _is_due(made: dict[uuid.UUID, str], *, late: dict[uuid.UUID, str]) -> ColumnElement[bool]:
    """What lacked one of these rows, or the job, and what went with something that has been taken here only now.

    What went with something that its author sent again themselves is left to them.
    """
    code = SetAside.detail["code"].astext
    rows, late_rows = SetAside.mentions.overlap([*made, *late]), SetAside.mentions.overlap([*late])
    lacked = or_((code == NOT_FOUND) & rows, (code == GOES_WITH["code"]) & late_rows)
    is_opened = not OPEN_A_JOB.isdisjoint({*made.values(), *late.values()})
    is_there = true() if is_opened else or_(late_rows, rows & ~_is_of_own_creation())
    return or_(lacked, SetAside.is_of_no_job & is_there)


def _is_of_own_creation() -> ColumnElement[bool]:
    """It is about something whose creation by the same author was set aside too."""
    creation = aliased(SetAside)
    is_own = and_(
        creation.person_id.is_not_distinct_from(SetAside.person_id),
        creation.link_id.is_not_distinct_from(SetAside.link_id),
    )
    is_it = creation.type.in_(CREATING) & (creation.entity == any_(SetAside.mentions))
    return exists().where(creation.job_id == SetAside.job_id, is_own, is_it).correlate(SetAside)


def _take_all(is_due: ColumnElement[bool], *, job: Job) -> list[Mutation]:
    """Those that are taken now. One that says the same as another sent again for the same is settled with that."""
    taken = []
    for kept, author in _kept(is_due, job=job):
        if kept.settled_at is not None:
            continue
        mutation = Mutation.kept(kept.id, seq=kept.seq, text=kept.body)
        result = apply_mutation(mutation, actor=author, job=job)
        if not result.is_aside:
            kin = all_for(kept.replaces or kept.id, actor=author, job_id=job.id)
            settle_replaced(mutation, replaced=kin, result=result)
            db.session.flush()
            taken.append(mutation)
    return taken


# Of one device as it was done, which only its numbers tell; what several devices did as it came, one device's
# later work never before its earlier.
_ARRIVED = func.max(SetAside.at).over(partition_by=SetAside.device_id, order_by=SetAside.seq)
_IN_ORDER = (_ARRIVED, SetAside.device_id, SetAside.seq)


def _kept(is_due: ColumnElement[bool], *, job: Job) -> Iterator[tuple[SetAside, Actor]]:
    """All of it in order, some at once, with their authors, as far as they see the job."""
    keys = select(SetAside.id, SetAside.device_id, SetAside.person_id, SetAside.link_id)
    waits = keys.where(SetAside.job_id == job.id, SetAside.settled_at.is_(None), is_due)
    due = _with_authors(db.session.execute(waits.order_by(*_IN_ORDER)).all(), job=job)
    for start in range(0, len(due), MOST_AT_ONCE):
        some = dict(due[start : start + MOST_AT_ONCE])
        whole = db.session.scalars(select(SetAside).where(tuple_(SetAside.id, SetAside.device_id).in_(some)))
        found = {(kept.id, kept.device_id): kept for kept in whole}
        yield from ((found[key], author) for key, author in some.items())


def _with_authors(waiting: Sequence[Waiting], *, job: Job) -> list[tuple[Key, Actor]]:
    """Each author is looked at once."""
    authors = {row[1:]: _author(row, job=job) for row in {row[1:]: row for row in waiting}.values()}
    return [((row.id, row.device_id), author) for row in waiting if (author := authors[row[1:]]) is not None]


def _author(row: Waiting, *, job: Job) -> Actor | None:
    author = author_of(row.person_id, link_id=row.link_id, device_id=row.device_id)
    return author if author is not None and can_see_job(author, job_id=job.id) else None
