"""How the body of a request is read: on lines that are slow, dead or longer than they said."""

import socket
import time
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask, Request
from gunicorn.http.body import Body, ChunkedReader, LengthReader
from gunicorn.http.unreader import SocketUnreader
from werkzeug.exceptions import BadRequest

from flarenut.errors import TooLarge
from flarenut.photos import incoming
from flarenut.photos.incoming import Cut, pieces
from flarenut.photos.tus import Checksum, TusError
from tests.server.photos.sending import checksum


class Line:
    """A phone's end, and the request at the server's end; in chunks where nothing is promised."""

    def __init__(self, app: Flask, *, promised: int | None = None, headers: dict[str, str] | None = None) -> None:
        self.phone, server = socket.socketpair()
        unreader = SocketUnreader(server)
        reader = ChunkedReader(None, unreader) if promised is None else LengthReader(unreader, promised)
        chunked = {"HTTP_TRANSFER_ENCODING": "chunked", "wsgi.input_terminated": True}
        environ = {
            "REQUEST_METHOD": "PATCH",
            **(chunked if promised is None else {"CONTENT_LENGTH": str(promised)}),
            "wsgi.input": Body(reader),
            "gunicorn.socket": server,
            **{f"HTTP_{name}": value for name, value in (headers or {}).items()},
        }
        self._ends = [self.phone, server]
        with app.test_request_context():
            self.request = Request(environ)

    def pieces(self, *, room: int = 1_000_000) -> Iterator[bytes]:
        return pieces(self.request, room_bytes=room, checksum=Checksum(self.request))

    def close(self) -> None:
        for end in self._ends:
            end.close()


@pytest.fixture
def line(app: Flask) -> Iterator[Any]:
    """A line of any kind."""
    made: list[Line] = []

    def make(**asked: Any) -> Line:
        made.append(Line(app, **asked))
        return made[-1]

    yield make
    for each in made:
        each.close()


def test_a_body_comes_in_pieces_of_one_transaction_each(line: Any) -> None:
    body = bytes(range(256)) * 1_200
    poor = line(promised=len(body))
    coming = poor.pieces()
    poor.phone.setblocking(False)
    sent, got = 0, []

    while sent < len(body) or sum(map(len, got)) < len(body):
        try:
            sent += poor.phone.send(body[sent : sent + 50_000])
        except BlockingIOError:
            got.append(next(coming))
        if sent == len(body):
            got += list(coming)

    assert b"".join(got) == body
    assert max(map(len, got)) <= incoming.PIECE_BYTES + incoming.READ_BYTES


CHUNK = b"%x\r\n%s\r\n"
FEW = b"x" * 100
WAYS = {"whole": (10_000, FEW), "in_chunks": (None, CHUNK % (len(FEW), FEW))}


@pytest.mark.parametrize("way", WAYS)
def test_what_came_is_handed_on_while_nothing_more_comes_however_little(line: Any, way: str) -> None:
    promised, sent = WAYS[way]
    slow = line(promised=promised)
    coming = slow.pieces()
    slow.phone.sendall(sent)

    began = time.monotonic()
    first = next(piece for piece in coming if piece)  # none, where nothing had come yet

    assert first == FEW
    assert time.monotonic() - began < incoming.SILENCE_S
    assert next(coming) == b""  # a pause, to ask whether a newer request has taken over
    coming.close()


def test_a_dead_line_is_given_up_after_a_silence_and_what_came_is_kept(
    line: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    dead = line(promised=10_000)
    dead.phone.sendall(b"x" * 4_000)
    coming = dead.pieces()
    got = bytearray(next(piece for piece in coming if piece))
    monkeypatch.setattr(incoming, "SILENCE_S", 1)

    with pytest.raises(Cut):
        _into(got, coming)

    assert got == b"x" * 4_000


def _into(got: bytearray, coming: Iterator[bytes]) -> None:
    """Each piece as it comes, before the next is asked for."""
    for piece in coming:
        got += piece


def test_a_line_that_is_cut_hands_on_all_that_came(line: Any) -> None:
    cut = line(promised=10_000)
    cut.phone.sendall(b"x" * 5_000)
    cut.phone.close()
    got = bytearray()

    with pytest.raises(Cut):
        _into(got, cut.pieces())

    assert got == b"x" * 5_000


@pytest.mark.parametrize("ending", [b"", b"1", b"zz\r\n"], ids=["cut", "cut_between", "no_chunk_at_all"])
def test_a_body_in_chunks_that_breaks_off_hands_on_all_that_came(line: Any, ending: bytes) -> None:
    cut = line()
    cut.phone.sendall(CHUNK % (5_000, b"x" * 5_000) + ending)
    cut.phone.close()
    got = bytearray()

    with pytest.raises((Cut, BadRequest)):
        _into(got, cut.pieces())

    assert got == b"x" * 5_000


def test_a_chunk_that_is_cut_in_the_middle_hands_on_what_came_of_it(line: Any) -> None:
    cut = line()
    cut.phone.sendall(b"1388\r\n" + b"x" * 300)
    cut.phone.close()
    got = bytearray()

    with pytest.raises((Cut, BadRequest)):
        _into(got, cut.pieces())

    assert got == b"x" * 300


@pytest.mark.parametrize("said", [b"x" * 5_000, b"y" * 5_000], ids=["right", "wrong"])
def test_bytes_with_a_checksum_are_judged_before_any_is_handed_on(line: Any, said: bytes) -> None:
    checked = line(promised=5_000, headers={"UPLOAD_CHECKSUM": checksum(said)})
    checked.phone.sendall(b"x" * 5_000)
    got = bytearray()

    if said[:1] == b"x":
        _into(got, checked.pieces())
    else:
        with pytest.raises(TusError):
            _into(got, checked.pieces())

    assert got == (said if said[:1] == b"x" else b"")


def test_a_body_that_goes_on_past_the_end_is_refused(line: Any) -> None:
    endless = line(promised=5_000)
    endless.phone.sendall(b"x" * 5_000)

    with pytest.raises(TooLarge):
        list(endless.pieces(room=4_000))
