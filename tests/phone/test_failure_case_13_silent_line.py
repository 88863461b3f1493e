"""Failure case 13 of sync: requests arrive and answers do not, nobody closes the line, and it heals with nothing new.

Ten minutes of it are passed in `pwa/src/sync/silence.test.ts` and, without a browser, in `tests/faults`; here the
silence ends while the first answer is still waited for.
"""

import socket
import time
from collections.abc import Callable, Iterator
from contextlib import suppress

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.cutting_proxy import CHUNK, CuttingProxy, hang_up
from tests.phone.entering import sign_in
from tests.phone.looking import look_at
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

WORDS = "Drips onto the desk"
EMPTY_WITHIN_MS = 10_000
SILENT_WITHIN_S = 20
LOOK_MS = 100


class SilentProxy(CuttingProxy):
    """While it is silent what the server answers is lost. A line on which something was lost stays dead, and open."""

    is_silent = False

    def __init__(self, *, target_port: int) -> None:
        self.lost = 0
        super().__init__(target_port=target_port)

    def _down(self, server: socket.socket, phone: socket.socket) -> None:
        is_dead = False
        with suppress(OSError):
            while data := server.recv(CHUNK):
                if self.is_silent:
                    is_dead = True
                    self.lost += 1
                elif not is_dead:
                    phone.sendall(data)
        if not is_dead:
            hang_up(phone, server)


@pytest.fixture
def wire(own_demo: Server) -> Iterator[SilentProxy]:
    wire = SilentProxy(target_port=own_demo.port)
    yield wire
    wire.close()


def test_case_13_a_line_that_was_silent_while_an_answer_was_waited_for_is_noticed_and_the_queue_empties(
    own_demo: Server, wire: SilentProxy, open_device: OpenDevice
) -> None:
    ben, places = open_device("ben", origin=wire.origin), Places.on(own_demo.origin)
    sign_in(ben, person=BEN)
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    ben.go(f"{places.job}/log?unit={places.units['L2-03']}")
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_label("In your words").fill(WORDS)

    wire.is_silent = True
    save_issue(ben.page)
    # The answer to the push, or to a pull that was under way; and that to whether the line is there.
    _until(ben.page.wait_for_timeout, lambda: wire.lost > 1)
    expect(ben.page.get_by_text("Sending 1 thing")).to_be_visible()
    look_at(ben.page)
    wire.is_silent = False

    expect(ben.page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=EMPTY_WITHIN_MS)
    issues = ServerView(own_demo.origin, person=ANA).rows("issue")
    assert [row["words"] for row in issues].count(WORDS) == 1


def _until(pause: Callable[[float], None], is_so: Callable[[], bool]) -> None:
    deadline = time.monotonic() + SILENT_WITHIN_S
    while not is_so():
        assert time.monotonic() < deadline, "No second question was asked."
        pause(LOOK_MS)
