"""The upload protocol, word by word: every status and every header that tus 1.0.0 asks for."""

import base64
import datetime as dt
from email.utils import parsedate_to_datetime
from typing import Any

import pytest
from flask import Request
from sqlalchemy import update
from werkzeug.test import EnvironBuilder, TestResponse

from flarenut.db import db
from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from flarenut.photos.tables import Upload
from flarenut.photos.tus import TusError, absolute
from tests.builders.phones import ORIGIN
from tests.builders.world import behind_the_wall
from tests.server.photos.sending import (
    BODY,
    CONTENT,
    TUS,
    UPLOADS,
    bring,
    checksum,
    create,
    end,
    id_of,
    make,
    see,
    send,
    state_of,
)
from tests.server.site import Site

PIECE = b"ten bytes."


def _offset(site: Site, upload: str) -> str:
    return see(site.phone, upload).headers["Upload-Offset"]


@pytest.mark.parametrize("path", [UPLOADS, f"{UPLOADS}/", f"{UPLOADS}/anything"])
def test_options_tells_anyone_what_the_server_can_do(site: Site, path: str) -> None:
    answer = site.phone.client.options(path)

    assert (answer.status_code, answer.data) == (200, b"")
    assert answer.headers["Tus-Resumable"] == "1.0.0"
    assert answer.headers["Tus-Version"] == "1.0.0"
    assert answer.headers["Tus-Extension"] == "creation,creation-with-upload,checksum,expiration,termination"
    assert answer.headers["Tus-Max-Size"] == str(LARGEST_PHOTO_BYTES)
    assert answer.headers["Tus-Checksum-Algorithm"] == "sha1,sha256"


@pytest.mark.parametrize("said", [{}, {"Tus-Resumable": "0.2.2"}, {"Tus-Resumable": "2.0.0"}], ids=str)
@pytest.mark.parametrize("method", ["POST", "HEAD", "PATCH", "DELETE"])
def test_another_version_is_told_ours_and_changes_nothing(
    site: Site, upload: str, method: str, said: dict[str, str]
) -> None:
    path = UPLOADS if method == "POST" else f"{UPLOADS}/{upload}"
    headers = {"Upload-Length": "10", "Upload-Offset": "0", **said}

    answer = site.phone.open(path, method=method, headers=headers, data=PIECE, content_type=BODY)

    assert answer.status_code == 412
    assert answer.headers["Tus-Version"] == "1.0.0"
    assert answer.headers["Tus-Resumable"] == "1.0.0"
    assert _offset(site, upload) == "0"


def test_an_upload_is_made_at_an_absolute_address(site: Site) -> None:
    answer = make(site.phone)

    assert (answer.status_code, answer.data) == (201, b"")
    assert answer.headers["Location"] == f"{ORIGIN}{UPLOADS}/{id_of(answer)}"
    assert answer.headers["Upload-Offset"] == "0"
    assert answer.headers["Tus-Resumable"] == "1.0.0"


@pytest.mark.parametrize(
    "said", ["", "filename d29ybGQ=,is_confidential", "empty", "a YQ==, b Yg==", "photo dGhpcw=="], ids=repr
)
def test_metadata_that_names_no_photo_is_kept_and_told_again(site: Site, said: str) -> None:
    created = make(site.phone, Upload_Metadata=said)

    assert see(site.phone, id_of(created)).headers.get("Upload-Metadata", "") == said


def test_metadata_of_a_photo_is_told_again_as_well(site: Site, photo: str) -> None:
    said = f"photo_id {base64.b64encode(photo.encode()).decode()},name eA=="

    create(site.phone, photo, size_bytes=len(CONTENT), headers={"Upload-Metadata": said})

    assert see(site.phone, photo).headers["Upload-Metadata"] == said


@pytest.mark.parametrize(
    "said",
    [
        "name !!!",
        "name YQ==,name Yg==",
        ",",
        "nämé YQ==",
        "a\tname YQ==",
        "name AAAA=",
        "photo_id aGVsbG8=",
        "photo_id",
    ],
    ids=repr,
)
def test_metadata_that_cannot_be_read_is_refused(site: Site, said: str) -> None:
    answer = make(site.phone, Upload_Metadata=said)

    assert answer.status_code == 400
    assert "Upload-Metadata" in answer.get_json()["error"]["message"]


