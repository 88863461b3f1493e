"""After a restore phones offer what was lost in any order: what came before the thing it is about is taken with it."""

from collections.abc import Callable
from typing import Any

import pytest

from flarenut.sync import waiting
from tests.builders import CastMember, Phone, a_job, a_mutation, a_sheet, a_technician, new_id, push
from tests.builders.jobs import Job
from tests.builders.people import a_link

Enter = Callable[..., Phone]

SHA256 = "ab" * 32


def _raise(unit_id: str, **changed: Any) -> dict[str, Any]:
    fields = {"unit_id": unit_id, "category": "wiring", "words": "x", "who_must_act": "contractor"}
    return a_mutation("issue.raise", **{**fields, **changed})


def _accept(issue_id: str) -> dict[str, Any]:
    return a_mutation("issue.accept", issue_id, name="Ana", reason="It stays as it is.")


def _photo(issue_id: str) -> dict[str, Any]:
    size = {"size_bytes": 1000, "width_px": 640, "height_px": 480}
    return a_mutation("photo.add", issue_id=issue_id, sha256=SHA256, taken_at="2026-11-25T09:00:00.000Z", **size)


def _outcomes(phone: Phone, job: Job, *mutations: dict[str, Any]) -> list[str]:
    return [receipt["outcome"] for receipt in push(phone, job.id, [*mutations])["receipts"]]


def _waiting(phone: Phone) -> list[str]:
    return [item["mutation"]["type"] for item in phone.get("/api/set-aside").get_json()["items"]]


