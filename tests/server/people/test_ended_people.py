"""Somebody leaves the company: they hand over what they had done, see nothing any more, and never come in again."""

import datetime as dt
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, text

from flarenut.people.actor import Actor, Role
from flarenut.people.sessions import COOKIES
from flarenut.sync.sight import can_see_job
from tests.builders import (
    CastMember,
    Phone,
    a_dispatcher,
    a_job,
    a_mutation,
    a_sheet,
    a_technician,
    a_visit,
    end,
    new_id,
    push,
)
from tests.builders.people import PASSWORD
from tests.builders.phones import ORIGIN
from tests.builders.world import behind_the_wall
from tests.server.site import Site

Enter = Callable[..., Phone]
Row = dict[str, Any]


@pytest.fixture
def eve(ana: CastMember) -> CastMember:
    """Runs jobs beside Ana, until she leaves."""
    return a_dispatcher("Eve", company=ana.company_name)


def _pull(phone: Phone, **asked: Any) -> Row:
    body = {"device_id": phone.device_id, "cursors": [*phone.cursors.values()], **asked}
    answer = phone.post("/api/sync/pull", json=body)
    assert answer.status_code == 200, answer.get_data(as_text=True)
    told: Row = answer.get_json()
    return told


def _issue(site: Site) -> Row:
    says = {"category": "wiring", "words": "Swapped.", "who_must_act": "technician"}
    return a_mutation("issue.raise", unit_id=site.job.units["IU-1"], **says)


def test_an_ended_technician_is_told_that_the_job_is_gone_and_nothing_of_the_company(site: Site) -> None:
    site.phone.pull()
    end(site.ben)

    told = _pull(site.phone)

    assert [(part["job_id"], part["state"], part["rows"]) for part in told["jobs"]] == [(site.job.id, "gone", [])]
    assert (told["ended"], told["people_rev"]) == (True, 0)
    assert site.phone.get("/api/people").status_code == 403


def test_an_ended_dispatcher_is_told_that_every_job_is_gone(site: Site, eve: CastMember, client_as: Enter) -> None:
    desk = client_as(eve)
    theirs = a_job(desk)
    desk.pull()
    end(eve)

    told = _pull(desk)

    assert {(part["job_id"], part["state"]) for part in told["jobs"]} == {
        (site.job.id, "gone"),
        (theirs.id, "gone"),
    }
    assert desk.rows("job") == {}


def test_the_short_question_says_that_something_changed_and_then_that_nothing_does(site: Site) -> None:
    site.phone.pull()
    mark = _pull(site.phone)["mark"]
    assert "ended" not in _pull(site.phone, mark=mark)
    end(site.ben)

    first = _pull(site.phone, mark=mark)
    whole = _pull(site.phone)
    again = _pull(site.phone, mark=whole["mark"])

    assert (first["changed"], again["changed"], again["ended"]) == (True, False, True)


def test_what_was_not_sent_is_kept_for_good_and_its_author_is_told(
    site: Site,
) -> None:
    raised, closed = _issue(site), a_mutation("step.mark", site.step_id("supply", tag="OM-1"), state="done")
    end(site.ben)

    lane = push(site.phone, site.job.id, [raised, closed])
    again = push(site.phone, site.job.id, [{**raised}])

    assert [receipt["detail"]["code"] for receipt in lane["receipts"]] == ["no_access", "no_access"]
    assert again["receipts"][0]["outcome"] == "set_aside"
    assert lane["last_seq"] == 2
    assert site.office.rows("issue") == {}
    kept = site.phone.get("/api/set-aside").get_json()["items"]
    assert {item["id"]: item["mutation"]["fields"] for item in kept} == {
        sent["id"]: sent["fields"] for sent in (raised, closed)
    }


def test_a_job_that_an_ended_dispatcher_had_set_up_with_no_signal_is_kept_and_not_made(
    site: Site, eve: CastMember, client_as: Enter
) -> None:
    desk, job_id, sheet = client_as(eve), new_id(), a_sheet()
    end(eve)
    plan = {"purpose": "part_one", "starts_at": "2026-12-01T07:00:00.000Z", "planned_s": 7200, "note": ""}
    sent = [a_mutation("job.create", job_id, **sheet), a_mutation("visit.plan", person_id=str(site.ben.id), **plan)]

    lane = push(desk, job_id, sent)

    assert [receipt["detail"]["code"] for receipt in lane["receipts"]] == ["not_allowed", "goes_with"]
    assert [*site.office.rows("job")] == [site.job.id]
    assert len(desk.get("/api/set-aside").get_json()["items"]) == 2


