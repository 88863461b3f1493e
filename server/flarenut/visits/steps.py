"""What the start-up sequence says about a step, and what a repair makes worthless."""

from datetime import datetime
from typing import NamedTuple
from uuid import UUID

from sqlalchemy import select

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.people.actor import Actor
from flarenut.sync.change import Change
from flarenut.trade.sequence import CODES, RESET_BY_OPENING, who_of
from flarenut.visits.tables import Step


def check_mark(step: Step, *, actor: Actor) -> None:
    """A contractor reports their own work, never the technician's proof."""
    if actor.role == "contractor" and not (step.code in CODES and who_of(step.code) == "contractor"):
        raise Refused("not_your_step", "This step is the technician's to mark.", {"step": step.code})


def can_mark(step: Step, *, actor: Actor) -> bool:
    """Would marking this step be taken from this actor?"""
    try:
        check_mark(step, actor=actor)
    except Refused:
        return False
    return True


class Proof(NamedTuple):
    """When and by whom a step was done, and the reading that says so."""

    done_at: datetime
    done_by_name: str
    reading_id: UUID | None = None


def settle_done(change: Change, step: Step, *, proof: Proof) -> None:
    """The step is done. Doing it again after a repair clears what had reset it.

    Whoever did not know of the repair proved nothing about what it left: that they say so stays beside it.
    """
    if step.reset_by is not None and change.is_news(step, "state"):
        change.put_beside(step, "state", "done")
        return
    change.set_fields(step, {"state": "done"})
    step.done_at, step.done_by_name, step.reading_id = proof
    step.reset_by = None


def settle_undone(
    change: Change, step: Step, *, state: str, reading_id: UUID | None = None, reset_by: UUID | None
) -> None:
    """The step is to do, failed or not applicable, and nobody has done it.

    Two people can disagree on the state; the rest goes with the state that is current.
    """
    change.set_fields(step, {"state": state})
    step.done_at, step.done_by_name = None, None
    step.reading_id, step.reset_by = reading_id, reset_by


def reset_steps(change: Change, *, system_id: UUID | None, issue_id: UUID) -> None:
    """Opening the circuit makes its earlier proof worthless: those steps are to do again."""
    proofs = select(Step).where(Step.system_id == system_id, Step.code.in_(RESET_BY_OPENING), Step.state == "done")
    for step in db.session.scalars(proofs.order_by(Step.id)):
        settle_undone(change, step, state="todo", reset_by=issue_id)
