"""What can happen to a visit and to a step."""

from typing import Any
from uuid import UUID

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.people.tables import Person
from flarenut.sync.change import Change
from flarenut.visits.happened import happened_at
from flarenut.visits.steps import Proof, check_mark, settle_done, settle_undone
from flarenut.visits.tables import Step, Visit


def plan_visit(change: Change, fields: dict[str, Any]) -> None:
    """Plan a trip for one technician, who may act on the job from then on."""
    person = _need_technician(change, person_id=fields["person_id"])
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


def _need_technician(change: Change, *, person_id: UUID) -> Person:
    person = db.session.get(Person, person_id)
    if person is None or person.company_id != change.actor.company_id:
        raise Refused("unknown_person", "There is no such person at this company.", {"person_id": "unknown"})
    if person.role != "technician" or person.ended_at is not None:
        raise Refused("not_a_technician", f"{person.name} is no technician here any more.", {"person_id": "role"})
    return person


SETTABLE = ("purpose", "starts_at", "planned_s", "person_id", "note")


def set_visit(change: Change, fields: dict[str, Any]) -> None:
    """Another day, another length, another technician: whoever has no visit on the job left sees it no more.

    Of two values one is picked whenever that may be; anything else of a visit that is over stays as it was.
    """
    visit: Visit = change.need(Visit, change.entity)
    wanted = {name: fields[name] for name in SETTABLE if name in fields}
    if not wanted or not wanted.keys() <= (visit.two_values or {}).keys():
        check_ahead(visit)
    if "note" in wanted:
        wanted["note"] = wanted["note"] or ""
    if "person_id" in wanted:
        visit.person_name = _need_technician(change, person_id=wanted["person_id"]).name
    change.set_fields(visit, wanted)


def cancel_visit(change: Change, fields: dict[str, Any]) -> None:
    """Call a visit off: the row stays, and it opens the job to nobody any more.

    Where it has been called off before, from another tab or by somebody else, what is wished is so already.
    """
    visit: Visit = change.need(Visit, change.entity)
    if visit.state != "cancelled":
        check_ahead(visit)
    _end(change, visit, state="cancelled", note=fields.get("note"))


def check_ahead(visit: Visit) -> None:
    """What took place cannot be moved, and what was called off is planned anew, as another visit."""
    if visit.state == "closed":
        raise Refused("visit_closed", "This visit is already closed. Plan another one.")
    if visit.state == "cancelled":
        raise Refused("visit_cancelled", "This visit was called off. Plan another one.")


def close_visit(change: Change, fields: dict[str, Any]) -> None:
    """Leave the site: the summary is kept as it was told, and the visit takes no new readings."""
    visit: Visit = change.need(Visit, change.entity)
    check_close(visit, change=change)
    visit.summary, visit.closed_at = fields.get("summary"), happened_at(change)
    _end(change, visit, state="closed", note=fields.get("note"))


def check_close(visit: Visit, *, change: Change) -> None:
    """A visit is closed once, by the one who made it or by the office.

    Whoever did not know that it had been called off was there all the same: it took place.
    """
    if visit.state == "closed":
        raise Refused("visit_closed", "This visit is already closed.")
    if visit.state == "cancelled" and not change.is_news(visit, "state"):
        raise Refused("visit_cancelled", "This visit was called off.")
    if change.actor.role == "technician" and visit.person_id != change.actor.person_id:
        raise Refused("not_your_visit", f"Only {visit.person_name} or the office can close this visit.")


def _end(change: Change, visit: Visit, *, state: str, note: str | None) -> None:
    """How a visit stands is judged under the lock of the job, so there are never two values of it.

    Through `set_fields` all the same: it notes at which revision, and by which phone, the visit was ended.
    """
    visit.state = state
    change.set_fields(visit, {"state": state, **({"note": note} if note else {})})


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
