"""One good change of every type, each about something new, and how it shows once it was taken."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid5

from flarenut.trade import entry
from tests.builders import CastMember, Phone, a_mutation, a_sheet, a_visit, an_issue, new_id, push
from tests.builders.jobs import Job

Fields = dict[str, Any]

THEN = "2025-06-02T08:30:00.000Z"
VOLTAGES = {"nominal_v": 400.0, "v_ab_v": 401.0, "v_bc_v": 400.0, "v_ca_v": 399.0, "rotation": "forward"}
AN_ARROW = {"tool": "arrow", "points": [[0.1, 0.2], [0.5, 0.5]]}


@dataclass(frozen=True)
class Stage:
    """Ana's job, who is near it and who is not, each with a phone."""

    phones: dict[str, Phone]
    job: Job
    ben: CastMember
    bea: CastMember
    chris: CastMember


@dataclass(frozen=True)
class Wanted:
    """A change: what it is about, what it says, and what its row says of it afterwards."""

    entity: str
    fields: Fields
    shows: Fields


def step_id(stage: Stage, code: str, *, tag: str = "") -> str:
    """As every phone works it out."""
    unit_id = stage.job.units[tag] if tag else ""
    return str(uuid5(UUID(stage.job.id), f"{stage.job.system_id}:{code}:{unit_id}"))


def a_photo(stage: Stage, **changed: Any) -> Fields:
    """A photo on an issue of the contractor's, unless said otherwise."""
    owner = changed or {"issue_id": an_issue(stage.phones["dispatcher"], job=stage.job)}
    return {**owner, "sha256": "a" * 64, "size_bytes": 9, "width_px": 3, "height_px": 3, "taken_at": THEN}


def an_answered_issue(stage: Stage, *, by: str = "contractor", **changed: Any) -> str:
    """Someone says that it is fixed."""
    issue_id = an_issue(stage.phones["dispatcher"], job=stage.job, **changed)
    lane = push(stage.phones[by], stage.job.id, [a_mutation("issue.answer", issue_id, fixed=True)])
    assert lane["receipts"][0]["outcome"] == "applied", lane
    return issue_id


def _job_create(_stage: Stage, said: str) -> Wanted:
    return Wanted(new_id(), a_sheet(name=said), {"name": said})


def _visit_plan(stage: Stage, said: str) -> Wanted:
    planned = {"purpose": "follow_up", "starts_at": "2026-11-27T07:00:00.000Z", "planned_s": 7200}
    shows = {"state": "planned", "note": said, "person_id": str(stage.ben.id)}
    return Wanted(new_id(), {**planned, "note": said, "person_id": str(stage.ben.id)}, shows)


def _visit_set(stage: Stage, said: str) -> Wanted:
    visit_id = a_visit(stage.phones["dispatcher"], job=stage.job, person=stage.ben)
    return Wanted(visit_id, {"note": said, "planned_s": 3600}, {"note": said, "planned_s": 3600, "state": "planned"})


def _visit_cancel(stage: Stage, said: str) -> Wanted:
    visit_id = a_visit(stage.phones["dispatcher"], job=stage.job, person=stage.ben)
    return Wanted(visit_id, {"note": said}, {"state": "cancelled", "note": said})


def _visit_close(stage: Stage, said: str) -> Wanted:
    visit_id = a_visit(stage.phones["dispatcher"], job=stage.job, person=stage.ben)
    return Wanted(visit_id, {"summary": {"done": []}, "note": said}, {"state": "closed", "note": said})


def _issue_raise(stage: Stage, said: str) -> Wanted:
    fields = {"unit_id": stage.job.units["IU-2"], "category": "wiring", "words": said, "who_must_act": "technician"}
    return Wanted(new_id(), fields, {"state": "open", "words": said})


def _issue_set(stage: Stage, said: str) -> Wanted:
    issue_id = an_issue(stage.phones["dispatcher"], job=stage.job)
    return Wanted(issue_id, {"words": said}, {"words": said})


def _issue_answer(stage: Stage, said: str) -> Wanted:
    issue_id = an_issue(stage.phones["dispatcher"], job=stage.job)
    return Wanted(issue_id, {"fixed": True, "words": said}, {"state": "answered"})


def _issue_prove(stage: Stage, said: str) -> Wanted:
    return Wanted(an_answered_issue(stage), {"words": said}, {"state": "proved"})


def _issue_send_back(stage: Stage, said: str) -> Wanted:
    return Wanted(an_answered_issue(stage), {"words": said}, {"state": "sent_back", "times_reopened": 1})


def _issue_accept(stage: Stage, said: str) -> Wanted:
    issue_id = an_issue(stage.phones["dispatcher"], job=stage.job)
    shows = {"state": "accepted", "accepted_by_name": "Olga Owner", "accepted_reason": said}
    return Wanted(issue_id, {"name": "Olga Owner", "reason": said}, shows)


def _step_mark(stage: Stage, said: str) -> Wanted:
    """A step of the contractor's, which a technician may mark as well; to its note a contractor can only add."""
    says = {"state": "failed"} if "contractor" in said else {"state": "done", "note": said}
    return Wanted(step_id(stage, "charge"), says, says)


def _reading_record(stage: Stage, said: str) -> Wanted:
    outputs = json.loads(entry.compute("supply_power", json.dumps(VOLTAGES)))["result"]
    where = {"system_id": stage.job.system_id, "unit_id": stage.job.units["OM-1"]}
    made = {"calculation": "supply_power", "inputs": VOLTAGES, "outputs": outputs, "verdict": outputs["verdict"]}
    fields = {**where, **made, "engine_version": entry.VERSION, "reason": said, "taken_at": THEN}
    return Wanted(new_id(), fields, {"verdict": "pass", "differs": False, "reason": said})


def _photo_add(stage: Stage, _said: str) -> Wanted:
    return Wanted(new_id(), a_photo(stage), {"state": "pending", "sha256": "a" * 64})


def _photo_mark(stage: Stage, _said: str) -> Wanted:
    shown = a_mutation("photo.add", **a_photo(stage))
    lane = push(stage.phones["dispatcher"], stage.job.id, [shown])
    assert lane["receipts"][0]["outcome"] == "applied", lane
    return Wanted(shown["entity"], {"marks": [AN_ARROW]}, {"marks": [AN_ARROW]})


def _unit_set(stage: Stage, said: str) -> Wanted:
    return Wanted(stage.job.units["IU-1"], {"place": said}, {"place": said})


WANTED: dict[str, Callable[[Stage, str], Wanted]] = {
    "job.create": _job_create,
    "visit.plan": _visit_plan,
    "visit.set": _visit_set,
    "visit.cancel": _visit_cancel,
    "visit.close": _visit_close,
    "issue.raise": _issue_raise,
    "issue.set": _issue_set,
    "issue.answer": _issue_answer,
    "issue.prove": _issue_prove,
    "issue.send_back": _issue_send_back,
    "issue.accept": _issue_accept,
    "step.mark": _step_mark,
    "reading.record": _reading_record,
    "photo.add": _photo_add,
    "photo.mark": _photo_mark,
    "unit.set": _unit_set,
}
