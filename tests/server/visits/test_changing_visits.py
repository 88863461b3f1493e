"""A planned visit is moved, given to another technician, or called off; who sees the job follows."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import CastMember, Phone, a_link, a_mutation, a_sheet, a_technician, a_visit, new_id, push
from tests.server.site import Site
from tests.server.telling import code_of, tell

EVERYTHING = {
    "purpose": "follow_up",
    "starts_at": "2026-12-03T09:00:00.000Z",
    "planned_s": 7_200,
    "note": "Ring first.",
}


@pytest.fixture
def bea(ana: CastMember) -> CastMember:
    return a_technician("Bea", company=ana.company_name)


@pytest.fixture
def visit(site: Site) -> str:
    """The only one of the job, Ben's."""
    return next(iter(site.office.rows("visit")))


def _set(site: Site, visit: str, *, by: Phone | None = None, base_rev: int = 10_000, **fields: Any) -> dict[str, Any]:
    return tell(by or site.office, site.job.id, "visit.set", visit, base_rev=base_rev, **fields)


def _cancel(site: Site, visit: str, *, base_rev: int = 10_000, **fields: Any) -> dict[str, Any]:
    return tell(site.office, site.job.id, "visit.cancel", visit, base_rev=base_rev, **fields)


def _row(site: Site, visit: str) -> dict[str, Any]:
    row: dict[str, Any] = site.office.rows("visit")[visit]
    return row


def _issue(site: Site) -> dict[str, Any]:
    says = {"category": "wiring", "words": "Swapped.", "who_must_act": "technician"}
    return a_mutation("issue.raise", unit_id=site.job.units["IU-1"], **says)


def test_a_visit_is_moved_and_everything_else_of_it_stays(site: Site, visit: str) -> None:
    before = _row(site, visit)

    receipt = _set(site, visit, starts_at=EVERYTHING["starts_at"])

    assert receipt["outcome"] == "applied"
    assert _row(site, visit) == {**before, "starts_at": EVERYTHING["starts_at"]}


def test_whatever_was_planned_of_a_visit_can_be_changed(site: Site, visit: str, bea: CastMember) -> None:
    receipt = _set(site, visit, **EVERYTHING, person_id=str(bea.id))

    row = _row(site, visit)
    assert receipt["outcome"] == "applied"
    assert {name: row[name] for name in EVERYTHING} == EVERYTHING
    assert (row["person_id"], row["person_name"], row["state"]) == (str(bea.id), "Bea", "planned")


def test_whoever_gets_the_visit_sees_the_job_and_whoever_had_it_does_not(
    site: Site, visit: str, bea: CastMember, client_as: Callable[..., Phone]
) -> None:
    phone = client_as(bea)
    site.phone.pull()
    assert phone.rows("job") == {}

    _set(site, visit, person_id=str(bea.id))

    assert [*phone.rows("job")] == [site.job.id]
    assert [part["state"] for part in site.phone.pull()] == ["gone"]
    assert site.phone.rows("job") == {}


def test_whoever_has_another_visit_on_the_job_keeps_it(site: Site, visit: str, bea: CastMember) -> None:
    a_visit(site.office, job=site.job, person=site.ben)

    _set(site, visit, person_id=str(bea.id))

    assert [*site.phone.rows("job")] == [site.job.id]


def test_a_visit_that_was_called_off_stays_and_opens_the_job_to_nobody(site: Site, visit: str) -> None:
    receipt = _cancel(site, visit, note="The owner put it off.")

    row = _row(site, visit)
    assert receipt["outcome"] == "applied"
    assert (row["state"], row["note"], row["person_name"]) == ("cancelled", "The owner put it off.", "Ben")
    assert site.phone.rows("job") == {}


def test_a_visit_that_was_closed_keeps_the_job_with_its_technician_when_the_next_is_called_off(
    site: Site, visit: str
) -> None:
    tell(site.phone, site.job.id, "visit.close", visit)
    following = a_visit(site.office, job=site.job, person=site.ben)

    _cancel(site, following)

    assert [*site.phone.rows("job")] == [site.job.id]


