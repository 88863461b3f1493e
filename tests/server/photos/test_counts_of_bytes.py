"""How long an upload is, and where a piece begins: headers that count bytes."""

import pytest

from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from tests.server.photos.sending import BODY, TUS, UPLOADS, make, see, send
from tests.server.site import Site

PIECE = b"ten bytes!"


def _offset(site: Site, upload: str) -> str:
    return see(site.phone, upload).headers["Upload-Offset"]


@pytest.mark.parametrize("said", ["", "many", "-1", "1.5", "9" * 50 + "x", "٣"], ids=lambda said: said[:9])
def test_a_length_that_is_no_count_of_bytes_is_refused(site: Site, said: str) -> None:
    assert make(site.phone, Upload_Length=said).status_code == 400


def test_more_than_the_largest_is_refused_and_the_largest_is_not(site: Site) -> None:
    assert make(site.phone, size_bytes=LARGEST_PHOTO_BYTES + 1).status_code == 413
    assert make(site.phone, size_bytes=LARGEST_PHOTO_BYTES).status_code == 201


@pytest.mark.parametrize("said", [None, "", "many", "-1"])
def test_an_offset_that_is_missing_or_no_count_of_bytes_is_refused(site: Site, upload: str, said: str | None) -> None:
    headers = {**TUS, **({} if said is None else {"Upload-Offset": said})}

    answer = site.phone.open(f"{UPLOADS}/{upload}", method="PATCH", headers=headers, data=PIECE, content_type=BODY)

    assert answer.status_code == 400
    assert _offset(site, upload) == "0"


# More than a 64-bit number holds, and still a count: too large, or not where the upload is.
HUGE = [str(2**63 - 1), str(2**64), "9" * 40, "9" * 400]


@pytest.mark.parametrize("said", HUGE)
def test_a_count_that_no_disk_could_hold_is_a_count(site: Site, upload: str, said: str) -> None:
    create = make(site.phone, Upload_Length=said)
    piece = send(site.phone, upload, PIECE, offset=int(said))

    assert (create.status_code, create.get_json()["error"]["code"]) == (413, "photo_too_large")
    assert (piece.status_code, piece.headers["Upload-Offset"]) == (409, "0")
    assert _offset(site, upload) == "0"
