"""The body of a request, as it comes in from a poor line: in pieces, and never as a whole.

Without a checksum, what came is handed on at once, so that a cut keeps it. With one, nothing is handed
on before all of it has been judged: bytes that nobody could verify are not counted.

A thread of its own waits for the line. So bytes are handed on also while nothing more comes, and a
request that was replaced by a newer one learns of it without a sign from its dead line.
"""

import io
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from queue import Empty, SimpleQueue
from socket import SHUT_RD
from threading import Event, Thread
from typing import Any

from flask import Request
from gunicorn.http.body import Body
from gunicorn.http.errors import ParseException
from werkzeug.exceptions import BadRequest, ClientDisconnected, HTTPException

from flarenut.photos.tus import Checksum
from flarenut.photos.uploads import past_the_end

READ_BYTES = 64 * 1024  # at most so many at once, of those that are here (P)
PIECE_BYTES = 512 * 1024  # one transaction each; as much as the phone sends in one request
PIECE_S = 0.25  # a slow line hands on what it has brought, however little

# A phone that has changed its network leaves a dead line behind, on which nothing ever comes again.
# As long as the phone itself waits for a sign of life.
SILENCE_S = 30

DONE_WITHIN_S = 0.05  # a thread that has read the last byte needs a moment to end (P)

HEAR_OUT_S = 10  # a phone sends a piece in less, or may as well be cut off (P)
BLOCK_BYTES = 64 * 1024

# In the environment of a request whose body is being read, or was: was it read to its end?
_HEARD = "flarenut.heard"

Read = bytes | Exception | None


class Cut(Exception):
    """The line was cut, or nothing came for too long."""


def pieces(request: Request, *, room_bytes: int, checksum: Checksum) -> Iterator[bytes]:
    """What is to be written down, in order. An empty piece is a pause: time to ask whether to go on."""
    request.max_content_length = room_bytes + READ_BYTES
    with _listening(request) as arrived:
        reads = _in_room(_reads(arrived), room_bytes=room_bytes)
        yield from _verified(reads, checksum=checksum) if checksum.is_said else _as_it_comes(reads)


def _as_it_comes(reads: Iterator[bytes]) -> Iterator[bytes]:
    gathered, since = bytearray(), time.monotonic()
    try:
        for read in reads:
            gathered += read
            if not read or len(gathered) >= PIECE_BYTES or time.monotonic() - since >= PIECE_S:
                yield bytes(gathered)
                gathered.clear()
                since = time.monotonic()
    except (Cut, BadRequest):  # what came before it is as good as any
        if gathered:
            yield bytes(gathered)
        raise
    if gathered:
        yield bytes(gathered)


def _verified(reads: Iterator[bytes], *, checksum: Checksum) -> Iterator[bytes]:
    whole = io.BytesIO()
    for read in reads:
        checksum.take(read)
        whole.write(read)
        if not read:
            yield read
    checksum.judge()
    whole.seek(0)
    while piece := whole.read(PIECE_BYTES):
        yield piece


def _in_room(reads: Iterator[bytes], *, room_bytes: int) -> Iterator[bytes]:
    """A body of unknown length must end where the upload does."""
    for read in reads:
        room_bytes -= len(read)
        if room_bytes < 0:
            raise past_the_end()
        yield read


def _reads(arrived: SimpleQueue[Read]) -> Iterator[bytes]:
    """What the thread has read; nothing, each time that nothing came for a moment."""
    heard_at = time.monotonic()
    while True:
        try:
            read = arrived.get(timeout=PIECE_S)
        except Empty:
            if time.monotonic() - heard_at > SILENCE_S:
                raise Cut from None
            yield b""
            continue
        heard_at = time.monotonic()
        if isinstance(read, Exception):
            raise read
        if read is None:
            return
        yield read


def is_heard_out(request: Request, *, most_bytes: int) -> bool:
    """Let a body that nobody wanted arrive: many a client looks at the answer only once it has sent everything.

    Of one that is longer, or stays away, nobody knows where the next request on this line would begin.
    """
    if _HEARD in request.environ:
        return bool(request.environ[_HEARD])
    if (request.content_length or 0) > most_bytes:
        return False
    until, room_bytes = time.monotonic() + HEAR_OUT_S, most_bytes
    with suppress(OSError, ParseException):
        while time.monotonic() < until and room_bytes >= 0:
            read = request.environ["wsgi.input"].read(BLOCK_BYTES)
            if not read:
                return True
            room_bytes -= len(read)
    return False


@contextmanager
def _listening(request: Request) -> Iterator[SimpleQueue[Read]]:
    """Whatever ends it, nobody listens afterwards: the next request on this line must find it untouched."""
    arrived: SimpleQueue[Read] = SimpleQueue()
    ended, is_cut = Event(), False
    request.environ[_HEARD] = False
    body = request.environ["wsgi.input"]
    request.environ["wsgi.input"] = _AsItComes(body) if isinstance(body, Body) else body
    listener = Thread(target=_listen, args=(request.stream, arrived, ended), name="listener", daemon=True)
    listener.start()
    try:
        yield arrived
    except BaseException:
        line: Any = request.environ.get("gunicorn.socket")
        listener.join(DONE_WITHIN_S)
        if line is not None and listener.is_alive():  # a body that was read to its end leaves a good line
            is_cut = True
            with suppress(OSError):
                line.shutdown(SHUT_RD)  # wakes the listener; the answer still goes out
        raise
    finally:
        listener.join(SILENCE_S)
        request.environ[_HEARD] = ended.is_set() and not is_cut


def _listen(stream: Any, arrived: SimpleQueue[Read], ended: Event) -> None:
    try:
        while read := stream.read(READ_BYTES):
            arrived.put(read)
        ended.set()
        arrived.put(None)
    except (ClientDisconnected, OSError):
        arrived.put(Cut())
    except HTTPException as error:  # the body is longer than this address takes
        arrived.put(error)
    except ParseException:  # what says how long the next chunk is says nothing
        arrived.put(BadRequest())


class _AsItComes:
    """gunicorn waits for as many bytes as were asked for; here a reader gets those that are here, one at least.

    Else a cut would lose those of the read that is under way.
    """

    def __init__(self, body: Any) -> None:
        self._body = body

    def read(self, size: int) -> bytes:
        """At most so many bytes; none at the end of the body."""
        reader = self._body.reader
        held_bytes = getattr(reader, "unreader", reader).buf.tell()
        read: bytes = self._body._read_reader(max(1, min(held_bytes, size)))  # noqa: SLF001 -- read() waits for all.
        return read
