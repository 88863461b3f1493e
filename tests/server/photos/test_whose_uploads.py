"""Who may bring the bytes of which photo: whoever can write to an upload can spoil it as well."""

from typing import Any
from uuid import uuid4

import pytest

from tests.builders import Phone, a_link, new_id
from tests.server.photos.sending import CONTENT, announce, bring, create, end, see, send, state_of
from tests.server.site import Site

JUNK = b"?" * len(CONTENT)


@pytest.fixture
def theirs(site: Site, issue: str) -> str:
    """A photo that the contractor announced and has not sent yet."""
    return str(announce(site.link, site, CONTENT, issue_id=issue)["photo"])


def _asked(who: Phone, photo: str) -> list[tuple[int, str]]:
    """Every way to an upload, and what is said there. The answer to HEAD has no body."""
    answers = [
        create(who, photo, size_bytes=len(CONTENT), body=JUNK),
        send(who, photo, JUNK[:10], offset=0),
        see(who, photo),
        end(who, photo),
    ]
    return [(answer.status_code, answer.get_data(as_text=True)) for answer in answers]


def test_a_contractor_cannot_spoil_stop_or_end_a_photo_of_the_company(site: Site, photo: str) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    said = [_asked(site.link, photo) for _ in range(3)]

    assert said == 3 * [_asked(site.link, new_id())]
    assert [status for status, _ in said[0]] == [404] * 4
    assert send(site.phone, photo, CONTENT[1_000:], offset=1_000).status_code == 204
    assert state_of(site, photo) == ("stored", None)


def test_a_contractor_does_not_even_begin_the_upload_of_a_photo_of_the_company(site: Site, photo: str) -> None:
    assert create(site.link, photo, size_bytes=len(CONTENT)).status_code == 404

    assert see(site.phone, photo).status_code == 404
    assert bring(site.phone, photo, CONTENT).status_code == 201


def test_a_contractor_brings_their_own_photo_in_pieces(site: Site, theirs: str) -> None:
    create(site.link, theirs, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    assert see(site.link, theirs).headers["Upload-Offset"] == "1000"
    assert send(site.link, theirs, CONTENT[1_000:], offset=1_000).status_code == 204
    assert state_of(site, theirs) == ("stored", None)


def test_a_contractor_ends_their_own_upload_and_begins_it_anew(site: Site, theirs: str) -> None:
    create(site.link, theirs, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    assert end(site.link, theirs).status_code == 204
    assert bring(site.link, theirs, CONTENT).status_code == 201
    assert state_of(site, theirs) == ("stored", None)


def test_people_of_the_company_may_bring_a_photo_of_the_contractor(site: Site, theirs: str) -> None:
    assert bring(site.phone, theirs, CONTENT).status_code == 201

    assert state_of(site, theirs) == ("stored", None)


@pytest.mark.parametrize("named", [{}, {"recipient": " carl  COPPER", "firm": "invented pipes "}])
def test_what_was_begun_under_one_link_goes_on_under_another_of_the_same_person(
    site: Site, theirs: str, named: dict[str, str], client_as: Any
) -> None:
    create(site.link, theirs, size_bytes=len(CONTENT), body=CONTENT[:1_000])
    next_link = client_as(a_link(site.ana, job_id=site.job.id, **named))

    assert see(next_link, theirs).headers["Upload-Offset"] == "1000"
    assert send(next_link, theirs, CONTENT[1_000:], offset=1_000).status_code == 204
    assert state_of(site, theirs) == ("stored", None)


@pytest.mark.parametrize("named", [{"recipient": "Dina Duct"}, {"firm": "Invented Ducts"}])
def test_the_holder_of_another_link_brings_it_only_once_the_first_has_ended(
    site: Site, theirs: str, named: dict[str, str], client_as: Any
) -> None:
    other = client_as(a_link(site.ana, job_id=site.job.id, **named))

    before = _asked(other, theirs)
    first = site.link.whose.id
    assert site.office.post(f"/api/links/{first}/revoke").status_code in (200, 204)

    assert before == _asked(other, str(uuid4()))
    assert bring(other, theirs, CONTENT).status_code == 201
    assert state_of(site, theirs) == ("stored", None)


def test_nobody_s_name_is_no_ones_for_certain(site: Site, issue: str, client_as: Any) -> None:
    nameless, another = (client_as(a_link(site.ana, job_id=site.job.id, recipient=" ")) for _ in range(2))
    photo = announce(nameless, site, CONTENT, issue_id=issue)["photo"]

    assert create(another, photo, size_bytes=len(CONTENT)).status_code == 404
    assert bring(nameless, photo, CONTENT).status_code == 201
