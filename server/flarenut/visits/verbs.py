"""What can happen to a visit and to a step."""

from typing import Any

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.people.actor import Actor
from flarenut.people.tables import Person
from flarenut.sync.change import Change
from flarenut.visits.happened import happened_at
from flarenut.visits.steps import Proof, check_mark, settle_done, settle_undone
from flarenut.visits.tables import Step, Visit


def plan_visit(change: Change, fields: dict[str, Any]) -> None:
    """Plan a trip for one technician, who may act on the job from then on."""
    person = db.session.get(Person, fields["person_id"])
    if person is None or person.company_id != change.actor.company_id:
        raise Refused("unknown_person", "There is no such person at this company.", {"person_id": "unknown"})
    if person.role != "technician" or person.ended_at is not None:
        raise Refused("not_a_technician", f"{person.name} is no technician here any more.", {"person_id": "role"})
    change.add(
        Visit(
            id=change.entity,
            purpose=fields["purpose"],
            state="planned",
            starts_at=fields["starts_at"],
            planned_s=fields["planned_s"],
            person_id=person.id,
            person_name=person.name,
            note=fields.get("note") or "",
        )
    )


def close_visit(change: Change, fields: dict[str, Any]) -> None:
    """Leave the site: the summary is kept as it was told, and the visit takes no new readings."""
    visit: Visit = change.need(Visit, change.entity)
    check_close(visit, actor=change.actor)
    visit.summary, visit.closed_at = fields.get("summary"), happened_at(change)
    # The state through `set_fields`: it notes at which revision, and by which phone, the visit was closed.
    change.set_fields(visit, {"state": "closed", **({"note": fields["note"]} if fields.get("note") else {})})


def check_close(visit: Visit, *, actor: Actor) -> None:
    """A visit is closed once, by the one who made it or by the office."""
    if visit.state == "closed":
        raise Refused("visit_closed", "This visit is already closed.")
    if actor.role == "technician" and visit.person_id != actor.person_id:
        raise Refused("not_your_visit", f"Only {visit.person_name} or the office can close this visit.")


def mark_step(change: Change, fields: dict[str, Any]) -> None:
    """Say how a step stands, or what there is to note of it. Doing it again after a repair clears what had reset it."""
    step: Step = change.need(Step, change.entity)
    check_mark(step, actor=change.actor)
    state = fields.get("state")
    if state == step.state and "state" in step.two_values:
        change.set_fields(step, {"state": state})  # of two values the one that counts was picked: its proof stays
    elif state == "done":
        settle_done(change, step, proof=Proof(happened_at(change), change.actor.name))
    elif state is not None:
        settle_undone(change, step, state=state, reset_by=step.reset_by)
    if fields.get("note") is not None:
        change.set_fields(step, {"note": fields["note"]})
