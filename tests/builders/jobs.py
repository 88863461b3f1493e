"""Jobs, visits and issues, made by pushing what a phone would push."""

from dataclasses import dataclass
from typing import Any

from tests.builders.people import CastMember
from tests.builders.phones import Phone, a_mutation, new_id, push


@dataclass(frozen=True)
class Job:
    """A job of one small heat recovery system, with the ids of its units by tag."""

    id: str
    system_id: str
    units: dict[str, str]


def a_sheet(**changed: Any) -> dict[str, Any]:
    """The fields of a small but whole job: one of each kind of unit, and a second indoor unit."""
    system_id, ids = new_id(), {tag: new_id() for tag in ("OM-1", "BB-1", "J-1", "IU-1", "IU-2", "WC-1", "CC-1")}
    hanging = {
        "OM-1": {"kind": "outdoor_module", "feeder": "F1"},
        "J-1": {"kind": "joint", "parent_id": ids["OM-1"]},
        "BB-1": {"kind": "branch_box", "parent_id": ids["J-1"], "port_count": 4},
        "IU-1": {"kind": "indoor_unit", "parent_id": ids["BB-1"], "port": 1, "group_address": "1"},
        "IU-2": {"kind": "indoor_unit", "parent_id": ids["BB-1"], "port": 2, "group_address": "2"},
        "WC-1": {"kind": "wall_controller", "parent_id": ids["IU-1"]},
        "CC-1": {"kind": "central_controller"},
    }
    units = [
        {"id": ids[tag], "tag": tag, "system_id": system_id, "floor": "1", "floor_order": 1, "room_m3": 60.0, **unit}
        for tag, unit in hanging.items()
    ]
    system = {"id": system_id, "tag": "S1", "kind": "heat_recovery", "refrigerant": "R-410A", "nominal_v": 400}
    return {
        "name": "Invented Hall",
        "address": "1 Invented Street",
        "contractor_firm": "Invented Pipes",
        "time_zone": "Europe/Berlin",
        "shift_start": "07:00",
        "shift_end": "15:30",
        "shift_days": [1, 2, 3, 4, 5],
        "invented": True,
        "systems": [system],
        "units": units,
        **changed,
    }


def a_job(phone: Phone, *, visited_by: CastMember | None = None, **changed: Any) -> Job:
    """A job that a dispatcher has set up; a technician sees it once they are to visit it."""
    sheet, job_id = a_sheet(**changed), new_id()
    lane = push(phone, job_id, [a_mutation("job.create", job_id, **sheet)])
    assert lane["receipts"][0]["outcome"] == "applied", lane
    job = Job(job_id, sheet["systems"][0]["id"], {unit["tag"]: unit["id"] for unit in sheet["units"]})
    if visited_by is not None:
        a_visit(phone, job=job, person=visited_by)
    return job


def a_visit(phone: Phone, *, job: Job, person: CastMember, **changed: Any) -> str:
    """A visit planned for someone."""
    visit_id = new_id()
    fields = {
        "purpose": "part_one",
        "starts_at": "2026-11-25T07:00:00.000Z",
        "planned_s": 28800,
        "person_id": str(person.id),
        "note": "only for us",
        **changed,
    }
    lane = push(phone, job.id, [a_mutation("visit.plan", visit_id, **fields)])
    assert lane["receipts"][0]["outcome"] == "applied", lane
    return visit_id


def an_issue(phone: Phone, *, job: Job, tag: str = "IU-1", **changed: Any) -> str:
    """An issue that the contractor must act on, unless said otherwise."""
    issue_id = new_id()
    fields = {
        "unit_id": job.units[tag],
        "category": "wiring",
        "words": "Terminals 1 and 2 are swapped.",
        "action": "Swap them back.",
        "evidence": "A photo of the terminals.",
        "stops": ["controls"],
        "opens_circuit": False,
        "who_must_act": "contractor",
        "visit_id": None,
        "due_on": None,
        **changed,
    }
    lane = push(phone, job.id, [a_mutation("issue.raise", issue_id, **fields)])
    assert lane["receipts"][0]["outcome"] == "applied", lane
    return issue_id
