"""What was set aside, taken by the server after all, and sent again by an author who had no signal: it counts once."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, a_sheet, new_id, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]
Fields = dict[str, Any]

UNKNOWN = "01a21a00-0000-7000-8000-000000000000"
ARROW = {"tool": "arrow", "points": [[0.1, 0.1], [0.5, 0.5]]}
NAMED_ALIKE = {"recipient": " carl  COPPER", "firm": "invented pipes "}
RING = {"tool": "ring", "points": [[0.2, 0.2], [0.4, 0.4]]}


def _raise(unit_id: str, who: str = "technician") -> Fields:
    fields = {"unit_id": unit_id, "category": "wiring", "words": "x", "who_must_act": who}
    return a_mutation("issue.raise", **fields)


def _photo(issue_id: str) -> Fields:
    size = {"size_bytes": 1000, "width_px": 640, "height_px": 480, "taken_at": "2026-11-25T09:00:00.000Z"}
    return a_mutation("photo.add", issue_id=issue_id, sha256="ab" * 32, **size)


def _again(mutation: Fields, **changed: Any) -> Fields:
    """As a phone words it when "Send again" is pressed."""
    kept = {name: mutation[name] for name in ("type", "v", "entity", "base_rev", "device_time", "app")}
    return {**kept, "id": new_id(), "fields": {**mutation["fields"], **changed}, "replaces": mutation["id"]}


def _outcomes(phone: Phone, job_id: str, *mutations: Fields) -> list[str]:
    return [receipt["outcome"] for receipt in push(phone, job_id, [*mutations])["receipts"]]


def _waiting(phone: Phone) -> list[str]:
    return [item["id"] for item in phone.get("/api/set-aside").get_json()["items"]]


def _marks(phone: Phone) -> list[Fields]:
    return [mark for row in phone.rows("photo").values() for mark in row["marks"]]


def _promise(issue_id: str) -> Fields:
    return a_mutation("issue.answer", issue_id, words="On Friday.", fixed=False, promised_on="2026-12-04")


def _kinds(phone: Phone) -> list[str]:
    return sorted(row["kind"] for row in phone.rows("issue_event").values())


def _taken(phone: Phone) -> tuple[list[str], list[str]]:
    """What needs its author no more, and what of that the server took by itself."""
    told = phone.get("/api/set-aside").get_json()
    return told["settled"], told["taken"]


def _mark(phone: Phone) -> str:
    """Told with every pull: the list is fetched when it differs."""
    said = {"device_id": phone.device_id, "cursors": [], "limit": 1, "v": 1}
    mark: str = phone.post("/api/sync/pull", json=said).get_json()["aside"]
    return mark


@pytest.fixture
def office(ana: CastMember, client_as: Enter) -> Phone:
    """Ana's, on which the photo is that a backup has forgotten."""
    return client_as(ana)


@pytest.fixture
def phone(ben: CastMember, client_as: Enter) -> Phone:
    """Ben's."""
    return client_as(ben)


@pytest.fixture
def tablet(ben: CastMember, client_as: Enter) -> Phone:
    """Ben's other one."""
    return client_as(ben)


@pytest.fixture
def job(office: Phone, ben: CastMember) -> Job:
    """With Ben on it."""
    return a_job(office, visited_by=ben)


@pytest.fixture
def photo(job: Job) -> list[Fields]:
    """An issue and its photo, which the server does not know yet."""
    raised = _raise(job.units["IU-1"])
    return [raised, _photo(raised["entity"])]


@pytest.fixture
def marked(photo: list[Fields], phone: Phone, job: Job) -> Fields:
    """What Ben drew on the photo, refused because there is no such photo."""
    mutation = a_mutation("photo.mark", photo[1]["entity"], marks=[ARROW])
    assert _outcomes(phone, job.id, mutation) == ["refused"]
    return mutation


@pytest.fixture
def raised(job: Job) -> Fields:
    """What a contractor must act on, and the server does not know yet."""
    return _raise(job.units["IU-1"], "contractor")


@pytest.fixture
def first_link(ana: CastMember, client_as: Enter, job: Job) -> Phone:
    """A contractor's."""
    return client_as(a_link(ana, job_id=job.id))


