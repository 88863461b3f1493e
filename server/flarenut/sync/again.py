"""What its author sends again, as it was or mended, under a new id that names the one which was set aside.

The one that was set aside waits no more: else the server would take it by itself (waiting.py) beside the new
one. Where it has been taken already, by itself or sent again from another phone, the same is not done twice;
nor where it was sent again from two phones, or time after time, and each of these was set aside as well.
"""

import uuid
from collections.abc import Sequence

from sqlalchemy import func, select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.people.links import takes_over
from flarenut.sync.mutation import Mutation
from flarenut.sync.receipts import Result
from flarenut.sync.tables import SetAside


def first_of(mutation: Mutation, *, actor: Actor, job_id: uuid.UUID) -> uuid.UUID | None:
    """What it is sent again for; where that was sent again for another itself, the first of them."""
    if mutation.replaces is None:
        return None
    is_it = (SetAside.id == mutation.replaces) & (SetAside.job_id == job_id) & SetAside.replaces.is_not(None)
    known = db.session.scalars(select(SetAside).where(is_it)).all()
    return next((one.replaces for one in known if _is_own(one, actor=actor)), None) or mutation.replaces


def replaced_by(mutation: Mutation, *, actor: Actor, job_id: uuid.UUID) -> Sequence[SetAside]:
    """Nearly always nothing."""
    first = first_of(mutation, actor=actor, job_id=job_id)
    return [] if first is None else all_for(first, actor=actor, job_id=job_id)


def all_for(first: uuid.UUID, *, actor: Actor, job_id: uuid.UUID) -> Sequence[SetAside]:
    """The first and all that it was sent again as. A copied phone may have sent one id under two device ids."""
    is_it = (SetAside.job_id == job_id) & ((SetAside.id == first) | (SetAside.replaces == first))
    return [one for one in db.session.scalars(select(SetAside).where(is_it)) if _is_own(one, actor=actor)]


def done_already(mutation: Mutation, *, replaced: Sequence[SetAside]) -> Result | None:
    """The answer to what the server has done already; nothing where that was not the same, or is still to be done."""
    revs = [one.taken_rev for one in _same(mutation, replaced=replaced) if one.taken_rev is not None]
    return Result(outcome="applied", rev=revs[0]) if revs else None


def settle_replaced(mutation: Mutation, *, replaced: Sequence[SetAside], result: Result) -> None:
    """Whatever became of the new one: if that is set aside as well, it waits in the place of all that say the same.

    What another phone sent again mended is a change of its own, and waits on.
    """
    same = _same(mutation, replaced=replaced)
    for one in replaced:
        if one.settled_at is None and (one in same or one.id == mutation.replaces):
            one.settled_at = func.now()
    if not result.is_aside:
        for one in same:
            one.taken_rev, one.taken_as = result.rev, mutation.id
            one.settled_at = func.now()  # also of what was settled before: their other phones are to hear of it


def _same(mutation: Mutation, *, replaced: Sequence[SetAside]) -> list[SetAside]:
    return [one for one in replaced if Mutation.kept(one.id, seq=one.seq, text=one.body).deed == mutation.deed]


def _is_own(one: SetAside, *, actor: Actor) -> bool:
    """Of this person, or of a link with which theirs goes on: a phone moves what it has from one into the other."""
    if actor.person_id is not None:
        return one.person_id == actor.person_id
    return one.link_id is not None and takes_over(actor, link_id=one.link_id)