@pytest.mark.parametrize("way", ["given to another", "called off"])
def test_what_was_done_before_they_knew_is_kept_for_its_author_and_taken_once_the_job_is_theirs_again(
    way: str, site: Site, visit: str, bea: CastMember
) -> None:
    raised, closed = _issue(site), a_mutation("visit.close", visit, summary={"done": []}, note="Key is in the box.")
    _set(site, visit, person_id=str(bea.id)) if way == "given to another" else _cancel(site, visit)

    lane = push(site.phone, site.job.id, [raised, closed])

    assert lane["error"]["code"] == "no_access"
    assert [code_of(receipt) for receipt in lane["receipts"]] == ["no_access", "no_access"]
    kept = {item["id"]: item for item in site.phone.get("/api/set-aside").get_json()["items"]}
    assert kept[closed["id"]]["mutation"]["fields"]["note"] == "Key is in the box."
    assert site.office.rows("issue") == {}

    a_visit(site.office, job=site.job, person=site.ben)
    again = tell(site.phone, site.job.id, "issue.raise", raised["entity"], **raised["fields"])

    assert again["outcome"] == "applied"
    assert [*site.office.rows("issue")] == [raised["entity"]]


@pytest.mark.parametrize(("ended", "code"), [("visit.close", "visit_closed"), ("visit.cancel", "visit_cancelled")])
def test_a_visit_that_is_over_is_not_moved(ended: str, code: str, site: Site, visit: str) -> None:
    tell(site.office, site.job.id, ended, visit)
    before = _row(site, visit)

    moved = _set(site, visit, **EVERYTHING)

    assert code_of(moved) == code
    assert _row(site, visit) == before


def test_a_visit_that_took_place_is_not_called_off(site: Site, visit: str) -> None:
    tell(site.office, site.job.id, "visit.close", visit)

    assert code_of(_cancel(site, visit)) == "visit_closed"
    assert _row(site, visit)["state"] == "closed"


def test_a_visit_that_is_called_off_twice_is_off_and_needs_nobody(site: Site, visit: str) -> None:
    _cancel(site, visit)

    again = tell(site.office, site.job.id, "visit.cancel", visit, note="The client rang.")

    assert again["outcome"] == "applied"
    assert (_row(site, visit)["state"], _row(site, visit)["note"]) == ("cancelled", "The client rang.")
    assert _row(site, visit)["two_values"] == {}


@pytest.mark.parametrize("kind", ["visit.set", "visit.cancel"])
def test_only_the_office_changes_a_visit(kind: str, site: Site, visit: str) -> None:
    before = _row(site, visit)

    told = [code_of(tell(phone, site.job.id, kind, visit)) for phone in (site.phone, site.link)]

    assert told == ["not_allowed", "not_allowed"]
    assert _row(site, visit) == before


def test_a_visit_is_given_to_a_technician_of_this_company(site: Site, visit: str) -> None:
    people = (a_technician("Cleo's man").id, site.ana.id, new_id())

    told = [code_of(_set(site, visit, person_id=str(person_id))) for person_id in people]

    assert told == ["unknown_person", "not_a_technician", "unknown_person"]
    assert _row(site, visit)["person_name"] == "Ben"


def test_two_dispatchers_who_move_a_visit_unseen_leave_both_days_until_one_is_picked(
    site: Site, visit: str, client_as: Callable[..., Phone]
) -> None:
    other = client_as(site.ana)
    first = _set(site, visit, starts_at="2026-12-03T09:00:00.000Z")

    second = _set(site, visit, by=other, base_rev=first["rev"] - 1, starts_at="2026-12-04T09:00:00.000Z", note="Roof")

    row = _row(site, visit)
    assert (second["outcome"], second["detail"]) == ("two_values", {"fields": ["starts_at"]})
    assert (row["starts_at"], row["note"]) == ("2026-12-04T09:00:00.000Z", "Roof")
    assert row["two_values"]["starts_at"]["value"] == "2026-12-03T09:00:00.000Z"

    _set(site, visit, base_rev=second["rev"], starts_at="2026-12-03T09:00:00.000Z")

    assert (_row(site, visit)["starts_at"], _row(site, visit)["two_values"]) == ("2026-12-03T09:00:00.000Z", {})


def test_of_two_technicians_who_were_each_given_a_visit_the_one_that_counts_sees_the_job(
    site: Site, visit: str, bea: CastMember, client_as: Callable[..., Phone]
) -> None:
    dan = a_technician("Dan", company=bea.company_name)
    first = _set(site, visit, person_id=str(bea.id))
    _set(site, visit, by=client_as(site.ana), base_rev=first["rev"] - 1, person_id=str(dan.id))

    assert client_as(bea).rows("job") == {}
    assert [*client_as(dan).rows("job")] == [site.job.id]
    assert _row(site, visit)["two_values"]["person_id"]["value"] == str(bea.id)

    _set(site, visit, person_id=str(bea.id))

    assert [*client_as(bea).rows("job")] == [site.job.id]
    assert (_row(site, visit)["person_name"], _row(site, visit)["two_values"]) == ("Bea", {})


