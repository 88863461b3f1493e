"""What its author sends again, as it was or mended, under a new id that names the one which was set aside.

The one that was set aside waits no more: else the server would take it by itself (waiting.py) beside the new
one. Where it has been taken already, by itself or sent again from another phone, the same is not done twice.
"""

from collections.abc import Sequence

from sqlalchemy import func, select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.sync.aside import is_own
from flarenut.sync.mutation import Mutation
from flarenut.sync.receipts import Result
from flarenut.sync.tables import Lane, SetAside


def replaced_by(mutation: Mutation, *, actor: Actor, lane: Lane) -> Sequence[SetAside]:
    """Nearly always nothing. A copied phone may have sent one id under two device ids."""
    if mutation.replaces is None:
        return []
    is_it = (SetAside.id == mutation.replaces) & (SetAside.job_id == lane.job_id) & is_own(actor)
    return db.session.scalars(select(SetAside).where(is_it)).all()


def done_already(mutation: Mutation, *, replaced: Sequence[SetAside]) -> Result | None:
    """The answer to what the server has done already; nothing where that was not the same, or is still to be done."""
    revs = [one.taken_rev for one in _same(mutation, replaced=replaced) if one.taken_rev is not None]
    return Result(outcome="applied", rev=revs[0]) if revs else None


def settle_replaced(mutation: Mutation, *, replaced: Sequence[SetAside], result: Result) -> None:
    """Whatever became of the new one: if that is set aside as well, it waits in the other's place."""
    for one in replaced:
        if one.settled_at is None:
            one.settled_at = func.now()
    if not result.is_aside:
        for one in _same(mutation, replaced=replaced):
            one.taken_rev = result.rev


def _same(mutation: Mutation, *, replaced: Sequence[SetAside]) -> list[SetAside]:
    return [one for one in replaced if Mutation.kept(one.id, seq=one.seq, text=one.body).deed == mutation.deed]
