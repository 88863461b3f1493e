"""One good change of every type, for tests that then spoil a part of it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.builders import Phone, a_mutation, a_sheet, a_visit, an_issue, push
from tests.server.site import Site

Fields = dict[str, Any]

A_MARK: Fields = {"marks": [{"tool": "arrow", "points": [[0.1, 0.2], [0.5, 0.5]]}]}


@dataclass(frozen=True)
class Deed:
    """What it is about (nothing: something new each time), by whom, and its fields."""

    entity: str
    phone: Phone
    fields: Callable[[], Fields]


def deeds(site: Site) -> dict[str, Deed]:
    """A good change of every type there is."""
    return {**_of_the_job(site), **_of_issues(site), **_of_the_visit(site)}


def _of_the_job(site: Site) -> dict[str, Deed]:
    unit = {"floor": "1", "floor_order": 1, "place": "p", "room": "r", "room_m3": 3.0, "group_address": "1"}
    more = {"central_address": "2", "feeder": "F", "model_note": "n"}
    return {
        "job.create": Deed("", site.office, a_sheet),
        "unit.set": Deed(site.job.units["IU-1"], site.phone, lambda: {**unit, **more}),
    }


def _of_issues(site: Site) -> dict[str, Deed]:
    issue_id, answered_id = an_issue(site.office, job=site.job), an_issue(site.office, job=site.job)
    push(site.link, site.job.id, [a_mutation("issue.answer", answered_id, fixed=True)])
    said = {"words": "w", "action": "a", "evidence": "e", "stops": ["controls"], "opens_circuit": False}
    issue = {**said, "unit_id": site.job.units["IU-1"], "category": "wiring", "who_must_act": "contractor"}
    photo = {"issue_id": issue_id, "sha256": "a" * 64, "size_bytes": 9, "width_px": 3, "height_px": 3}
    said_at = "2025-11-25T07:00:00.000Z"
    shown = a_mutation("photo.add", **photo, taken_at=said_at)
    push(site.phone, site.job.id, [shown])
    return {
        "issue.raise": Deed("", site.phone, lambda: {**issue, "visit_id": None, "due_on": None}),
        "issue.set": Deed(issue_id, site.phone, lambda: {**issue, "due_on": "2026-12-01"}),
        "issue.answer": Deed(issue_id, site.link, lambda: {"words": "w", "fixed": False, "promised_on": "2026-12-01"}),
        "issue.prove": Deed(answered_id, site.phone, lambda: {"words": "w"}),
        "issue.send_back": Deed(answered_id, site.phone, lambda: {"words": "w"}),
        "issue.accept": Deed(issue_id, site.office, lambda: {"name": "n", "reason": "r"}),
        "photo.add": Deed("", site.link, lambda: {**photo, **A_MARK, "taken_at": said_at}),
        "photo.mark": Deed(shown["entity"], site.phone, lambda: dict(A_MARK)),
    }


def _of_the_visit(site: Site) -> dict[str, Deed]:
    visit_id = next(iter(site.office.rows("visit")))
    planned_id, called_off_id = (a_visit(site.office, job=site.job, person=site.ben) for _ in range(2))
    volts = {"v_ab_v": 400, "v_bc_v": 400, "v_ca_v": 400, "nominal_v": 400, "rotation": "forward"}
    place = {"system_id": site.job.system_id, "unit_id": site.job.units["OM-1"], "visit_id": visit_id}
    made = {"calculation": "supply_power", "inputs": volts, "outputs": {}, "verdict": "pass", "engine_version": "1"}
    reading = {**place, **made, "step_id": site.step_id("supply", tag="OM-1"), "taken_at": "2025-11-25T07:00:00.000Z"}
    visit = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28800, "note": "n"}
    return {
        "visit.plan": Deed("", site.office, lambda: {**visit, "person_id": str(site.ben.id)}),
        "visit.set": Deed(planned_id, site.office, lambda: {**visit, "person_id": str(site.ben.id)}),
        "visit.cancel": Deed(called_off_id, site.office, lambda: {"note": "n"}),
        "visit.close": Deed(visit_id, site.phone, lambda: {"summary": {"done": []}, "note": "n"}),
        "step.mark": Deed(site.step_id("charge"), site.phone, lambda: {"state": "done", "note": "n"}),
        "reading.record": Deed("", site.phone, lambda: dict(reading)),
    }


def do(site: Site, deed: Deed, *, kind: str, fields: list[Fields]) -> list[Fields]:
    """Push them, as many at once as a push takes; their receipts. Each new job has a lane of its own."""
    made = [a_mutation(kind, deed.entity, **one) for one in fields]
    most = 1 if kind == "job.create" else 100
    lanes = [made[at : at + most] for at in range(0, len(made), most)]
    found: list[Fields] = []
    for lane in lanes:
        job_id = lane[0]["entity"] if kind == "job.create" else site.job.id
        found += push(deed.phone, job_id, lane)["receipts"]
    return found
