"""A wire that writes down what passes, so that one request can be taken apart to the byte."""

import socket
from contextlib import suppress
from dataclasses import dataclass, replace

from tests.phone.cutting_proxy import CHUNK, CuttingProxy, hang_up

# What a browser writes by itself into every request; no page can leave it out or shorten it. What it adds because
# the app asks for `no-store` is the app's.
OF_THE_BROWSER = ("user-agent", "sec-", "accept-encoding", "accept-language", "origin", "connection", "host")


@dataclass(frozen=True)
class Sent:
    """[B] One direction."""

    headers: int
    body: int
    of_the_browser: int = 0

    @property
    def whole(self) -> int:
        return self.headers + self.body

    @property
    def ours(self) -> int:
        """What the app and the server decide about."""
        return self.whole - self.of_the_browser


class Tap(CuttingProxy):
    """Keeps the bytes of both directions, connection after connection, until it is emptied."""

    def __init__(self, *, target_port: int) -> None:
        self.up = bytearray()
        self.down = bytearray()
        super().__init__(target_port=target_port)

    def empty(self) -> None:
        self.up.clear()
        self.down.clear()

    def _up(self, phone: socket.socket, server: socket.socket) -> None:
        _pass_on(phone, server, into=self.up)

    def _down(self, server: socket.socket, phone: socket.socket) -> None:
        _pass_on(server, phone, into=self.down)

    @property
    def requests(self) -> int:
        """How many passed: each begins with a line that ends in the version of HTTP."""
        return bytes(self.up).count(b" HTTP/1.1\r\n")


def _pass_on(one: socket.socket, other: socket.socket, *, into: bytearray) -> None:
    with suppress(OSError):
        while data := one.recv(CHUNK):
            into += data
            other.sendall(data)
    hang_up(one, other)


def taken_apart(message: bytes) -> tuple[list[bytes], Sent]:
    """(the lines of its head, how much of what there is)."""
    head, gap, body = message.partition(b"\r\n\r\n")
    return head.split(b"\r\n"), Sent(headers=len(head) + len(gap), body=len(body))


def request_taken_apart(message: bytes) -> Sent:
    """Told apart by who wrote it."""
    lines, sent = taken_apart(message)
    added = sum(len(line) + 2 for line in lines[1:] if line.decode().lower().startswith(OF_THE_BROWSER))
    return replace(sent, of_the_browser=added)