PACKED = [("Content-Encoding", "gzip", 415), ("Transfer-Encoding", "gzip, chunked", 501)]


def _asked_of(host: str) -> Request:
    return Request({**EnvironBuilder(UPLOADS).get_environ(), "HTTP_HOST": host})


@pytest.mark.parametrize("host", ["", "a b<>/x", "user@example.test", "example.test:999999", "..", "example.test/x"])
def test_from_a_host_that_is_none_no_address_is_made(host: str) -> None:
    with pytest.raises(TusError, match="Host") as told:
        absolute(_asked_of(host), UPLOADS)

    assert told.value.status == 400


@pytest.mark.parametrize("host", ["flarenut_app:5080", "[::1]:5080", "EXAMPLE.test"])
def test_a_host_as_proxies_name_it_is_one(host: str) -> None:
    assert absolute(_asked_of(host), UPLOADS) == f"http://{host}{UPLOADS}"


@pytest.mark.parametrize(("name", "coding", "status"), PACKED)
def test_a_body_that_is_packed_is_refused(site: Site, upload: str, name: str, coding: str, status: int) -> None:
    answer = send(site.phone, upload, PIECE, offset=0, headers={name: coding})

    assert (answer.status_code, answer.get_json()["error"]["code"]) == (status, "packed")
    assert _offset(site, upload) == "0"


@pytest.mark.parametrize("length", [{}, {"Upload-Length": "10"}], ids=["alone", "with_a_length"])
@pytest.mark.parametrize("said", [("Upload-Defer-Length", "1"), ("Upload-Concat", "partial")], ids=str)
def test_what_is_not_offered_is_refused_before_any_byte_is_sent(
    site: Site, said: tuple[str, str], length: dict[str, str]
) -> None:
    answer = site.phone.post(UPLOADS, headers={**TUS, **length, said[0]: said[1]})

    error = answer.get_json()["error"]
    assert (answer.status_code, error["code"]) == (400, "not_offered")
    assert said[0] in error["message"]


def test_a_checksum_that_comes_after_the_body_is_not_offered_and_is_refused(site: Site, upload: str) -> None:
    answer = send(site.phone, upload, PIECE, offset=0, headers={"Trailer": "Upload-Checksum"})

    assert (answer.status_code, answer.get_json()["error"]["code"]) == (400, "not_offered")
    assert _offset(site, upload) == "0"


def test_an_upload_of_nothing_is_whole_at_once(site: Site) -> None:
    created = make(site.phone, size_bytes=0)

    answer = see(site.phone, id_of(created))

    assert (answer.headers["Upload-Offset"], answer.headers["Upload-Length"]) == ("0", "0")


def test_the_first_bytes_may_come_with_the_create(site: Site) -> None:
    created = make(site.phone, body=PIECE)

    assert created.headers["Upload-Offset"] == "10"
    assert _offset(site, id_of(created)) == "10"


def test_a_create_with_more_than_it_announces_makes_nothing(site: Site) -> None:
    answer = make(site.phone, size_bytes=5, body=PIECE)

    assert answer.status_code == 413
    assert "Location" not in answer.headers


def test_a_create_with_another_kind_of_body_is_refused(site: Site) -> None:
    answer = site.phone.post(
        UPLOADS, headers={**TUS, "Upload-Length": "10"}, data=PIECE, content_type="application/json"
    )

    assert answer.status_code == 415


def test_head_tells_how_far_it_is_and_nobody_keeps_the_answer(site: Site) -> None:
    upload = id_of(make(site.phone, body=PIECE))

    answer = see(site.phone, upload)

    assert (answer.status_code, answer.data) == (200, b"")
    assert answer.headers["Upload-Offset"] == "10"
    assert answer.headers["Upload-Length"] == "100"
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Tus-Resumable"] == "1.0.0"


def test_bytes_are_appended_until_the_upload_is_whole(site: Site) -> None:
    upload = id_of(make(site.phone, size_bytes=20))

    first = send(site.phone, upload, PIECE, offset=0)
    second = send(site.phone, upload, PIECE, offset=10)
    none = send(site.phone, upload, b"", offset=20)

    assert [(answer.status_code, answer.data) for answer in (first, second, none)] == [(204, b"")] * 3
    assert [answer.headers["Upload-Offset"] for answer in (first, second, none)] == ["10", "20", "20"]
    assert first.headers["Tus-Resumable"] == "1.0.0"
    assert send(site.phone, upload, b"x", offset=20).status_code == 413