def test_what_the_server_has_taken_by_itself_is_not_done_again_when_its_author_sends_it_again(
    office: Phone, phone: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    push(office, job.id, photo)
    office.pull()
    taken, mark = _taken(phone), _mark(phone)

    receipt = push(phone, job.id, [_again(marked)])["receipts"][0]

    assert taken == ([marked["id"]], [marked["id"]])
    assert _taken(phone) == ([marked["id"]], [])
    assert _mark(phone) != mark
    assert receipt["outcome"] == "applied"
    assert receipt["rev"] > 0
    assert office.pull() == []
    assert _marks(office) == [ARROW]


def test_a_promise_that_is_sent_again_after_it_was_taken_stands_once_in_the_history(
    office: Phone, phone: Phone, job: Job, photo: list[Fields]
) -> None:
    raised = photo[0]
    promised = _promise(raised["entity"])
    assert _outcomes(phone, job.id, promised) == ["refused"]
    push(office, job.id, [raised])

    outcomes = _outcomes(phone, job.id, _again(promised))

    assert (outcomes, _kinds(office)) == (["applied"], ["promised", "raised"])


def test_what_is_sent_again_before_the_server_could_take_it_is_taken_once(
    office: Phone, phone: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    again = _again(marked)
    assert _outcomes(phone, job.id, again) == ["refused"]
    waiting = _waiting(phone)

    push(office, job.id, photo)

    assert waiting == [again["id"]]
    assert _marks(office) == [ARROW]
    assert _waiting(phone) == []


def test_what_was_lost_with_its_job_and_sent_again_before_that_is_back_is_taken_once(
    office: Phone, phone: Phone, ben: CastMember
) -> None:
    sheet, job_id = a_sheet(), new_id()
    raised = _raise(next(unit["id"] for unit in sheet["units"] if unit["tag"] == "IU-1"))
    photo = _photo(raised["entity"])
    marked = a_mutation("photo.mark", photo["entity"], marks=[ARROW])
    push(phone, job_id, [raised, photo, marked])
    push(phone, job_id, [_again(mutation) for mutation in (raised, photo, marked)])

    visit = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28800, "note": ""}
    planned = a_mutation("visit.plan", **visit, person_id=str(ben.id))
    push(office, job_id, [a_mutation("job.create", job_id, **sheet), planned])

    assert _marks(office) == [ARROW]
    assert _waiting(phone) == []


def test_what_was_mended_is_a_change_of_its_own(
    office: Phone, phone: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    push(office, job.id, photo)

    outcomes = _outcomes(phone, job.id, _again(marked, marks=[RING]))

    assert outcomes == ["applied"]
    assert _marks(office) == [ARROW, RING]


def test_one_person_who_sends_it_again_from_two_phones_does_it_once(
    office: Phone, phone: Phone, tablet: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    # The photo comes with the change that is sent again: nothing was taken by itself.
    first = _outcomes(phone, job.id, *photo, _again(marked))

    second = _outcomes(tablet, job.id, _again(marked))

    assert (first, second) == (["applied"] * 3, ["applied"])
    assert _taken(phone) == ([marked["id"]], [])
    assert _marks(office) == [ARROW]


def test_what_two_phones_sent_again_in_vain_waits_once_and_is_taken_once(
    office: Phone, phone: Phone, tablet: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    first, second = _again(marked), _again(marked)
    assert _outcomes(phone, job.id, first) + _outcomes(tablet, job.id, second) == ["refused"] * 2
    waiting = _waiting(phone)

    push(office, job.id, photo)

    assert waiting == [second["id"]]
    assert _marks(office) == [ARROW]
    assert _waiting(phone) == []


def test_what_was_taken_as_one_phone_sent_it_again_is_not_done_again_when_another_sends_it(
    office: Phone, phone: Phone, tablet: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    assert _outcomes(phone, job.id, _again(marked)) == ["refused"]
    push(office, job.id, photo)

    outcomes = _outcomes(tablet, job.id, _again(marked))

    assert outcomes == ["applied"]
    assert _marks(office) == [ARROW]


def test_what_was_sent_again_time_after_time_is_taken_once(
    office: Phone, phone: Phone, tablet: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    second = _again(marked)
    third = _again(second)
    fourth = _again(third)
    assert _outcomes(phone, job.id, second, third, fourth) == ["refused"] * 3
    assert _waiting(phone) == [fourth["id"]]

    push(office, job.id, photo)
    outcomes = [_outcomes(tablet, job.id, _again(one))[0] for one in (marked, second, third, fourth)]

    assert outcomes == ["applied"] * 4
    assert _marks(office) == [ARROW]


def test_what_one_phone_sent_again_mended_waits_on_when_another_sends_it_as_it_was(
    office: Phone, phone: Phone, tablet: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    mended, as_it_was = _again(marked, marks=[RING]), _again(marked)
    assert _outcomes(phone, job.id, mended) + _outcomes(tablet, job.id, as_it_was) == ["refused"] * 2
    waiting = _waiting(phone)

    push(office, job.id, photo)

    assert sorted(waiting) == sorted([mended["id"], as_it_was["id"]])
    assert sorted(_marks(office), key=str) == [ARROW, RING]


def test_nobody_ends_what_somebody_else_has_waiting(
    office: Phone, phone: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    assert _outcomes(office, job.id, _again(marked)) == ["refused"]
    assert _waiting(phone) == [marked["id"]]

    push(office, job.id, photo)

    assert _marks(office) == [ARROW] * 2


def test_nobody_is_answered_by_what_somebody_else_had_waiting(
    office: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    push(office, job.id, photo)

    assert _outcomes(office, job.id, _again(marked)) == ["applied"]

    assert _marks(office) == [ARROW] * 2


@pytest.mark.parametrize("named", [{}, NAMED_ALIKE])
def test_what_waited_under_one_link_and_was_sent_again_under_the_same_ones_next_is_taken_once(
    named: Fields, office: Phone, ana: CastMember, client_as: Enter, job: Job, raised: Fields, first_link: Phone
) -> None:
    promised = _promise(raised["entity"])
    assert _outcomes(first_link, job.id, promised) == ["refused"]
    next_link = client_as(a_link(ana, job_id=job.id, **named))
    assert _outcomes(next_link, job.id, again := _again(promised)) == ["refused"]
    waiting = _waiting(first_link), _waiting(next_link)

    push(office, job.id, [raised])

    assert waiting == ([], [again["id"]])
    assert _kinds(office) == ["promised", "raised"]


def test_what_was_taken_of_one_link_is_not_done_again_under_the_same_ones_next(
    office: Phone, ana: CastMember, client_as: Enter, job: Job, raised: Fields, first_link: Phone
) -> None:
    promised = _promise(raised["entity"])
    assert _outcomes(first_link, job.id, promised) == ["refused"]
    push(office, job.id, [raised])

    outcomes = _outcomes(client_as(a_link(ana, job_id=job.id)), job.id, _again(promised))

    assert outcomes == ["applied"]
    assert _kinds(office) == ["promised", "raised"]


def test_what_was_taken_of_a_link_that_has_ended_is_not_done_again_under_any_other_of_the_job(
    office: Phone, ana: CastMember, client_as: Enter, job: Job, raised: Fields, first_link: Phone
) -> None:
    promised = _promise(raised["entity"])
    assert _outcomes(first_link, job.id, promised) == ["refused"]
    push(office, job.id, [raised])
    assert office.post(f"/api/links/{first_link.whose.id}/revoke").status_code in (200, 204)
    other = client_as(a_link(ana, job_id=job.id, recipient="Dina Duct"))

    outcomes = _outcomes(other, job.id, _again(promised))

    assert outcomes == ["applied"]
    assert _kinds(office) == ["promised", "raised"]


def test_the_holder_of_another_link_replaces_nothing_of_one_that_works(
    office: Phone, ana: CastMember, client_as: Enter, job: Job, raised: Fields, first_link: Phone
) -> None:
    promised = _promise(raised["entity"])
    assert _outcomes(first_link, job.id, promised) == ["refused"]
    other = client_as(a_link(ana, job_id=job.id, recipient="Dina Duct"))
    assert _outcomes(other, job.id, _again(promised)) == ["refused"]
    waiting = _waiting(first_link)

    push(office, job.id, [raised])

    assert waiting == [promised["id"]]
    assert _kinds(office) == ["promised", "promised", "raised"]


@pytest.mark.parametrize("named", [None, 7, "no id", ["x"], UNKNOWN])
def test_whatever_else_is_said_to_be_replaced_is_passed_over(named: Any, phone: Phone, job: Job) -> None:
    raised = {**_raise(job.units["IU-1"]), "replaces": named}

    assert _outcomes(phone, job.id, raised) == ["applied"]


def test_an_app_that_does_not_say_what_it_sends_again_is_answered_as_before(
    office: Phone, phone: Phone, job: Job, photo: list[Fields], marked: Fields
) -> None:
    push(office, job.id, photo)
    again = _again(marked)
    del again["replaces"]

    assert _outcomes(phone, job.id, again) == ["applied"]
    assert _marks(office) == [ARROW, ARROW]
