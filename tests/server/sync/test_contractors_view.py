"""What a contractor sees changes row by row: what is theirs comes, what is theirs no longer is taken back."""

import base64
import json
import uuid
from collections.abc import Callable
from typing import Any

import pytest

from flarenut.people.actor import Actor, Role
from flarenut.sync.wire import tables_for
from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, a_visit, an_issue, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]


class Site:
    """A job with Ana in the office and a contractor holding a link."""

    def __init__(self, *, office: Phone, contractor: Phone, job: Job) -> None:
        self.office, self.contractor, self.job = office, contractor, job

    def hand_to(self, who: str, *, issue_id: str) -> None:
        """Change who must act."""
        base_rev = max(row["rev"] for part in _from_the_start(self.office) for row in part["rows"])
        push(self.office, self.job.id, [a_mutation("issue.set", issue_id, base_rev=base_rev, who_must_act=who)])

    def photo_on(self, issue_id: str) -> str:
        """Announce a photo of the issue."""
        added = a_mutation(
            "photo.add", issue_id=issue_id, sha256="a" * 64, size_bytes=9, width_px=3, height_px=3,
            taken_at="2026-11-25T09:00:00.000Z",
        )  # fmt: skip
        assert push(self.office, self.job.id, [added])["receipts"][0]["outcome"] == "applied"
        photo_id: str = added["entity"]
        return photo_id


@pytest.fixture
def site(ana: CastMember, client_as: Enter) -> Site:
    """Everything is pulled up to the job itself."""
    office = client_as(ana)
    job = a_job(office)
    return Site(office=office, contractor=client_as(a_link(ana, job_id=job.id)), job=job)


def _from_the_start(phone: Phone) -> list[dict[str, Any]]:
    phone.cursors = {}
    return phone.pull()


def _tables(parts: list[dict[str, Any]]) -> set[str]:
    return {row["table"] for part in parts for row in part["rows"]}


def _removed(parts: list[dict[str, Any]]) -> set[tuple[str, str]]:
    return {(removal["table"], removal["id"]) for part in parts for removal in part["removals"]}


def test_they_get_the_plant_and_only_their_issues(site: Site, ben: CastMember) -> None:
    theirs = an_issue(site.office, job=site.job)
    ours = an_issue(site.office, job=site.job, who_must_act="technician")
    site.photo_on(ours)
    a_visit(site.office, job=site.job, person=ben)

    parts = site.contractor.pull()

    assert _tables(parts) == {"job", "system", "unit", "step", "limit", "visit", "issue", "issue_event"}
    assert set(site.contractor.rows("issue")) == {theirs}
    assert [event["issue_id"] for event in site.contractor.rows("issue_event").values()] == [theirs]
    assert _removed(parts) == set()


def test_a_visit_comes_without_the_companys_note(site: Site, ben: CastMember) -> None:
    a_visit(site.office, job=site.job, person=ben, note="Bring the long ladder.")

    visit = next(iter(site.contractor.rows("visit").values()))

    assert visit["note"] is None
    assert visit["purpose"] == "part_one"
    assert "Bring the long ladder." in str(site.office.rows("visit"))


def test_what_was_written_for_the_office_stays_there(site: Site, client_as: Enter, ben: CastMember) -> None:
    visit_id = a_visit(site.office, job=site.job, person=ben)
    step_id = next(iter(site.office.rows("step")))
    marked = a_mutation("step.mark", step_id, state="failed", note="Sloppy work by the firm.")
    summary = {"done": [], "not_done": [], "issues_open": 3}
    closed = a_mutation("visit.close", visit_id, summary=summary, note="They will dispute this.")
    push(client_as(ben), site.job.id, [marked, closed])

    seen = str([site.contractor.rows(table) for table in ("visit", "step", "issue", "issue_event")])

    assert site.contractor.rows("step")[step_id]["state"] == "failed"
    assert "Sloppy" not in seen
    assert "dispute" not in seen
    assert "issues_open" not in seen
    assert "Sloppy" in str(site.office.rows("step"))


def test_an_issue_that_becomes_theirs_comes_with_its_photos_and_not_with_what_was_said_before(site: Site) -> None:
    issue_id = an_issue(site.office, job=site.job, who_must_act="technician")
    photo_id = site.photo_on(issue_id)
    site.contractor.pull()

    site.hand_to("contractor", issue_id=issue_id)

    parts = site.contractor.pull()
    rows = {(row["table"], row["id"]) for part in parts for row in part["rows"]}
    assert {("issue", issue_id), ("photo", photo_id)} <= rows
    assert [event["kind"] for event in site.contractor.rows("issue_event").values()] == ["changed"]
    assert site.contractor.rows("issue")[issue_id]["words"] == "Terminals 1 and 2 are swapped."


