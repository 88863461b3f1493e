"""Visits are planned for technicians, and closed once."""

from typing import Any

import pytest

from tests.builders import CastMember, a_job, a_link, a_technician, a_visit, new_id
from tests.server.telling import THEN, code_of, tell

PLAN = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28_800, "note": ""}


def test_a_planned_visit_puts_the_technician_on_the_job(client_as: Any, ana: CastMember, ben: CastMember) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office)
    assert phone.rows("job") == {}

    visit_id = a_visit(office, job=job, person=ben)

    assert list(phone.rows("job")) == [job.id]
    visit = phone.rows("visit")[visit_id]
    assert (visit["person_name"], visit["state"]) == ("Ben", "planned")


def test_a_visit_needs_a_technician_of_this_company(client_as: Any, ana: CastMember) -> None:
    office = client_as(ana)
    job, stranger = a_job(office), a_technician("Cleo's man")

    said = {
        str(person_id): code_of(tell(office, job.id, "visit.plan", new_id(), person_id=str(person_id), **PLAN))
        for person_id in (stranger.id, ana.id, new_id())
    }

    assert list(said.values()) == ["unknown_person", "not_a_technician", "unknown_person"]


def test_only_the_office_plans_visits(client_as: Any, ana: CastMember, ben: CastMember) -> None:
    phone = client_as(ben)
    job = a_job(client_as(ana), visited_by=ben)

    receipt = tell(phone, job.id, "visit.plan", new_id(), person_id=str(ben.id), **PLAN)

    assert code_of(receipt) == "not_allowed"


def test_closing_a_visit_keeps_its_summary(client_as: Any, ana: CastMember, ben: CastMember) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office)
    visit_id = a_visit(office, job=job, person=ben)
    left = [{"system_id": job.system_id, "code": "test_run", "why": ["leak"], "words": "A leak."}]
    summary = {"done": [], "not_done": left, "issues_open": 2}

    receipt = tell(phone, job.id, "visit.close", visit_id, summary=summary, note="Key is with the porter.")

    assert receipt["outcome"] == "applied"
    visit = office.rows("visit")[visit_id]
    assert (visit["state"], visit["summary"], visit["note"]) == ("closed", summary, "Key is with the porter.")
    assert visit["closed_at"] == THEN


def test_a_visit_is_closed_once(client_as: Any, ana: CastMember, ben: CastMember) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office)
    visit_id = a_visit(office, job=job, person=ben)
    tell(phone, job.id, "visit.close", visit_id, summary=None, note="")

    assert code_of(tell(office, job.id, "visit.close", visit_id, summary=None, note="")) == "visit_closed"


def test_nobody_closes_another_technicians_visit_but_the_office(
    client_as: Any, ana: CastMember, ben: CastMember
) -> None:
    office = client_as(ana)
    job = a_job(office, visited_by=ben)
    tom = a_technician("Tom", company=ben.company_name)
    toms_visit = a_visit(office, job=job, person=tom)

    assert code_of(tell(client_as(ben), job.id, "visit.close", toms_visit)) == "not_your_visit"
    assert tell(office, job.id, "visit.close", toms_visit)["outcome"] == "applied"


def test_a_phone_a_year_ahead_closes_a_visit_now_and_not_next_year(
    client_as: Any, ana: CastMember, ben: CastMember
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office)
    visit_id = a_visit(office, job=job, person=ben)

    tell(phone, job.id, "visit.close", visit_id, device_time="2099-01-01T00:00:00.000Z")

    assert office.rows("visit")[visit_id]["closed_at"] < "2099"


@pytest.mark.parametrize(
    ("field", "said"), [("planned_s", 5), ("purpose", "holiday"), ("starts_at", "tomorrow"), ("person_id", "Ben")]
)
def test_a_visit_that_cannot_be_understood_names_the_field(
    client_as: Any, ana: CastMember, ben: CastMember, field: str, said: Any
) -> None:
    office = client_as(ana)
    job = a_job(office)

    receipt = tell(office, job.id, "visit.plan", new_id(), **{"person_id": str(ben.id), **PLAN, field: said})

    assert receipt["outcome"] == "set_aside"
    assert list(receipt["detail"]["fields"]) == [field]


def test_a_contractor_does_not_see_the_note_of_a_visit(client_as: Any, ana: CastMember, ben: CastMember) -> None:
    job = a_job(client_as(ana), visited_by=ben)

    visits = client_as(a_link(ana, job_id=job.id)).rows("visit")

    assert len(visits) == 1
    assert [visit["note"] for visit in visits.values()] == [None]
