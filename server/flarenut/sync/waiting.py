"""What could not be taken because something was not there is taken once that is there.

After a restore from a backup the phones offer again what was lost, in whatever order they come: what one has
done to an issue may arrive before the issue itself, which another phone has.
"""

import json
import uuid
from collections.abc import Sequence

from sqlalchemy import ColumnElement, func, or_, select

from flarenut.db import db
from flarenut.jobs.tables import Job
from flarenut.people.authors import author_of
from flarenut.sync.apply import apply_mutation
from flarenut.sync.aside import GOES_WITH
from flarenut.sync.catalogue import CREATING
from flarenut.sync.mutation import Mutation
from flarenut.sync.sight import can_see_job
from flarenut.sync.tables import SetAside

NOT_FOUND = "not_found"
OPEN_A_JOB = frozenset({"job.create", "visit.plan"})  # to those who could not say anything on it before
MOST_AT_ONCE = 500  # the job is locked meanwhile; a day's work of one phone on one job is far less (P)


def take_what_waited(job_id: uuid.UUID, *, made: dict[uuid.UUID, str]) -> None:
    """Under the lock of the job, as if it came now: who may do it and what it meets is judged as ever.

    What is taken so needs nobody any more; what is not waits on for its author, with the reason it had.
    """
    job = db.session.get(Job, job_id)
    if job is None:
        return
    late = _take_all(_without(job_id, made=made), job=job)
    while late:
        late = _take_all(_with_those(job_id, late=late), job=job)


def _without(job_id: uuid.UUID, *, made: dict[uuid.UUID, str]) -> Sequence[SetAside]:
    """What lacked one of these rows, or the job. What went with something else of its author's is left to them."""
    lacked = (SetAside.detail["code"].astext == NOT_FOUND) & SetAside.mentions.overlap([*made])
    is_opened = not OPEN_A_JOB.isdisjoint(made.values())
    return _kept(job_id, or_(SetAside.is_of_no_job, lacked) if is_opened else lacked)


def _with_those(job_id: uuid.UUID, *, late: set[uuid.UUID]) -> Sequence[SetAside]:
    """What lacked, or went with, something that has been taken here only now."""
    code = SetAside.detail["code"].astext
    return _kept(job_id, code.in_([NOT_FOUND, GOES_WITH["code"]]) & SetAside.mentions.overlap([*late]))


def _kept(job_id: uuid.UUID, is_due: ColumnElement[bool]) -> Sequence[SetAside]:
    query = select(SetAside).where(SetAside.job_id == job_id, SetAside.settled_at.is_(None), is_due)
    return db.session.scalars(query.order_by(SetAside.at, SetAside.id).limit(MOST_AT_ONCE)).all()


def _take_all(due: Sequence[SetAside], *, job: Job) -> set[uuid.UUID]:
    """The rows that are new with them."""
    late = set()
    for kept in due:
        mutation = Mutation(id=kept.id, seq=0, body=json.loads(kept.body))
        if _take(kept, mutation=mutation, job=job) and mutation.type in CREATING and mutation.entity:
            late.add(mutation.entity)
    return late


def _take(kept: SetAside, *, mutation: Mutation, job: Job) -> bool:
    author = author_of(kept.person_id, link_id=kept.link_id, device_id=kept.device_id)
    if author is None or not can_see_job(author, job_id=job.id):
        return False
    if apply_mutation(mutation, actor=author, job=job).is_aside:
        return False
    kept.settled_at = func.now()
    db.session.flush()
    return True
