"""What a push takes, what it answers again, and what it keeps aside."""

from collections.abc import Callable
from typing import Any

import pytest
from structlog.testing import capture_logs

from flarenut.sync import lanes
from flarenut.sync.mutation import Mutation
from flarenut.sync.push import SERVER_ERROR
from tests.builders import CastMember, Phone, a_job, a_mutation, new_id, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]


def test_a_job_is_created_by_the_first_change_of_its_lane(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    job = a_job(phone)

    pulled = phone.pull()
    assert [part["state"] for part in pulled] == ["reset"]
    assert {row["table"] for row in pulled[0]["rows"]} == {"job", "system", "unit", "step", "limit"}
    assert phone.pull() == []
    assert pulled[0]["job_id"] == job.id


def test_the_same_push_twice_changes_nothing_and_gets_the_same_answer(ana: CastMember, client_as: Enter) -> None:
    """The first answer was lost on its way; the phone cannot know and asks again."""
    phone = client_as(ana)
    job = a_job(phone)
    raised = _raise(job)

    first = push(phone, job.id, [raised])
    again = push(phone, job.id, [raised])

    assert again == first
    assert first["receipts"][0]["outcome"] == "applied"
    assert len(phone.rows("issue")) == 1


def test_a_half_known_batch_is_taken_where_it_is_new(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    known, new = _raise(job), _raise(job)
    push(phone, job.id, [known])

    lane = push(phone, job.id, [known, new])

    assert [receipt["outcome"] for receipt in lane["receipts"]] == ["applied", "applied"]
    assert lane["last_seq"] == new["seq"]
    assert len(phone.rows("issue")) == 2


def test_a_gap_in_the_numbers_stops_the_lane_before_it(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    fits, skipped, beyond = _raise(job), _raise(job), _raise(job)
    fits["seq"], skipped["seq"], beyond["seq"] = 2, 3, 4

    lane = push(phone, job.id, [fits, beyond])

    assert lane["error"]["code"] == "seq_gap"
    assert [receipt["id"] for receipt in lane["receipts"]] == [fits["id"]]
    assert lane["last_seq"] == 2
    assert push(phone, job.id, [skipped, beyond])["last_seq"] == 4


def test_a_known_id_with_another_body_means_the_phone_was_cloned(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    raised = _raise(job)
    push(phone, job.id, [raised])

    changed = {**raised, "fields": {**raised["fields"], "words": "Something else."}}
    lane = push(phone, job.id, [changed])

    assert lane["error"]["code"] == "device_cloned"
    assert lane["receipts"] == []


def test_a_used_number_with_another_id_means_the_phone_was_cloned(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    first, second = _raise(job), _raise(job)
    push(phone, job.id, [first])

    lane = push(phone, job.id, [{**second, "seq": first["seq"]}])

    assert lane["error"]["code"] == "device_cloned"
    assert len(phone.rows("issue")) == 1


def test_a_known_id_of_another_device_with_another_body_is_kept_and_the_lane_goes_on(
    ana: CastMember, client_as: Enter
) -> None:
    """A new device id does not mend that, so the phone is not sent round for ever."""
    phone = client_as(ana)
    job = a_job(phone)
    raised = _raise(job)
    push(phone, job.id, [raised])
    changed = {**raised, "fields": {**raised["fields"], "words": "Something else."}}
    assert push(phone, job.id, [changed])["error"]["code"] == "device_cloned"

    phone.device_id = new_id()
    sent = [{**changed, "seq": 1}, {**_raise(job), "seq": 2}]
    lane, again = push(phone, job.id, sent), push(phone, job.id, sent)

    assert lane == again
    assert lane["error"] is None
    assert [receipt["outcome"] for receipt in lane["receipts"]] == ["set_aside", "applied"]
    assert lane["receipts"][0]["detail"]["code"] == "id_taken"
    kept = phone.get("/api/set-aside").get_json()["items"]
    assert [item["mutation"]["fields"]["words"] for item in kept] == ["Something else."]


def test_a_cloned_phone_renumbers_under_a_new_device_and_loses_nothing(ana: CastMember, client_as: Enter) -> None:
    """The clone keeps the ids of its mutations: what its twin has sent already is not applied again."""
    phone = client_as(ana)
    job = a_job(phone)
    sent_by_twin, unsent = _raise(job), _raise(job)
    push(phone, job.id, [sent_by_twin])

    phone.device_id = new_id()
    lane = push(phone, job.id, [{**sent_by_twin, "seq": 1}, {**unsent, "seq": 2}])

    assert lane["error"] is None
    assert [receipt["outcome"] for receipt in lane["receipts"]] == ["applied", "applied"]
    assert lane["last_seq"] == 2
    assert set(phone.rows("issue")) == {sent_by_twin["entity"], unsent["entity"]}


def test_nobody_speaks_under_another_persons_device(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    phone, other = client_as(ana), client_as(ben)
    job = a_job(phone, visited_by=ben)

    other.device_id = phone.device_id
    lane = push(other, job.id, [{**_raise(job), "seq": 1}])

    assert lane["error"]["code"] == "device_cloned"
    assert phone.rows("issue") == {}


def test_two_people_on_one_phone_get_a_device_each(ana: CastMember, ben: CastMember, client_as: Enter) -> None:
    first = client_as(ana)

    second = client_as(ben, device_id=first.device_id)

    assert second.device_id != first.device_id
    assert client_as(ana, device_id=first.device_id).device_id == first.device_id


def test_one_bad_lane_does_not_hold_up_another(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job, other = a_job(phone), a_job(phone)
    gap, fits = {**_raise(job), "seq": 99}, {**_raise(other), "seq": 2}

    by_job = _push_both(phone, {job.id: gap, other.id: fits})

    assert by_job[job.id]["error"]["code"] == "seq_gap"
    assert by_job[other.id]["receipts"][0]["outcome"] == "applied"


def test_what_nobody_expected_on_one_job_does_not_hold_up_another(
    ana: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is logged as what no story may meet; the phone keeps its work and sends it again."""
    phone = client_as(ana)
    job, other = a_job(phone), a_job(phone)
    hit, fits = {**_raise(job), "seq": 2}, {**_raise(other), "seq": 2}

    with monkeypatch.context() as fault, capture_logs() as log:
        fault.setattr(lanes, "known_receipts", _breaks_at(hit, error=ZeroDivisionError()))
        by_job = _push_both(phone, {job.id: hit, other.id: fits})

    assert by_job[job.id] == {"job_id": job.id, "last_seq": None, "receipts": [], "error": SERVER_ERROR}
    assert by_job[other.id]["receipts"][0]["outcome"] == "applied"
    assert [(one["event"], one["job_id"]) for one in log if one["log_level"] == "error"] == [("unexpected", job.id)]
    assert push(phone, job.id, [hit])["receipts"][0]["outcome"] == "applied"


def test_a_push_that_is_nested_too_deeply_is_refused_whole_so_that_the_phone_halves_it(
    ana: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    deep = {**_raise(job), "seq": 2}
    monkeypatch.setattr(lanes, "known_receipts", _breaks_at(deep, error=RecursionError()))

    sent = [{"job_id": job.id, "mutations": [deep]}]
    answer = phone.post("/api/sync/push", json={"device_id": phone.device_id, "lanes": sent})

    assert answer.status_code == 400


def test_more_than_a_hundred_changes_are_too_many_for_one_push(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    mutations = [{"id": new_id(), "seq": number} for number in range(1, 102)]

    sent = [{"job_id": new_id(), "mutations": mutations}]
    answer = phone.post("/api/sync/push", json={"device_id": phone.device_id, "lanes": sent})

    assert answer.status_code == 413
    assert answer.get_json()["error"]["code"] == "too_many"


def test_a_change_whose_place_cannot_be_read_is_named(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    sent = [{"job_id": new_id(), "mutations": [{"id": "none", "seq": 0}]}]
    answer = phone.post("/api/sync/push", json={"device_id": phone.device_id, "lanes": sent})

    assert answer.status_code == 422
    assert set(answer.get_json()["error"]["fields"]["lanes"]["0"]["mutations"]["0"]) == {"id", "seq"}


def _push_both(phone: Phone, mutations: dict[str, dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """One change on each job, in one push; what each lane is told, by job."""
    sent = [{"job_id": job_id, "mutations": [mutation]} for job_id, mutation in mutations.items()]
    answer = phone.post("/api/sync/push", json={"device_id": phone.device_id, "lanes": sent})
    assert answer.status_code == 200, answer.get_data(as_text=True)
    return {lane["job_id"]: lane for lane in answer.get_json()["lanes"]}


def _breaks_at(mutation: dict[str, Any], *, error: Exception) -> Callable[..., Any]:
    """What every lane asks first, broken for the one that brings this change."""
    known_receipts = lanes.known_receipts

    def broken(ordered: list[Mutation], **rest: Any) -> Any:
        if mutation["id"] in [str(one.id) for one in ordered]:
            raise error
        return known_receipts(ordered, **rest)

    return broken


def _raise(job: Job) -> dict[str, Any]:
    return a_mutation(
        "issue.raise", unit_id=job.units["IU-1"], category="wiring", words="Swapped.", who_must_act="technician"
    )
