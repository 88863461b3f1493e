"""What could not be taken because something was not there is taken once that is there.

After a restore from a backup the phones offer again what was lost, in whatever order they come: what one has
done to an issue may arrive before the issue itself, which another phone has.
"""

import json
import uuid
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from sqlalchemy import func, or_, select

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


@dataclass
class Made:
    """Rows that are there now: all, and those of them that had waited themselves."""

    every: set[uuid.UUID]
    late: set[uuid.UUID] = field(default_factory=set)

    def frees(self, kept: SetAside, *, mutation: Mutation) -> bool:
        """Is what it lacked there now? What went with another is its author's, unless that has been taken here."""
        if kept.is_of_no_job:
            return True
        news = self.late if kept.detail.get("code") == GOES_WITH["code"] else self.every
        return not mutation.mentioned_ids().isdisjoint(news)


def take_what_waited(job_id: uuid.UUID, *, made: Iterable[uuid.UUID]) -> None:
    """Under the lock of the job, as if it came now: who may do it and what it meets is judged as ever.

    What is taken so needs nobody any more; what is not waits on for its author, with the reason it had.
    """
    job, now_there = db.session.get(Job, job_id), Made(every=set(made))
    waiting = _waiting(job_id)
    while job is not None and (due := [*_due(waiting, made=now_there)]):
        for kept, mutation in due:
            waiting.remove(kept)
            if _take(kept, mutation=mutation, job=job) and mutation.type in CREATING and mutation.entity:
                now_there.every.add(mutation.entity)
                now_there.late.add(mutation.entity)


def _waiting(job_id: uuid.UUID) -> list[SetAside]:
    code = SetAside.detail["code"].astext
    lacked = or_(SetAside.is_of_no_job, code.in_([NOT_FOUND, GOES_WITH["code"]]))
    query = select(SetAside).where(SetAside.job_id == job_id, SetAside.settled_at.is_(None), lacked)
    return [*db.session.scalars(query.order_by(SetAside.at, SetAside.id))]


def _due(waiting: Iterable[SetAside], *, made: Made) -> Iterator[tuple[SetAside, Mutation]]:
    for kept in waiting:
        mutation = Mutation(id=kept.id, seq=0, body=json.loads(kept.body))
        if made.frees(kept, mutation=mutation):
            yield kept, mutation


def _take(kept: SetAside, *, mutation: Mutation, job: Job) -> bool:
    author = author_of(kept.person_id, link_id=kept.link_id, device_id=kept.device_id)
    if author is None or not can_see_job(author, job_id=job.id):
        return False
    if apply_mutation(mutation, actor=author, job=job).is_aside:
        return False
    kept.settled_at = func.now()
    db.session.flush()
    return True
