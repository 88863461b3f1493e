"""What a pull brings, page by page, and what it brings to whom."""

import base64
import json
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import Engine, text

from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, a_visit, an_issue, new_id, push
from tests.builders.questions import questions_asked
from tests.builders.world import World

Enter = Callable[..., Phone]


def _rows(parts: list[dict[str, Any]]) -> list[tuple[str, str]]:
    return [(row["table"], row["id"]) for part in parts for row in part["rows"]]


def test_page_by_page_every_row_comes_once(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    jobs = [a_job(phone), a_job(phone), a_job(phone)]
    whole = _rows(phone.pull())

    for limit in (1, 3, 7, 1000):
        phone.cursors = {}
        paged = _rows(phone.pull(limit=limit))
        assert sorted(paged) == sorted(whole)
        assert len(set(paged)) == len(paged)
        assert len(phone.cursors) == len(jobs)
        assert phone.pull() == []


def test_a_first_page_says_reset_and_the_next_ones_do_not(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    a_job(phone)

    states = [part["state"] for part in phone.pull(limit=5)]

    assert states[0] == "reset"
    assert set(states[1:]) == {"patch"}


def test_only_what_changed_comes(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    a_job(phone)
    phone.pull()

    issue_id = an_issue(phone, job=job)

    parts = phone.pull()
    assert [part["job_id"] for part in parts] == [job.id]
    assert {table for table, _ in _rows(parts)} == {"job", "issue", "issue_event"}
    assert ("issue", issue_id) in _rows(parts)
    assert parts[0]["last_seq"] == 2


def test_a_row_that_changes_between_two_pages_comes_again(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    body = {"device_id": phone.device_id, "cursors": [], "limit": 12}
    first = phone.post("/api/sync/pull", json=body).get_json()["jobs"][0]
    unit_id = next(row["id"] for row in first["rows"] if row["table"] == "unit")

    push(phone, job.id, [a_mutation("unit.set", unit_id, room="new")])
    phone.cursors = {job.id: first["cursor"]}

    rest = phone.pull(limit=12)
    assert [row["fields"]["room"] for part in rest for row in part["rows"] if row["id"] == unit_id] == ["new"]


def test_a_restored_database_starts_every_phone_over(ana: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ana)
    a_job(phone)
    phone.pull()

    with owner.begin() as connection:
        connection.execute(text("UPDATE company SET epoch = gen_random_uuid()"))

    assert [part["state"] for part in phone.pull()] == ["reset"]


def test_a_phone_that_is_ahead_of_the_server_starts_over(ana: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    an_issue(phone, job=job)
    phone.pull()

    with owner.begin() as connection:
        connection.execute(text("UPDATE job SET rev = 1"))

    assert [part["state"] for part in phone.pull()] == ["reset"]


def test_a_technician_gets_the_jobs_they_visit_and_no_other(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    office, phone = client_as(ana), client_as(ben)
    mine, other = a_job(office, visited_by=ben), a_job(office)

    assert {part["job_id"] for part in phone.pull()} == {mine.id}
    a_visit(office, job=other, person=ben)
    assert {part["job_id"] for part in phone.pull()} == {other.id}


def test_a_job_that_is_theirs_no_longer_is_gone(
    ana: CastMember, ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    phone.pull()

    with owner.begin() as connection:
        connection.execute(text("UPDATE visit SET person_id = :ana"), {"ana": ana.id})

    assert [(part["job_id"], part["state"]) for part in phone.pull()] == [(job.id, "gone")]


def test_another_companys_job_is_as_unknown_as_none(ana: CastMember, cleo: CastMember, client_as: Enter) -> None:
    office, stranger = client_as(ana), client_as(cleo)
    job = a_job(office)
    an_issue(office, job=job)
    cursor = office.pull()[0]["cursor"]

    stranger.cursors = {job.id: cursor}

    assert [(part["state"], part["rows"]) for part in stranger.pull()] == [("gone", [])]
    assert stranger.pull() == []


def test_a_push_to_another_companys_job_tells_nothing_and_loses_nothing(
    ana: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    office, stranger = client_as(ana), client_as(cleo)
    job = a_job(office)
    raised = a_mutation("issue.raise", unit_id=job.units["IU-1"], category="wiring", who_must_act="technician")

    known = push(stranger, job.id, [raised])
    unknown = push(stranger, new_id(), [{**raised, "id": new_id(), "seq": 1}])

    assert known["error"] == unknown["error"]
    assert known["error"]["code"] == "no_access"
    assert known["receipts"][0]["detail"] == unknown["receipts"][0]["detail"]
    assert office.rows("issue") == {}
    assert len(stranger.get("/api/set-aside").get_json()["items"]) == 2


def test_a_cursor_of_someone_elses_making_is_refused_by_name(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    for made_up in ("x", "bm9uZQ==", "W10=", "WzEsMiwzLDQsNV0="):
        answer = phone.post("/api/sync/pull", json={"device_id": phone.device_id, "cursors": [made_up]})
        assert answer.status_code == 422
        assert "cursors" in answer.get_json()["error"]["fields"]


def test_a_server_with_a_new_secret_has_phones_read_again_and_still_says_what_is_gone(
    ana: CastMember, ben: CastMember, client_as: Enter, owner: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    office, phone = client_as(ana), client_as(ben)
    kept, lost = a_job(office, visited_by=ben), a_job(office, visited_by=ben)
    phone.pull()
    with owner.begin() as connection:
        taken = "UPDATE visit SET person_id = :ana WHERE job_id = :job"
        connection.execute(text(taken), {"ana": ana.id, "job": lost.id})
    monkeypatch.setitem(World.app.config, "SECRET_KEY", "another")

    told = {part["job_id"]: part["state"] for part in phone.pull()}

    assert told == {kept.id: "reset", lost.id: "gone"}
    assert phone.pull() == []


def test_a_cursor_with_an_endless_number_is_refused_by_name(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    parts = [new_id(), new_id(), float("inf"), 1, 1, None]
    cursor = base64.urlsafe_b64encode(json.dumps(parts).encode()).decode()

    answer = phone.post("/api/sync/pull", json={"device_id": phone.device_id, "cursors": [cursor]})

    assert answer.status_code == 422
    assert list(answer.get_json()["error"]["fields"]) == ["cursors"]


def test_the_number_of_questions_does_not_grow_with_rows_or_jobs(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    an_issue(phone, job=job)  # each table that has something to send is asked once
    few = questions_asked(lambda: phone.rows("issue"))
    for _ in range(3):
        an_issue(phone, job=job)
        a_job(phone)

    many = questions_asked(lambda: phone.rows("issue"))

    assert many == few
    assert few < 20


def test_an_idle_pull_is_small(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    a_job(phone)
    phone.pull()

    body = {"device_id": phone.device_id, "cursors": list(phone.cursors.values())}
    answer = phone.post("/api/sync/pull", json=body)

    assert answer.get_json()["jobs"] == []
    assert len(answer.data) < 120


def test_a_pull_says_how_far_this_phones_lane_was_taken(ana: CastMember, client_as: Enter) -> None:
    phone, tablet = client_as(ana), client_as(ana)
    a_job(phone)

    assert [part["last_seq"] for part in phone.pull()] == [1]
    assert [part["last_seq"] for part in tablet.pull()] == [0]


def test_a_link_opens_one_job(ana: CastMember, client_as: Enter) -> None:
    office = client_as(ana)
    job, other = a_job(office), a_job(office)

    contractor = client_as(a_link(ana, job_id=job.id))

    assert {part["job_id"] for part in contractor.pull()} == {job.id}
    assert uuid.UUID(other.id)


def test_nothing_of_one_person_comes_into_the_store_of_another_who_shares_the_phone(
    ana: CastMember, ben: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    phone = client_as(ana)
    a_job(phone)
    a_job(client_as(cleo))

    for other in (ben, cleo):
        theirs = client_as(other)
        refused = phone.post("/api/sync/pull", json={"device_id": theirs.device_id, "cursors": []})
        turned_round = theirs.post("/api/sync/pull", json={"device_id": phone.device_id, "cursors": []})

        assert (refused.status_code, turned_round.status_code) == (401, 401)
        assert refused.get_json()["error"]["code"] == "not_signed_in"
    own = phone.post("/api/sync/pull", json={"device_id": phone.device_id, "cursors": []})
    assert own.status_code == 200


def test_a_store_that_the_server_does_not_know_reads_and_is_theirs_from_then_on(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    phone, other, unknown = client_as(ana), client_as(ben), new_id()
    job = a_job(phone)

    read = phone.post("/api/sync/pull", json={"device_id": unknown, "cursors": []})
    refused = other.post("/api/sync/pull", json={"device_id": unknown, "cursors": []})

    assert [part["job_id"] for part in read.get_json()["jobs"]] == [job.id]
    assert refused.status_code == 401