def test_two_values_are_still_picked_once_the_visit_is_over_and_nothing_else_of_it_is_changed(
    site: Site, visit: str
) -> None:
    first = _set(site, visit, note="Ring first.")
    a_visit(site.office, job=site.job, person=site.ben)
    close = {"base_rev": first["rev"] - 1, "note": "Key is in the box."}
    assert tell(site.phone, site.job.id, "visit.close", visit, **close)["outcome"] == "two_values"

    with_more = _set(site, visit, note="Ring first.", planned_s=7_200)
    picked = _set(site, visit, note="Ring first.")

    assert code_of(with_more) == "visit_closed"
    assert picked["outcome"] == "applied"
    assert (_row(site, visit)["note"], _row(site, visit)["two_values"]) == ("Ring first.", {})


def test_a_visit_that_took_place_counts_although_it_had_been_called_off_unseen(site: Site, visit: str) -> None:
    a_visit(site.office, job=site.job, person=site.ben)
    cancel = _cancel(site, visit)

    close = tell(site.phone, site.job.id, "visit.close", visit, base_rev=cancel["rev"] - 1, summary={"done": []})

    row = _row(site, visit)
    assert close["outcome"] == "applied"
    assert (row["state"], row["summary"], row["two_values"]) == ("closed", {"done": []}, {})


def test_whoever_knew_that_a_visit_was_called_off_does_not_close_it(site: Site, visit: str) -> None:
    a_visit(site.office, job=site.job, person=site.ben)
    cancel = _cancel(site, visit)

    close = tell(site.phone, site.job.id, "visit.close", visit, base_rev=cancel["rev"])

    assert code_of(close) == "visit_cancelled"


def test_a_visit_that_is_another_persons_by_now_is_not_closed_by_the_one_who_had_it(
    site: Site, visit: str, bea: CastMember
) -> None:
    a_visit(site.office, job=site.job, person=site.ben)
    given = _set(site, visit, person_id=str(bea.id))

    close = tell(site.phone, site.job.id, "visit.close", visit, base_rev=given["rev"] - 1, note="Key is in the box.")

    assert code_of(close) == "not_your_visit"
    kept = site.phone.get("/api/set-aside").get_json()["items"]
    assert [item["mutation"]["fields"]["note"] for item in kept] == ["Key is in the box."]


def test_a_contractor_is_told_the_new_day_and_not_who_comes_or_why(
    site: Site, visit: str, ana: CastMember, client_as: Callable[..., Phone]
) -> None:
    link = client_as(a_link(ana, job_id=site.job.id))

    _set(site, visit, starts_at="2026-12-03T09:00:00.000Z")
    moved = link.rows("visit")[visit]
    _cancel(site, visit, note="Ben is ill.")
    called_off = link.rows("visit")[visit]

    assert (moved["starts_at"], moved["state"]) == ("2026-12-03T09:00:00.000Z", "planned")
    assert (called_off["state"], called_off["note"], called_off["person_name"]) == ("cancelled", None, None)


@pytest.mark.parametrize(
    ("field", "said"),
    [("planned_s", 5), ("purpose", "holiday"), ("starts_at", "tomorrow"), ("starts_at", None), ("person_id", "Ben")],
)
def test_a_change_that_cannot_be_understood_names_the_field(field: str, said: Any, site: Site, visit: str) -> None:
    receipt = _set(site, visit, **{field: said})

    assert receipt["outcome"] == "set_aside"
    assert [*receipt["detail"]["fields"]] == [field]


def test_what_was_done_on_a_job_that_was_lost_is_taken_once_its_visit_is_given_to_its_author_again(
    site: Site, bea: CastMember, client_as: Callable[..., Phone]
) -> None:
    sheet, job_id, visit_id, phone = a_sheet(), new_id(), new_id(), client_as(bea)
    unit_id = next(unit["id"] for unit in sheet["units"] if unit["tag"] == "IU-1")
    raised = a_mutation("issue.raise", unit_id=unit_id, category="wiring", words="x", who_must_act="technician")
    assert push(phone, job_id, [raised])["error"]["code"] == "no_access"
    plan = {**EVERYTHING, "person_id": str(site.ben.id)}

    push(site.office, job_id, [a_mutation("job.create", job_id, **sheet), a_mutation("visit.plan", visit_id, **plan)])
    before = site.office.rows("issue")
    push(site.office, job_id, [a_mutation("visit.set", visit_id, person_id=str(bea.id))])

    assert before == {}
    assert raised["entity"] in site.office.rows("issue")
