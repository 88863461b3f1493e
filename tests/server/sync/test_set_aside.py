"""What cannot be applied is kept whole, acknowledged, and never stops the lane behind it."""

import json
from collections.abc import Callable
from typing import Any

import pytest

from flarenut.sync.catalogue import MUTATIONS, Kind
from tests.builders import CastMember, Phone, a_job, a_mutation, a_sheet, new_id, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]


def _raise(job: Job, **changed: Any) -> dict[str, Any]:
    fields = {"unit_id": job.units["IU-1"], "category": "wiring", "words": "x", "who_must_act": "technician"}
    return a_mutation("issue.raise", **{**fields, **changed})


POISON: dict[str, Callable[[Job], dict[str, Any]]] = {
    "invalid": lambda job: _raise(job, category="no such category"),
    "unknown_type": lambda _job: a_mutation("issue.dance"),
    "unknown_version": lambda job: {**_raise(job), "v": 99},
    "not_text": lambda job: _raise(job, words="a NUL \x00 inside"),
    "not_found": lambda job: _raise(job, unit_id=new_id()),
    "too_large": lambda job: _raise(job, words="x" * 10_000_000),
}


@pytest.mark.parametrize("code", POISON)
def test_poison_at_the_head_is_set_aside_and_the_lane_goes_on(code: str, ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    poison, healthy = POISON[code](job), _raise(job)

    first = push(phone, job.id, [poison])["receipts"][0]
    second = push(phone, job.id, [healthy])["receipts"][0]

    assert first["outcome"] in ("refused", "set_aside")
    assert first["detail"]["code"] == code
    assert second["outcome"] == "applied"
    assert list(phone.rows("issue")) == [healthy["entity"]]
    kept = phone.get("/api/set-aside").get_json()["items"]
    assert [item["mutation"] for item in kept] == [poison]


def test_half_a_character_is_kept_as_it_was_spelled(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    poison = {**_raise(job, words="half \ud83d of a character"), "seq": phone.next_seq(job.id)}

    body = json.dumps({"device_id": phone.device_id, "lanes": [{"job_id": job.id, "mutations": [poison]}]})
    answer = phone.post("/api/sync/push", data=body, content_type="application/json").get_json()

    assert answer["lanes"][0]["receipts"][0]["detail"]["code"] == "not_text"
    kept = phone.get("/api/set-aside").get_json()["items"][0]["mutation"]
    assert kept["fields"]["words"] == "half \ud83d of a character"


def test_a_row_that_is_there_already_is_set_aside(ana: CastMember, client_as: Enter) -> None:
    """The database itself says no; the savepoint takes back just this one."""
    phone = client_as(ana)
    job = a_job(phone)
    first, second = _raise(job), _raise(job)
    second["entity"] = first["entity"]

    receipts = push(phone, job.id, [first, second, _raise(job)])["receipts"]

    assert [receipt["outcome"] for receipt in receipts] == ["applied", "set_aside", "applied"]
    assert receipts[1]["detail"]["code"] == "not_storable"
    assert len(phone.rows("issue")) == 2


@pytest.mark.parametrize("kind", ["issue.raise", "job.create"])
def test_an_id_behind_another_companys_wall_is_set_aside_and_the_lane_drains(
    kind: str, ana: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    phone, stranger = client_as(ana), client_as(cleo)
    theirs = a_job(stranger)
    their_issue = _raise(theirs)
    push(stranger, theirs.id, [their_issue])
    job = a_job(phone)
    is_job = kind == "job.create"
    lane_id = theirs.id if is_job else job.id
    collides = a_mutation(kind, theirs.id, **a_sheet()) if is_job else {**_raise(job), "entity": their_issue["entity"]}

    lane = push(phone, lane_id, [collides, _raise(job)])

    assert lane["error"] is None
    assert lane["receipts"][0]["outcome"] == "set_aside"
    assert lane["receipts"][0]["detail"]["code"] == "not_storable"
    assert lane["last_seq"] == collides["seq"] + 1
    assert len(phone.rows("issue")) == (0 if is_job else 1)
    assert collides in [item["mutation"] for item in phone.get("/api/set-aside").get_json()["items"]]
    assert stranger.rows("issue")[their_issue["entity"]]["words"] == "x"


def test_more_than_one_answer_holds_is_given_page_by_page(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    sent = [a_mutation("issue.dance") for _ in range(201)]
    for start in (0, 70, 140):
        push(phone, job.id, sent[start : start + 70])

    first = phone.get("/api/set-aside").get_json()
    second = phone.get(f"/api/set-aside?after={first['items'][-1]['id']}").get_json()

    assert (len(first["items"]), first["more"], len(second["items"]), second["more"]) == (200, True, 1, False)
    assert {item["id"] for item in first["items"] + second["items"]} == {mutation["id"] for mutation in sent}
    unknown = phone.get(f"/api/set-aside?after={new_id()}")
    assert (unknown.status_code, list(unknown.get_json()["error"]["fields"])) == (422, ["after"])


def test_what_was_refused_leaves_no_trace_in_the_job(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    phone.pull()

    push(phone, job.id, [_raise(job, unit_id=new_id())])

    assert phone.pull() == []


def test_work_on_an_issue_that_could_not_be_raised_goes_with_it(
    ben: CastMember, ana: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    bad = _raise(job, category="no such category")
    answer = a_mutation("issue.answer", bad["entity"], words="Done.", fixed=True, promised_on=None)
    photo = a_mutation(
        "photo.add", issue_id=bad["entity"], sha256="a" * 64, size_bytes=9, width_px=3, height_px=3,
        taken_at="2026-11-25T09:00:00.000Z",
    )  # fmt: skip

    receipts = push(phone, job.id, [bad, answer, photo])["receipts"]

    assert [receipt["outcome"] for receipt in receipts] == ["set_aside"] * 3
    assert [receipt["detail"]["code"] for receipt in receipts] == ["invalid", "goes_with", "goes_with"]


def test_a_mended_issue_is_taken_under_its_own_id(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    bad = _raise(job, category="no such category")
    push(phone, job.id, [bad])

    mended = {**_raise(job), "entity": bad["entity"]}
    receipt = push(phone, job.id, [mended])["receipts"][0]

    assert receipt["outcome"] == "applied"
    assert list(phone.rows("issue")) == [bad["entity"]]


def test_work_on_a_job_that_could_not_be_created_goes_with_it(ana: CastMember, client_as: Enter) -> None:
    phone, job_id = client_as(ana), new_id()
    bad = a_mutation("job.create", job_id, **a_sheet(time_zone="Nowhere/Invented"))

    lane = push(phone, job_id, [bad, a_mutation("visit.plan", purpose="part_one")])

    assert [receipt["detail"]["code"] for receipt in lane["receipts"]] == ["invalid", "goes_with"]
    assert lane["error"] is None
    mended = a_mutation("job.create", job_id, **a_sheet())
    assert push(phone, job_id, [mended])["receipts"][0]["outcome"] == "applied"


def test_a_role_that_may_not_is_refused(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)

    receipt = push(phone, job.id, [a_mutation("visit.plan", purpose="part_one")])["receipts"][0]

    assert receipt["outcome"] == "refused"
    assert receipt["detail"]["code"] == "not_allowed"


def test_everyone_sees_only_their_own_set_aside_work(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)

    push(phone, job.id, [a_mutation("issue.dance")])

    assert office.get("/api/set-aside").get_json()["items"] == []
    assert len(phone.get("/api/set-aside").get_json()["items"]) == 1


def test_a_verb_that_breaks_does_not_stop_the_lane(
    ana: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    kind = MUTATIONS["unit.set"]
    monkeypatch.setitem(MUTATIONS, "unit.set", Kind(kind.table, kind.shape, _break, kind.roles))

    receipts = push(phone, job.id, [a_mutation("unit.set", job.units["IU-1"], room="1"), _raise(job)])["receipts"]

    assert [receipt["outcome"] for receipt in receipts] == ["set_aside", "applied"]
    assert receipts[0]["detail"]["code"] == "server_error"


def _break(_change: object, _fields: object) -> None:
    raise ZeroDivisionError