def test_the_wrong_offset_is_answered_with_the_true_one_and_writes_nothing(site: Site, upload: str) -> None:
    send(site.phone, upload, PIECE, offset=0)

    answers = [send(site.phone, upload, PIECE, offset=wrong) for wrong in (0, 9, 11, 100)]

    assert [answer.status_code for answer in answers] == [409] * 4
    assert [answer.headers["Upload-Offset"] for answer in answers] == ["10"] * 4
    assert answers[0].get_json()["error"]["code"] == "offset_differs"
    assert _offset(site, upload) == "10"


def test_bytes_past_the_end_are_refused_and_write_nothing(site: Site, upload: str) -> None:
    assert send(site.phone, upload, b"x" * 101, offset=0).status_code == 413
    assert _offset(site, upload) == "0"


@pytest.mark.parametrize("kind", [None, "text/plain", "application/octet-stream"])
def test_a_body_of_another_type_is_refused(site: Site, upload: str, kind: str | None) -> None:
    headers = {**TUS, "Upload-Offset": "0"}

    answer = site.phone.open(f"{UPLOADS}/{upload}", method="PATCH", headers=headers, data=PIECE, content_type=kind)

    assert answer.status_code == 415
    assert _offset(site, upload) == "0"


@pytest.mark.parametrize("unknown", ["00000000-0000-4000-8000-000000000000", "no-id", "%20", "1'--"])
@pytest.mark.parametrize("ask", [see, end, lambda who, which: send(who, which, PIECE, offset=0)])
def test_an_upload_that_was_never_made_is_not_found(site: Site, ask: Any, unknown: str) -> None:
    answer = ask(site.phone, unknown)

    assert answer.status_code == 404
    assert "Upload-Offset" not in answer.headers
    assert answer.headers["Tus-Resumable"] == "1.0.0"


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_damaged_bytes_are_told_and_not_counted(site: Site, upload: str, algorithm: str) -> None:
    said = {"Upload-Checksum": checksum(PIECE, algorithm=algorithm)}

    damaged = send(site.phone, upload, b"ten bytes!", offset=0, headers=said)
    assert (damaged.status_code, _offset(site, upload)) == (460, "0")

    assert send(site.phone, upload, PIECE, offset=0, headers=said).status_code == 204
    assert _offset(site, upload) == "10"


@pytest.mark.parametrize("said", ["sha1 AAAA", f"sha1 {'AAAA' * 7}", f"sha256 {'AAAA' * 5}"])
def test_a_digest_that_is_too_short_or_too_long_is_that_of_no_body(site: Site, upload: str, said: str) -> None:
    answer = send(site.phone, upload, PIECE, offset=0, headers={"Upload-Checksum": said})

    assert (answer.status_code, _offset(site, upload)) == (460, "0")


def test_damaged_bytes_that_come_with_the_create_are_not_counted(site: Site, photo: str) -> None:
    said = {"Upload-Checksum": checksum(b"something else")}

    answer = create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT, headers=said)

    assert answer.status_code == 460
    assert _offset(site, photo) == "0"


@pytest.mark.parametrize("said", ["", "crc7 AAAA", "md5 AAAA", "sha1", "sha1 !!!", "SHA1AAAA"])
def test_a_checksum_that_cannot_be_judged_is_refused(site: Site, upload: str, said: str) -> None:
    answer = send(site.phone, upload, PIECE, offset=0, headers={"Upload-Checksum": said})

    assert answer.status_code == 400
    assert _offset(site, upload) == "0"


def test_bytes_with_a_checksum_that_were_cut_are_not_counted(site: Site, upload: str) -> None:
    """Nobody can say whether they are what was sent."""
    promised = {"CONTENT_LENGTH": "100"}
    said = {"Upload-Checksum": checksum(b"x" * 100)}

    assert send(site.phone, upload, b"x" * 50, offset=0, headers=said, environ=promised).status_code == 408

    assert _offset(site, upload) == "0"


def test_a_terminated_upload_is_gone(site: Site, upload: str) -> None:
    answer = end(site.phone, upload)

    assert (answer.status_code, answer.data) == (204, b"")
    assert answer.headers["Tus-Resumable"] == "1.0.0"
    assert see(site.phone, upload).status_code == 404
    assert send(site.phone, upload, PIECE, offset=0).status_code == 404
    assert end(site.phone, upload).status_code == 404