def test_an_issue_that_is_theirs_no_longer_is_taken_back_with_all_that_hangs_on_it(site: Site) -> None:
    issue_id = an_issue(site.office, job=site.job)
    photo_id = site.photo_on(issue_id)
    seen = {("issue_event", event_id) for event_id in site.contractor.rows("issue_event")}
    site.contractor.pull()

    site.hand_to("technician", issue_id=issue_id)

    parts = site.contractor.pull()
    assert {("issue", issue_id), ("photo", photo_id)} | seen <= _removed(parts)
    assert not _tables(parts) & {"issue", "issue_event", "photo"}
    assert site.contractor.rows("issue") == {}


def test_what_was_said_while_it_was_ours_stays_ours_when_it_comes_back_to_them(site: Site) -> None:
    issue_id = an_issue(site.office, job=site.job)
    site.hand_to("technician", issue_id=issue_id)
    push(site.office, site.job.id, [a_mutation("issue.set", issue_id, base_rev=99, due_on="2026-12-24")])
    site.hand_to("contractor", issue_id=issue_id)

    kinds = [event["kind"] for event in site.contractor.rows("issue_event").values()]

    assert sorted(kinds) == ["changed", "raised"]  # raised to them, and handed back to them
    assert len(site.office.rows("issue_event")) == 4


def test_a_new_link_is_told_nothing_of_what_others_saw_before(site: Site, ana: CastMember, client_as: Enter) -> None:
    issue_id = an_issue(site.office, job=site.job)
    site.photo_on(issue_id)
    site.contractor.pull()
    site.hand_to("technician", issue_id=issue_id)

    fresh = client_as(a_link(ana, job_id=site.job.id))
    first = fresh.pull(limit=3)
    push(site.office, site.job.id, [a_mutation("issue.set", issue_id, base_rev=99, words="Ours now.")])
    later = fresh.pull()

    assert len(first) > 1  # page by page
    assert _removed(first) == _removed(later) == set()
    assert ("issue", issue_id) in _removed(site.contractor.pull())


@pytest.mark.parametrize("sign", [list, lambda _kept: [], lambda _kept: ["\ud800"]], ids=["kept", "none", "junk"])
def test_a_new_link_that_says_it_began_earlier_is_told_no_more(
    site: Site, ana: CastMember, client_as: Enter, sign: Callable[[list[str]], list[str]]
) -> None:
    left = an_issue(site.office, job=site.job)
    site.hand_to("technician", issue_id=left)
    newcomer = client_as(a_link(ana, job_id=site.job.id))
    newcomer.pull()
    job, epoch, _rev, until, _since, page, *signed = json.loads(base64.urlsafe_b64decode(newcomer.cursors[site.job.id]))
    forged = [job, epoch, 0, until, 0, page, *sign(signed)]
    newcomer.cursors[site.job.id] = base64.urlsafe_b64encode(json.dumps(forged).encode()).decode()

    told = newcomer.pull()

    assert _removed(told) == set()
    assert [part["state"] for part in told] == ["reset"]
    assert newcomer.pull() == []


def test_what_is_handed_away_between_two_pages_of_a_first_pull_is_taken_back(site: Site) -> None:
    issue_id = an_issue(site.office, job=site.job)
    body = {"device_id": site.contractor.device_id, "cursors": [], "limit": 3}
    first = site.contractor.post("/api/sync/pull", json=body).get_json()["jobs"][0]

    site.hand_to("technician", issue_id=issue_id)
    site.contractor.cursors = {site.job.id: first["cursor"]}

    assert ("issue", issue_id) in _removed(site.contractor.pull(limit=3))


def test_a_photo_and_a_line_that_came_after_they_lost_sight_are_not_even_named(site: Site) -> None:
    issue_id = an_issue(site.office, job=site.job)
    site.contractor.pull()
    site.hand_to("technician", issue_id=issue_id)
    photo_id = site.photo_on(issue_id)
    push(site.office, site.job.id, [a_mutation("issue.set", issue_id, base_rev=99, words="Ours now.")])

    removed = _removed(site.contractor.pull())

    assert ("issue", issue_id) in removed
    assert ("photo", photo_id) not in removed
    assert [table for table, _ in sorted(removed)] == ["issue", "issue_event"]


