"""The server is asked to stop, or told to, while somebody is in the middle of a request."""

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

STARTS_WITHIN_S = 30
BODY = b'{"email": "nobody@invented.example", "password": "an invented password"}'


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
        return port


class Running:
    """A real server with one worker, in a group of processes of its own, as a terminal would start it."""

    def __init__(self, settings: dict[str, str]) -> None:
        self.port = _free_port()
        self._lines: list[http.client.HTTPConnection] = []
        own = {"FLARENUT_PORT": str(self.port), "FLARENUT_WORKERS": "1", "FLARENUT_LOG_LEVEL": "error"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "flarenut.cli", "serve"],
            env={**os.environ, **own, **settings},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def accepts(self) -> bool:
        """Does anybody open the door?"""
        try:
            socket.create_connection(("127.0.0.1", self.port), timeout=5).close()
        except ConnectionError:
            return False
        return True

    def wait_until(self, *, accepting: bool) -> None:
        """Until the door is open, or shut."""
        until = time.monotonic() + STARTS_WITHIN_S
        while self.accepts() is not accepting:
            assert time.monotonic() < until, "the server neither starts nor stops"
            time.sleep(0.05)

    def line(self) -> http.client.HTTPConnection:
        """A line that is kept open between requests, as a proxy keeps it."""
        self._lines.append(http.client.HTTPConnection("127.0.0.1", self.port, timeout=20))
        return self._lines[-1]

    def leave(self) -> None:
        """Nothing of it stays behind, whatever the test found."""
        if self.process.poll() is None:
            os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait(10)
        for line in self._lines:
            line.close()

    def ready(self, line: http.client.HTTPConnection) -> tuple[int, dict[str, bool]]:
        """What /readyz says."""
        line.request("GET", "/readyz")
        answer = line.getresponse()
        return answer.status, json.loads(answer.read())

    def half_sent(self) -> http.client.HTTPConnection:
        """A sign-in of which only the beginning has arrived, and which a thread waits for."""
        line = self.line()
        line.putrequest("POST", "/api/sign-in")
        line.putheader("Content-Type", "application/json")
        line.putheader("Content-Length", str(len(BODY)))
        line.endheaders(BODY[:10])
        self.ready(self.line())  # by now the half has been read
        return line


@pytest.fixture
def running(migrated_app: Flask, tmp_path: Path) -> Iterator[Running]:
    """On the database of this run."""
    settings = {
        "FLARENUT_DATA": str(tmp_path),
        "DATABASE_URL": migrated_app.config["OWNER_URL"].render_as_string(hide_password=False),
        "DATABASE_APP_URL": migrated_app.config["SQLALCHEMY_DATABASE_URI"].render_as_string(hide_password=False),
    }
    server = Running(settings)
    try:
        server.wait_until(accepting=True)
        yield server
    finally:
        server.leave()


def test_asked_to_stop_it_shuts_the_door_says_so_and_ends_what_is_begun(running: Running) -> None:
    proxy = running.line()
    assert running.ready(proxy)[0] == 200
    begun = running.half_sent()

    running.process.terminate()
    running.wait_until(accepting=False)

    status, parts = running.ready(proxy)
    assert (status, parts["staying"], parts["database"]) == (503, False, True)
    begun.send(BODY[10:])
    assert begun.getresponse().status == 422  # read to its end and judged: it names no device
    assert running.process.wait(20) == 0


def test_ctrl_c_reaches_every_process_and_waits_for_nobody(running: Running) -> None:
    running.half_sent()

    os.killpg(running.process.pid, signal.SIGINT)

    assert running.process.wait(10) == 0  # a request that hangs would hold it for 30 s
    assert not running.accepts()


@pytest.fixture
def by_itself(tmp_path: Path) -> Iterator[Running]:
    """On an embedded database of its own."""
    server = Running({"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": "", "DATABASE_APP_URL": ""})
    try:
        server.wait_until(accepting=True)
        yield server
    finally:
        server.leave()


def test_ctrl_c_lets_go_of_the_embedded_database(by_itself: Running, tmp_path: Path) -> None:
    by_itself.half_sent()
    folder = tmp_path / "postgres"
    assert (folder / "postmaster.pid").exists()

    os.killpg(by_itself.process.pid, signal.SIGINT)

    assert by_itself.process.wait(25) == 0  # the half of a request would keep it for 30 s
    assert json.loads((folder / ".handle_pids.json").read_text()) == []
    assert not (folder / "postmaster.pid").exists()
