"""The embedded PostgreSQL is killed under the server."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from tests.server.test_stopping import Running

BACK_WITHIN_S = 60


@pytest.fixture
def running(tmp_path: Path) -> Iterator[Running]:
    """By itself, with its tables."""
    settings = {"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": "", "DATABASE_APP_URL": ""}
    upgrade = [sys.executable, "-m", "flarenut.cli", "db", "upgrade"]
    subprocess.run(upgrade, env={**os.environ, **settings}, check=True, stderr=subprocess.DEVNULL)
    server = Running(settings)
    try:
        server.wait_until(accepting=True)
        yield server
    finally:
        server.leave()


def _pid(folder: Path) -> int | None:
    """None for the moment in which the next one has put the file of the one before away."""
    with suppress(FileNotFoundError, IndexError):
        return int((folder / "postmaster.pid").read_text().split()[0])
    return None


def _wait_until_ready(server: Running) -> None:
    until = time.monotonic() + BACK_WITHIN_S
    while server.ready(server.line())[0] != 200:
        assert time.monotonic() < until, "the server is without its database"
        time.sleep(0.1)


def _kill(folder: Path) -> None:
    """And wait until another has come in its place."""
    killed, until = _pid(folder), time.monotonic() + BACK_WITHIN_S
    assert killed is not None
    os.kill(killed, signal.SIGKILL)
    while _pid(folder) in (killed, None):
        assert time.monotonic() < until, "nobody has started the database again"
        time.sleep(0.1)


def test_a_database_that_was_killed_is_started_again_and_stopped_with_the_server(
    running: Running, tmp_path: Path
) -> None:
    folder = tmp_path / "postgres"
    _wait_until_ready(running)

    for _ in range(2):
        _kill(folder)
        _wait_until_ready(running)
    running.process.terminate()

    assert running.process.wait(60) == 0
    assert json.loads((folder / ".handle_pids.json").read_text()) == []
    assert not (folder / "postmaster.pid").exists()
