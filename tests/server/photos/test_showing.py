"""Who may look at a photo, and in which size."""

import io
from typing import Any

import pytest
from PIL import Image

from tests.builders import CastMember, a_technician, an_issue
from tests.server.photos.pictures import GPS, picture
from tests.server.photos.sending import announce, bring
from tests.server.site import Site
from tests.server.telling import tell

CONTENT = picture((2_000, 1_500))


@pytest.fixture
def photo(site: Site, issue: str) -> str:
    """A photo of it that has arrived."""
    photo_id = str(announce(site.phone, site, CONTENT, issue_id=issue)["photo"])
    assert bring(site.phone, photo_id, CONTENT).status_code == 201
    return photo_id


@pytest.mark.parametrize(("size", "pixels"), [("320", (320, 240)), ("1280", (1280, 960))])
def test_a_rendition_is_a_small_jpeg_with_nothing_but_pixels(
    site: Site, photo: str, size: str, pixels: tuple[int, int]
) -> None:
    answer = site.office.get(f"/api/photos/{photo}/{size}", buffered=True)

    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    with Image.open(io.BytesIO(answer.data)) as image:
        assert image.size == pixels
        assert GPS not in image.getexif()


def test_the_full_photo_is_what_was_sent(site: Site, photo: str) -> None:
    answer = site.office.get(f"/api/photos/{photo}/full", buffered=True)

    assert answer.data == CONTENT
    assert answer.mimetype == "image/jpeg"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_a_browser_keeps_a_photo_for_itself_and_asks_no_more(site: Site, photo: str) -> None:
    first = site.office.get(f"/api/photos/{photo}/320", buffered=True)
    assert "private" in first.headers["Cache-Control"]
    assert "immutable" in first.headers["Cache-Control"]

    again = site.office.get(f"/api/photos/{photo}/320", buffered=True, headers={"If-None-Match": first.headers["ETag"]})

    assert (again.status_code, again.data) == (304, b"")


def test_the_contractors_browser_asks_every_time_and_is_answered_in_a_few_bytes(site: Site, photo: str) -> None:
    """An issue can leave them, and a link can be shut: what their browser kept must not outlive that."""
    first = site.link.get(f"/api/photos/{photo}/320", buffered=True)
    known = {"If-None-Match": first.headers["ETag"]}

    again = site.link.get(f"/api/photos/{photo}/320", buffered=True, headers=known)

    assert first.headers["Cache-Control"] == "private, no-cache"
    assert "Expires" not in first.headers
    assert "X-Flarenut-As" in first.headers["Vary"]
    assert (again.status_code, again.data) == (304, b"")
    issue_id = site.office.rows("photo")[photo]["issue_id"]
    tell(site.office, site.job.id, "issue.set", issue_id, who_must_act="customer", base_rev=99)
    assert site.link.get(f"/api/photos/{photo}/320", buffered=True, headers=known).status_code == 404


def test_the_contractor_sees_photos_of_their_issues_and_of_no_others(site: Site, photo: str) -> None:
    others = an_issue(site.phone, job=site.job, who_must_act="customer")
    hidden = announce(site.phone, site, CONTENT, issue_id=others)["photo"]
    of_unit = announce(site.phone, site, CONTENT, unit_id=site.job.units["IU-1"])["photo"]
    for photo_id in (hidden, of_unit):
        assert bring(site.phone, photo_id, CONTENT).status_code == 201

    assert site.link.get(f"/api/photos/{photo}/1280", buffered=True).status_code == 200
    assert site.link.get(f"/api/photos/{hidden}/1280", buffered=True).status_code == 404
    assert site.link.get(f"/api/photos/{of_unit}/1280", buffered=True).status_code == 404
    assert site.office.get(f"/api/photos/{of_unit}/1280", buffered=True).status_code == 200


def test_nobody_else_sees_a_photo(site: Site, photo: str, client_as: Any, cleo: CastMember) -> None:
    not_on_the_job = client_as(a_technician("Tom", company=site.ben.company_name))

    assert client_as(cleo).get(f"/api/photos/{photo}/320", buffered=True).status_code == 404
    assert not_on_the_job.get(f"/api/photos/{photo}/320", buffered=True).status_code == 404
    assert site.office.client.get(f"/api/photos/{photo}/320", buffered=True).status_code == 401


def test_a_size_that_is_not_made_is_not_found(site: Site, photo: str) -> None:
    assert site.office.get(f"/api/photos/{photo}/9999", buffered=True).status_code == 404