def test_an_acceptance_that_came_before_its_issue_is_taken_when_the_issue_comes(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    raised = _raise(job.units["IU-1"])
    accepted = _accept(raised["entity"])

    before = _outcomes(office, job, accepted)
    waiting = _waiting(office)
    after = _outcomes(phone, job, raised)

    assert (before, waiting, after) == (["refused"], ["issue.accept"], ["applied"])
    issue = phone.rows("issue")[raised["entity"]]
    assert (issue["state"], issue["accepted_by_name"]) == ("accepted", "Ana")
    told = office.get("/api/set-aside").get_json()
    assert (told["items"], told["settled"], told["taken"]) == ([], [accepted["id"]], [accepted["id"]])


def test_what_hangs_on_what_waited_comes_along_and_in_its_order(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    raised = _raise(job.units["IU-1"])
    photo = _photo(raised["entity"])
    mark = {"tool": "arrow", "points": [[0.1, 0.1], [0.5, 0.5]]}
    marked = a_mutation("photo.mark", photo["entity"], marks=[mark])

    before = _outcomes(office, job, photo, marked)
    _outcomes(phone, job, raised)

    assert before == ["refused", "set_aside"]
    assert [row["marks"] for row in phone.rows("photo").values()] == [[mark]]
    assert _waiting(office) == []


def test_what_was_done_on_a_job_that_was_lost_is_taken_once_the_job_and_the_visit_are_back(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    sheet, job_id = a_sheet(), new_id()
    unit_id = next(unit["id"] for unit in sheet["units"] if unit["tag"] == "IU-1")
    raised = _raise(unit_id)
    assert push(phone, job_id, [raised])["error"]["code"] == "no_access"

    push(office, job_id, [a_mutation("job.create", job_id, **sheet)])
    without_a_visit = office.rows("issue")
    fields = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28800}
    push(office, job_id, [a_mutation("visit.plan", **fields, person_id=str(ben.id), note="")])

    assert without_a_visit == {}
    assert [*office.rows("issue")] == [raised["entity"]]
    assert _waiting(phone) == []


def _answer(issue_id: str) -> dict[str, Any]:
    return a_mutation("issue.answer", issue_id, words="Brazed anew.", fixed=True, promised_on=None)


def _plan(person: CastMember) -> dict[str, Any]:
    fields = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28800}
    return a_mutation("visit.plan", **fields, person_id=str(person.id), note="")


def _lost_job() -> tuple[str, dict[str, Any], str]:
    """Its id, what makes it again, and a unit of it."""
    sheet, job_id = a_sheet(), new_id()
    unit_id = next(unit["id"] for unit in sheet["units"] if unit["tag"] == "IU-1")
    return job_id, a_mutation("job.create", job_id, **sheet), unit_id


@pytest.mark.parametrize("order", ["the issue first", "the answer first"])
def test_what_two_people_did_to_one_issue_of_a_lost_job_is_taken_in_whatever_order_they_came(
    order: str, ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    other = a_technician(company=ana.company_name)
    second = client_as(other)
    job_id, created, unit_id = _lost_job()
    raised = _raise(unit_id, who_must_act="technician")
    offered = [(phone, raised), (second, _answer(raised["entity"]))]
    for author, mutation in offered if order == "the issue first" else reversed(offered):
        assert push(author, job_id, [mutation])["error"]["code"] == "no_access"

    push(office, job_id, [created, _plan(ben), _plan(other)])

    assert office.rows("issue")[raised["entity"]]["state"] == "answered"
    assert (_waiting(phone), _waiting(second)) == ([], [])


def test_what_lacked_the_job_and_then_its_issue_is_taken_when_the_issue_comes(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job_id, created, unit_id = _lost_job()
    raised = _raise(unit_id, who_must_act="technician")
    push(phone, job_id, [_answer(raised["entity"])])
    push(office, job_id, [created, _plan(ben)])
    before = _waiting(phone)

    push(office, job_id, [raised])

    assert before == ["issue.answer"]
    assert office.rows("issue")[raised["entity"]]["state"] == "answered"
    assert _waiting(phone) == []


def test_what_its_author_sends_again_with_the_issue_they_raised_is_not_taken_twice(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job_id, created, unit_id = _lost_job()
    unfit = _raise(unit_id, category="no such category", who_must_act="technician")
    push(phone, job_id, [unfit, _answer(unfit["entity"])])
    push(office, job_id, [created, _plan(ben)])

    mended = {**_raise(unit_id, who_must_act="technician"), "entity": unfit["entity"]}
    push(phone, job_id, [mended])

    assert office.rows("issue")[unfit["entity"]]["state"] == "open"
    assert sorted(_waiting(phone)) == ["issue.answer", "issue.raise"]


def test_what_a_phone_did_after_its_clock_was_set_back_is_taken_after_what_it_did_before(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job_id, created, unit_id = _lost_job()
    first, second = (a_mutation("unit.set", unit_id, room=room) for room in ("1.01", "1.02"))
    # The later change has the id of an earlier time.
    second["id"], first["id"] = sorted((first["id"], second["id"]))
    push(phone, job_id, [first, second])

    push(office, job_id, [created, _plan(ben)])

    assert first["id"] > second["id"]
    assert office.rows("unit")[unit_id]["room"] == "1.02"


def test_what_several_phones_did_is_taken_as_it_came(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    office, phone, tablet = client_as(ana), client_as(ben), client_as(ben)
    job_id, created, unit_id = _lost_job()
    for author, room in ((phone, "1.01"), (tablet, "1.02"), (phone, "1.03"), (tablet, "1.04")):
        push(author, job_id, [a_mutation("unit.set", unit_id, room=room, base_rev=10_000)])

    push(office, job_id, [created, _plan(ben)])

    assert office.rows("unit")[unit_id]["room"] == "1.04"


def test_an_item_says_which_phone_did_it_and_in_which_place(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    sent = [a_mutation("issue.dance"), a_mutation("issue.dance")]
    push(phone, job.id, sent)

    items = phone.get("/api/set-aside").get_json()["items"]

    said = {item["id"]: (item["device_id"], item["seq"]) for item in items}
    assert said == {mutation["id"]: (phone.device_id, mutation["seq"]) for mutation in sent}


def test_what_waits_in_vain_holds_up_nothing_behind_it(
    ana: CastMember, ben: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two of somebody who may not see the job, two that lack something else, and only then what can be taken."""
    monkeypatch.setattr(waiting, "MOST_AT_ONCE", 2)
    office, phone = client_as(ana), client_as(ben)
    stranger = client_as(a_technician(company=ana.company_name))
    job_id, created, unit_id = _lost_job()
    push(stranger, job_id, [_raise(unit_id), _raise(unit_id)])
    raised = [_raise(unit_id) for _ in range(3)]
    push(phone, job_id, [_raise(new_id()), _raise(new_id()), *raised])

    push(office, job_id, [created, _plan(ben)])

    assert set(office.rows("issue")) == {mutation["entity"] for mutation in raised}
    assert (len(_waiting(stranger)), len(_waiting(phone))) == (2, 2)


def test_what_goes_with_a_creation_that_its_author_must_mend_waits_for_them(ana: CastMember, client_as: Enter) -> None:
    """They send it again themselves, and then it must not be there already."""
    office = client_as(ana)
    job = a_job(office)
    unfit = _raise(job.units["IU-1"], category="no such category")
    accepted = _accept(unfit["entity"])
    assert _outcomes(office, job, unfit, accepted) == ["set_aside", "set_aside"]

    mended = {**_raise(job.units["IU-1"]), "entity": unfit["entity"]}
    assert _outcomes(office, job, mended) == ["applied"]

    assert office.rows("issue")[unfit["entity"]]["state"] == "open"
    assert sorted(_waiting(office)) == ["issue.accept", "issue.raise"]


def test_what_its_author_has_given_up_is_not_taken_after_all(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    raised = _raise(job.units["IU-1"])
    accepted = _accept(raised["entity"])
    _outcomes(office, job, accepted)
    office.post("/api/set-aside/settled", json={"ids": [accepted["id"]]})

    _outcomes(phone, job, raised)

    assert phone.rows("issue")[raised["entity"]]["state"] == "open"


def test_what_its_author_may_not_do_is_not_done_for_them_later(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    site = client_as(a_link(ana, job_id=job.id))
    raised = _raise(job.units["IU-1"], who_must_act="technician")
    answered = a_mutation("issue.answer", raised["entity"], words="Done.", fixed=True, promised_on=None)
    assert _outcomes(site, job, answered) == ["refused"]

    _outcomes(phone, job, raised)

    assert phone.rows("issue")[raised["entity"]]["state"] == "open"
    assert _waiting(site) == ["issue.answer"]