def test_what_an_ended_technician_handed_over_is_never_taken_in_their_name(site: Site, client_as: Enter) -> None:
    sheet, job_id = a_sheet(), new_id()
    unit_id = next(unit["id"] for unit in sheet["units"] if unit["tag"] == "IU-1")
    raised = a_mutation("issue.raise", unit_id=unit_id, category="wiring", words="x", who_must_act="technician")
    dan = a_technician("Dan", company=site.ana.company_name)
    phone = client_as(dan)
    push(phone, job_id, [raised])
    push(site.office, job_id, [a_mutation("job.create", job_id, **sheet)])
    end(dan)

    push(site.office, job_id, [a_mutation("visit.plan", **_a_plan(site.ben))])

    assert site.office.rows("issue") == {}
    assert len(phone.get("/api/set-aside").get_json()["items"]) == 1


def _a_plan(person: CastMember) -> Row:
    when = {"purpose": "part_one", "starts_at": "2026-12-01T07:00:00.000Z", "planned_s": 7200, "note": ""}
    return {**when, "person_id": str(person.id)}


def test_nobody_who_was_ended_signs_in_again(app: Flask, site: Site) -> None:
    end(site.ben)

    body = {"email": site.ben.email, "password": PASSWORD, "device_id": new_id()}
    answer = app.test_client().post("/api/sign-in", json=body, base_url=ORIGIN)

    assert answer.status_code == 401


def test_a_phone_that_was_signed_out_opens_nothing_when_its_person_is_ended(site: Site, client_as: Enter) -> None:
    lost = client_as(site.ben)
    token = lost.client.get_cookie(COOKIES["device"], domain="flarenut.example")
    assert token is not None
    lost.post("/api/sign-out")
    lost.client.set_cookie(COOKIES["device"], token.value, domain="flarenut.example", secure=True)
    end(site.ben)

    told = [phone.get("/api/me").status_code for phone in (lost, site.phone)]

    assert told == [401, 200]


def test_a_session_of_somebody_ended_lives_no_longer_than_any_other(site: Site, owner: Engine) -> None:
    end(site.ben)
    before = site.phone.get("/api/me").status_code

    with owner.begin() as connection:
        rested = {"by": dt.timedelta(days=15), "who": site.ben.id}
        connection.execute(text("UPDATE device_session SET seen_at = seen_at - :by WHERE person_id = :who"), rested)

    assert (before, site.phone.get("/api/me").status_code) == (200, 401)


def test_who_they_are_is_told_to_them_and_not_where_they_worked(site: Site) -> None:
    end(site.ben)

    me = site.phone.get("/api/me").get_json()

    assert me == {
        "person": {"id": str(site.ben.id), "name": "Ben", "role": "ended"},
        "device_id": site.phone.device_id,
    }


def test_a_visit_of_somebody_ended_opens_no_job_to_them(site: Site) -> None:
    end(site.ben)

    a_visit(site.office, job=site.job, person=a_technician("Dan", company=site.ana.company_name))

    assert site.phone.rows("job") == {}


@pytest.mark.parametrize("role", ["technician", "dispatcher"])
def test_a_request_that_waits_while_its_person_is_ended_sees_nothing_any_more(
    role: Role, site: Site, eve: CastMember
) -> None:
    person = {"technician": site.ben, "dispatcher": eve}[role]
    who = {"company_id": person.company_id, "name": person.name, "person_id": person.id}
    waiting = Actor(role=role, device_id=uuid.uuid4(), **who)
    before = _sees(waiting, job_id=site.job.id)

    end(person)

    assert (before, _sees(waiting, job_id=site.job.id)) == (True, False)


def _sees(actor: Actor, *, job_id: str) -> bool:
    with behind_the_wall(actor.company_id):
        return can_see_job(actor, job_id=uuid.UUID(job_id))