def test_the_company_speaks_with_one_name_and_nobody_of_it_is_named(
    site: Site, ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    a_visit(site.office, job=site.job, person=ben)
    phone = client_as(ben)
    proved, fixed_by_ben = an_issue(phone, job=site.job), an_issue(phone, job=site.job)
    words = {"words": "Done.", "fixed": True, "promised_on": None}
    push(site.contractor, site.job.id, [a_mutation("issue.answer", proved, **words)])
    push(phone, site.job.id, [
        a_mutation("issue.prove", proved, words="Seen."),
        a_mutation("issue.answer", fixed_by_ben, **words),
        a_mutation("step.mark", next(iter(site.office.rows("step"))), state="done"),
    ])  # fmt: skip
    site.photo_on(proved)

    issues = site.contractor.rows("issue")
    seen = str([site.contractor.rows(table) for table in ("visit", "step", "issue", "issue_event", "photo")])

    one = issues[proved]
    assert (one["raised_by_name"], one["answered_by_name"], one["proved_by_name"]) == (
        "Invented Climate", "Carl Copper", "Invented Climate",
    )  # fmt: skip
    assert issues[fixed_by_ben]["answered_by_name"] == "Invented Climate"
    assert issues[fixed_by_ben]["proved_by_name"] is None
    assert not any(secret in seen for secret in ("'Ben'", "'Ana'", str(ben.id), str(ana.id)))
    assert site.office.rows("issue")[proved]["proved_by_name"] == "Ben"


def test_two_values_are_between_the_companys_people(site: Site, ben: CastMember, client_as: Enter) -> None:
    a_visit(site.office, job=site.job, person=ben)
    unit_id, phone = site.job.units["IU-1"], client_as(ben)
    push(site.office, site.job.id, [a_mutation("unit.set", unit_id, room="Hall")])
    push(phone, site.job.id, [a_mutation("unit.set", unit_id, room="Foyer")])

    assert site.office.rows("unit")[unit_id]["two_values"]["room"]["by_name"] == "Ana"
    assert site.contractor.rows("unit")[unit_id]["two_values"] == {}


def test_a_step_says_what_reset_it_and_not_which_reading(site: Site, ben: CastMember, client_as: Enter) -> None:
    a_visit(site.office, job=site.job, person=ben)
    steps = site.office.rows("step")
    hold = next(step_id for step_id, step in steps.items() if step["code"] == "pressure_hold")
    push(client_as(ben), site.job.id, [a_mutation("step.mark", hold, state="done")])
    leak = an_issue(site.office, job=site.job, category="leak", stops=["refrigerant"], opens_circuit=True)

    step = site.contractor.rows("step")[hold]

    assert step["reset_by"] == leak
    assert (step["reading_id"], step["done_by_name"]) == (None, None)


def test_an_issue_that_never_was_theirs_leaves_no_trace(site: Site) -> None:
    an_issue(site.office, job=site.job, who_must_act="technician")

    parts = site.contractor.pull()

    assert _removed(parts) == set()
    assert not _tables(parts) & {"issue", "issue_event"}


def test_readings_stay_with_the_company() -> None:
    assert "reading" not in tables_for("contractor")
    assert "reading" in tables_for("technician")


def test_they_answer_their_issue_and_no_other(site: Site) -> None:
    theirs = an_issue(site.office, job=site.job)
    ours = an_issue(site.office, job=site.job, who_must_act="technician")
    words = {"words": "Swapped back.", "fixed": True, "promised_on": None}

    answered = push(site.contractor, site.job.id, [a_mutation("issue.answer", theirs, **words)])
    refused = push(site.contractor, site.job.id, [a_mutation("issue.answer", ours, **words)])

    assert answered["receipts"][0]["outcome"] == "applied"
    assert refused["receipts"][0]["outcome"] == "refused"
    assert refused["receipts"][0]["detail"]["code"] == "not_found"
    assert site.office.rows("issue")[theirs]["state"] == "answered"
    assert site.office.rows("issue")[ours]["state"] == "open"


def _actor(role: Role) -> Actor:
    return Actor(company_id=uuid.uuid4(), role=role, device_id=uuid.uuid4(), name="someone")
