"""Uploads that name no photo: any client of the protocol may make one, and it harms nobody."""

from typing import Any

import pytest

from flarenut.photos import uploads
from tests.builders import CastMember, a_mutation, push
from tests.server.photos.pictures import sha256_of
from tests.server.photos.sending import CONTENT, bring, checksum, create, end, id_of, make, see, send, state_of
from tests.server.site import Site

PIECE = b"ten bytes."


def test_an_upload_that_names_no_photo_is_its_makers_alone(
    site: Site, upload: str, client_as: Any, cleo: CastMember
) -> None:
    others = [site.office, site.link, client_as(cleo), client_as(site.ben)]

    said = [
        answer.status_code
        for who in others
        for answer in (see(who, upload), send(who, upload, PIECE, offset=0), end(who, upload))
    ]

    assert said == [404] * 12
    assert see(site.phone, upload).headers["Upload-Offset"] == "0"


def test_a_contractors_upload_must_name_a_photo(site: Site) -> None:
    assert make(site.link).status_code == 403


def test_uploads_that_name_no_photo_have_a_common_limit(
    site: Site, upload: str, photo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(uploads, "UNCLAIMED_BYTES", 150)
    assert (make(site.office, size_bytes=51).status_code, make(site.office, size_bytes=50).status_code) == (503, 201)

    monkeypatch.setattr(uploads, "UNCLAIMED_AT_ONCE", 2)
    assert make(site.office, size_bytes=0).status_code == 503

    assert bring(site.phone, photo, CONTENT).status_code == 201
    end(site.phone, upload)
    assert make(site.office, size_bytes=0).status_code == 201


def test_one_whose_first_bytes_were_damaged_has_no_address_and_is_not_kept(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(uploads, "UNCLAIMED_AT_ONCE", 1)

    damaged = make(site.phone, body=PIECE, Upload_Checksum=checksum(b"something else"))

    assert (damaged.status_code, damaged.headers.get("Location")) == (460, None)
    assert make(site.phone).status_code == 201


def test_a_photo_announced_under_its_id_claims_an_upload_with_what_has_arrived(site: Site, issue: str) -> None:
    upload = id_of(make(site.phone, size_bytes=len(CONTENT), body=CONTENT))
    fields = {"sha256": sha256_of(CONTENT), "size_bytes": len(CONTENT), "width_px": 640, "height_px": 480}
    announced = a_mutation("photo.add", upload, issue_id=issue, taken_at="2025-06-02T08:30:00.000Z", **fields)
    push(site.phone, site.job.id, [announced])
    assert state_of(site, upload) == ("pending", None)

    claimed = create(site.phone, upload, size_bytes=len(CONTENT))

    assert (claimed.status_code, claimed.headers["Upload-Offset"]) == (201, str(len(CONTENT)))
    assert state_of(site, upload) == ("stored", None)
    assert site.phone.get(f"/api/photos/{upload}/full", buffered=True).data == CONTENT
