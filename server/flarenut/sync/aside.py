"""Set aside: what could not be applied is kept whole, for its author to mend and send again."""

import datetime as dt
import hashlib
import uuid
from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, Subquery, and_, func, or_, select, update

from flarenut.db import db
from flarenut.errors import Invalid
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.sync.again import first_of
from flarenut.sync.catalogue import CREATING
from flarenut.sync.mutation import Mutation
from flarenut.sync.plain import storable
from flarenut.sync.receipts import Result
from flarenut.sync.tables import Lane, SetAside

MOST_ITEMS = 200  # of one answer; each may be as large as a mutation
MOST_SETTLED = 2_000  # ids alone; what a phone was told by the list before, it knows by what is missing from it
SETTLED_TOLD = dt.timedelta(days=30)  # as long as receipts live


def set_aside(actor: Actor, *, lane: Lane, mutation: Mutation, result: Result) -> None:
    """Keep it as it came, with the reason."""
    db.session.add(
        SetAside(
            id=mutation.id,
            company_id=actor.company_id,
            device_id=lane.device_id,
            job_id=lane.job_id,
            seq=mutation.seq,
            person_id=actor.person_id,
            link_id=actor.link_id,
            type=storable(mutation.type)[:60],
            entity=mutation.entity,
            outcome=result.outcome,
            detail=storable(result.detail or {}),
            body=mutation.text,
            mentions=[*mutation.mentioned_ids()],
            replaces=first_of(mutation, actor=actor, job_id=lane.job_id),
            is_of_no_job=db.session.get(Job, lane.job_id) is None,
        )
    )


def waits_for_creation(lane: Lane, *, ids: set[uuid.UUID]) -> bool:
    """Was the creation of one of these set aside on this lane? Then what builds on it goes with it."""
    query = select(SetAside.id).where(
        SetAside.device_id == lane.device_id,
        SetAside.job_id == lane.job_id,
        SetAside.entity.in_(ids),
        SetAside.type.in_(CREATING),
    )
    return bool(ids) and db.session.execute(query.limit(1)).first() is not None


def own_set_aside(actor: Actor, *, after: uuid.UUID | None) -> tuple[Sequence[SetAside], bool]:
    """What of this one's own work is waiting for them, newest first, and whether there is more after it."""
    waits = is_own(actor) & SetAside.settled_at.is_(None)
    query = select(SetAside).where(waits).order_by(SetAside.at.desc(), SetAside.id, SetAside.device_id)
    if after is not None:
        last = db.session.scalars(query.where(SetAside.id == after)).first()
        if last is None:
            raise Invalid("invalid", "Nothing of yours was set aside under that id.", {"after": ["not one of yours"]})
        is_same_time = and_(SetAside.at == last.at, SetAside.id > last.id)
        query = query.where(or_(SetAside.at < last.at, is_same_time))
    found = db.session.scalars(query.limit(MOST_ITEMS + 1)).all()
    return found[:MOST_ITEMS], len(found) > MOST_ITEMS


def is_own(actor: Actor) -> ColumnElement[bool]:
    """Of this person, or of this link."""
    return SetAside.person_id == actor.person_id if actor.person_id is not None else SetAside.link_id == actor.link_id


def settle(actor: Actor, *, ids: list[uuid.UUID]) -> None:
    """Its author sent it again or gave it up: it waits on none of their phones any more, and stays here."""
    waits = is_own(actor) & SetAside.settled_at.is_(None) & SetAside.id.in_(ids)
    db.session.execute(update(SetAside).where(waits).values(settled_at=func.now()))


def own_settled(actor: Actor) -> dict[str, list[uuid.UUID]]:
    """What was settled lately, so that their other phones let go of it too; and what of it was taken by itself."""
    lately = is_own(actor) & (SetAside.settled_at > func.now() - SETTLED_TOLD)
    is_taken = SetAside.taken_as.is_not_distinct_from(SetAside.id).label("is_taken")
    query = select(SetAside.id, is_taken).where(lately).order_by(SetAside.settled_at.desc()).limit(MOST_SETTLED)
    found = db.session.execute(query).all()
    return {"settled": [one.id for one in found], "taken": [one.id for one in found if one.is_taken]}


def aside_of(actor: Actor) -> Subquery:
    """One row, however much there is: how many of this one's were set aside, and when last and last settled."""
    last, last_settled = func.max(SetAside.at).label("last"), func.max(SetAside.settled_at).label("last_settled")
    return select(func.count().label("count"), last, last_settled).where(is_own(actor)).subquery("aside")


def aside_mark(count: int, last: dt.datetime | None, last_settled: dt.datetime | None) -> str:
    """Differs when something was set aside or settled since: only then a phone fetches the list. Empty for none."""
    return hashlib.sha256(repr((count, last, last_settled)).encode()).hexdigest()[:12] if count else ""


GOES_WITH: dict[str, Any] = {
    "code": "goes_with",
    "message": "What this builds on could not be taken either. Mend that first, then send this again.",
    "fields": {},
}