def test_a_half_sent_photo_that_is_terminated_can_be_sent_anew(site: Site, photo: str) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    assert end(site.phone, photo).status_code == 204

    assert bring(site.phone, photo, CONTENT).headers["Upload-Offset"] == str(len(CONTENT))
    assert state_of(site, photo) == ("stored", None)


def test_ending_the_upload_of_a_stored_photo_destroys_no_photo(site: Site, photo: str) -> None:
    bring(site.phone, photo, CONTENT)

    assert end(site.phone, photo).status_code == 204

    assert site.phone.get(f"/api/photos/{photo}/full", buffered=True).data == CONTENT
    again = create(site.phone, photo, size_bytes=len(CONTENT))
    assert again.headers["Upload-Offset"] == str(len(CONTENT))
    assert state_of(site, photo) == ("stored", None)


def test_every_answer_says_until_when_the_upload_can_be_resumed(site: Site, upload: str, photo: str) -> None:
    now = dt.datetime.now(dt.UTC)
    answers = [
        make(site.phone),
        see(site.phone, upload),
        send(site.phone, upload, PIECE, offset=0),
        create(site.phone, photo, size_bytes=len(CONTENT)),
    ]

    days = [
        (parsedate_to_datetime(answer.headers["Upload-Expires"]) - now).total_seconds() / 86_400 for answer in answers
    ]

    assert days == pytest.approx([1, 1, 1, 14], abs=0.01)


def test_an_expired_upload_is_gone_even_before_anybody_has_tidied(site: Site, upload: str) -> None:
    with behind_the_wall(site.ana.company_id):
        moment_ago = dt.datetime.now(dt.UTC) - dt.timedelta(seconds=1)
        assert update_all(expires_at=moment_ago) == 1

    assert see(site.phone, upload).status_code == 404
    assert send(site.phone, upload, PIECE, offset=0).status_code == 404
    assert end(site.phone, upload).status_code == 404


def update_all(**values: Any) -> int:
    """Every upload of the company; how many there are."""
    return int(db.session.execute(update(Upload).values(**values)).rowcount)


@pytest.mark.parametrize("sent", ["POST", "GET"])
def test_a_line_that_lets_only_get_and_post_through_can_upload(site: Site, upload: str, sent: str) -> None:
    def ask(path: str, said: str, **asked: Any) -> TestResponse:
        headers = {**TUS, "X-HTTP-Method-Override": said, **asked.pop("headers", {})}
        return site.phone.open(path, method=sent, headers=headers, **asked)

    one = f"{UPLOADS}/{upload}"

    assert ask(UPLOADS, "OPTIONS").headers["Tus-Version"] == "1.0.0"
    assert ask(UPLOADS, "POST", headers={"Upload-Length": "10"}).status_code == 201
    patched = ask(one, "PATCH", headers={"Upload-Offset": "0"}, data=PIECE, content_type=BODY)
    assert (patched.status_code, patched.headers["Upload-Offset"]) == (204, "10")
    seen = ask(one, "head")
    assert (seen.status_code, seen.headers["Upload-Offset"], seen.headers["Content-Length"]) == (200, "10", "0")
    assert ask(f"{UPLOADS}/nothing", "HEAD").headers["Content-Length"] == "0"
    assert ask(one, "DELETE").status_code == 204
    assert see(site.phone, upload).status_code == 404


@pytest.mark.parametrize("said", ["PUT", "GET", "TRACE", "anything"])
def test_the_method_that_was_sent_does_not_count_also_where_the_other_is_not_taken(site: Site, said: str) -> None:
    answer = make(site.phone, X_HTTP_Method_Override=said)

    assert answer.status_code == (404 if said == "GET" else 405)
    assert "Location" not in answer.headers


def test_no_other_address_takes_its_method_from_a_header(site: Site) -> None:
    answer = site.phone.get("/api/sign-out", headers={"X-HTTP-Method-Override": "POST"})

    assert answer.status_code == 404
    assert site.phone.get("/api/me").status_code == 200


def test_a_method_that_is_not_taken_is_told_in_the_same_version(site: Site, upload: str) -> None:
    answer = site.phone.open(f"{UPLOADS}/{upload}", method="PUT", headers=TUS)

    assert answer.status_code == 405
    assert answer.headers["Tus-Resumable"] == "1.0.0"
