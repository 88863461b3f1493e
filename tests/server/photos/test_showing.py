"""Who may look at a photo, and in which size."""

import io
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, BinaryIO
from uuid import uuid4

import pytest
from PIL import Image

from flarenut.photos.disk_store import DiskStore
from flarenut.photos.kept import StoreAway, rendition_name
from flarenut.photos.renditions import rendition
from tests.builders import CastMember, a_technician, an_issue
from tests.server.photos.pictures import GPS, picture, sha256_of
from tests.server.photos.sending import announce, bring
from tests.server.site import Site
from tests.server.telling import tell

CONTENT = picture((2_000, 1_500))
NAME = sha256_of(CONTENT)


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


def test_no_smaller_copy_is_made_before_somebody_looks(site: Site, app: Any, issue: str) -> None:
    content = picture((400, 300), colour="#204060")
    photo = str(announce(site.phone, site, content, issue_id=issue)["photo"])
    folder = DiskStore(app.config["FLARENUT_PHOTO_DIR"], site.ana.company_id)
    small = folder.path(rendition_name(sha256_of(content), side_px=320))
    assert bring(site.phone, photo, content).status_code == 201
    assert folder.path(sha256_of(content)).is_file()
    assert not small.exists()

    answer = site.office.get(f"/api/photos/{photo}/320", buffered=True)

    assert small.read_bytes() == answer.data


def test_a_photo_that_was_damaged_on_the_server_is_told_as_that(site: Site, app: Any, photo: str) -> None:
    kept = DiskStore(app.config["FLARENUT_PHOTO_DIR"], site.ana.company_id).path(NAME)
    kept.write_bytes(CONTENT[:2_000])

    told = [site.office.get(f"/api/photos/{photo}/{size}", buffered=True) for size in ("320", "1280")]
    kept.write_bytes(b"damaged")
    told.append(site.office.get(f"/api/photos/{photo}/full", buffered=True))

    assert [answer.status_code for answer in told] == [404] * 3
    assert {answer.get_json()["error"]["code"] for answer in told} == {"photo_damaged"}


def test_a_photo_that_the_disk_does_not_give_is_told_as_damaged(site: Site, app: Any, photo: str) -> None:
    kept = DiskStore(app.config["FLARENUT_PHOTO_DIR"], site.ana.company_id).path(NAME)
    kept.unlink()
    kept.symlink_to(kept)  # Opening it ends in an error of the disk.

    told = [site.office.get(f"/api/photos/{photo}/{size}", buffered=True) for size in ("320", "full")]

    assert [answer.status_code for answer in told] == [404] * 2
    assert {answer.get_json()["error"]["code"] for answer in told} == {"photo_damaged"}


def test_two_who_look_at_once_both_see_it_whole(tmp_path: Path) -> None:
    store = _a_store(DiskStore(tmp_path, uuid4()))

    with ThreadPoolExecutor(4) as people:
        seen = list(people.map(lambda _: _look(store), range(8)))

    assert len(set(seen)) == 1
    with Image.open(io.BytesIO(seen[0])) as image:
        assert image.size == (320, 240)
    assert [kept.name for kept in store.kept() if "." in kept.name] == [rendition_name(NAME, side_px=320)]


class FullStore(DiskStore):
    """A disk on which nothing more fits; what lies on it can be read."""

    def keep(self, name: str, *, content: BinaryIO) -> None:
        raise StoreAway from OSError(f"{name}: no room for {content}")


def test_a_full_disk_still_shows_photos(tmp_path: Path) -> None:
    company_id = uuid4()
    _a_store(DiskStore(tmp_path, company_id))

    small = _look(FullStore(tmp_path, company_id))

    with Image.open(io.BytesIO(small)) as image:
        assert image.size == (320, 240)


def _a_store(store: DiskStore) -> DiskStore:
    store.keep(NAME, content=io.BytesIO(CONTENT))
    return store


def _look(store: DiskStore) -> bytes:
    with rendition(store, sha256=NAME, side_px=320) as small:
        return small.read()
