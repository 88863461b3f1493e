"""A line after a refusal, a line that is no HTTP any more, and a line on which half a request was said."""

import base64
import http.client
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from tests.server.photos.running import headers_of, serving
from tests.server.photos.sending import BODY, TUS, UPLOADS, announce, checksum, create, id_of, make
from tests.server.site import Site

SILENCE_S = 5  # no thread of a busy machine stands still as long in the middle of a body
AT_ONCE_S = 10  # generous on a busy machine


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the server, where its log is."""
    return tmp_path_factory.mktemp("server")


@pytest.fixture(scope="module")
def server(migrated_app: Flask, data: Path) -> Iterator[int]:
    """One worker with one thread: who keeps it keeps the server. It waits five seconds instead of thirty."""
    first = (
        f"from flarenut import serving; serving.SILENCE_S = {SILENCE_S}\n"
        "from flarenut.photos import incoming; incoming.DONE_WITHIN_S = 1"  # on a busy machine
    )
    with serving(migrated_app, data=data, workers=1, first=first, FLARENUT_THREADS="1") as port:
        yield port


@pytest.fixture
def line(site: Site, server: int) -> Iterator[http.client.HTTPConnection]:
    """Ben's phone on a line that stays open from one request to the next."""
    line = http.client.HTTPConnection("127.0.0.1", server, timeout=SILENCE_S + AT_ONCE_S)
    line.auto_open = 0
    line.connect()
    line.own = {**TUS, **headers_of(site.phone)}  # type: ignore[attr-defined]
    yield line
    line.close()


def _ask(line: http.client.HTTPConnection, method: str, path: str, body: bytes = b"", **said: str) -> tuple[int, str]:
    """The status, and the offset that was told."""
    headers = {**line.own, **{name.replace("_", "-"): value for name, value in said.items()}}  # type: ignore[attr-defined]
    line.request(method, path, body=body or None, headers=headers)
    answer = line.getresponse()
    answer.read()
    return answer.status, answer.headers.get("Upload-Offset", "")


def test_after_damaged_bytes_the_same_line_takes_the_right_ones(site: Site, line: http.client.HTTPConnection) -> None:
    one = f"{UPLOADS}/{id_of(make(site.phone))}"
    said = {"Content_Type": BODY, "Upload_Offset": "0", "Upload_Checksum": checksum(b"right")}

    told = [_ask(line, "PATCH", one, body, **said) for body in (b"wrong", b"right")]

    assert told == [(460, ""), (204, "5")]


def test_a_large_body_that_is_refused_arrives_and_so_does_the_answer(
    site: Site, line: http.client.HTTPConnection
) -> None:
    one, large = f"{UPLOADS}/{id_of(make(site.phone))}", b"x" * 15_000_000

    told = [
        _ask(line, "PATCH", one, large, Content_Type=BODY, Upload_Offset="7"),
        _ask(line, "PATCH", one, large, Content_Type=BODY, Upload_Offset="0"),
        _ask(line, "PATCH", one, large, Content_Type="text/plain", Upload_Offset="0"),
        _ask(line, "HEAD", one),
    ]

    assert told == [(409, "0"), (413, ""), (415, ""), (200, "0")]


def test_a_second_create_answers_how_far_the_first_came_whatever_body_it_brings(
    site: Site, issue: str, line: http.client.HTTPConnection
) -> None:
    whole = b"x" * 15_000_000
    photo = str(announce(site.phone, site, whole, issue_id=issue)["photo"])
    create(site.phone, photo, size_bytes=len(whole), body=whole[:1_000])
    named = f"photo_id {base64.b64encode(photo.encode()).decode()}"

    told = _ask(line, "POST", UPLOADS, whole, Content_Type=BODY, Upload_Length=str(len(whole)), Upload_Metadata=named)

    assert told == (201, "1000")


def test_a_chunk_whose_length_cannot_be_read_is_refused_at_once(site: Site, line: http.client.HTTPConnection) -> None:
    """Told by what it answers: a body that went silent gets another one (408)."""
    line.putrequest("PATCH", f"{UPLOADS}/{id_of(make(site.phone))}")
    for name, value in {**line.own, "Transfer-Encoding": "chunked", "Upload-Offset": "0", "Content-Type": BODY}.items():  # type: ignore[attr-defined]
        line.putheader(name, value)
    line.endheaders()
    line.send(b"no length\r\nbytes\r\n")

    answer = line.getresponse()
    assert (answer.status, answer.headers["Connection"]) == (400, "close")


def test_a_body_that_is_too_long_to_be_heard_out_is_told_that_the_line_ends(
    site: Site, line: http.client.HTTPConnection
) -> None:
    line.putrequest("PATCH", f"{UPLOADS}/{id_of(make(site.phone))}")
    said = {"Content-Type": BODY, "Upload-Offset": "0", "Content-Length": str(LARGEST_PHOTO_BYTES + 1)}
    for name, value in {**line.own, **said}.items():  # type: ignore[attr-defined]
        line.putheader(name, value)
    line.endheaders()
    line.send(b"the beginning")

    answer = line.getresponse()

    assert (answer.status, answer.headers["Connection"]) == (413, "close")


def test_a_refused_body_in_chunks_arrives_and_the_line_goes_on(site: Site, line: http.client.HTTPConnection) -> None:
    one = f"{UPLOADS}/{id_of(make(site.phone))}"
    chunks = (b"x" * 100_000 for _ in range(20))
    said = {**line.own, "Content-Type": "text/plain", "Upload-Offset": "0"}  # type: ignore[attr-defined]

    line.request("PATCH", one, body=chunks, headers=said, encode_chunked=True)
    answer = line.getresponse()
    answer.read()

    assert (answer.status, answer.headers["Connection"]) == (415, "keep-alive")
    assert _ask(line, "HEAD", one) == (200, "0")


def test_a_phone_whose_line_was_silent_in_the_middle_of_a_push_is_told_later(line: http.client.HTTPConnection) -> None:
    """Told that it makes no sense (400), a phone would set the change aside."""
    line.putrequest("POST", "/api/sync/push")
    for name, value in {**line.own, "Content-Type": "application/json", "Content-Length": "900"}.items():  # type: ignore[attr-defined]
        line.putheader(name, value)
    line.endheaders()
    line.send(b'{"lanes": [')

    assert line.getresponse().status == 408


def test_half_a_request_keeps_the_server_from_nobody_for_long(server: int, data: Path) -> None:
    lines = [socket.create_connection(("127.0.0.1", server)) for _ in range(2)]
    for half in lines:
        half.sendall(b"GET /readyz HTTP/1.1\r\nHost: loc")

    whole = http.client.HTTPConnection("127.0.0.1", server, timeout=len(lines) * SILENCE_S + AT_ONCE_S)
    whole.request("GET", "/readyz")

    assert whole.getresponse().status == 200
    assert "Traceback" not in (data / "server.log").read_text()
    for each in (*lines, whole):
        each.close()
