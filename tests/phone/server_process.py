"""The real server as its own process, which a story can stop, kill and start again on the same data."""

import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import suppress
from pathlib import Path
from typing import Protocol

ROOT = Path(__file__).resolve().parents[2]
READY_WITHIN_S = 60
STOPPED_WITHIN_S = 30
# Where each server of these stories writes, by its address: whoever is refused there can say why.
LOGS: dict[str, Path] = {}


# Below the ports that systems hand out to whoever asks for any (Linux 32768, IANA 49152, S).
LASTING_PORTS = range(20_000, 32_000)


def free_port() -> int:
    """A port that nothing listens on at this moment."""
    return _bound(0)


def lasting_port() -> int:
    """One that is free now, and that nobody is given by chance while servers come and go on it."""
    while True:
        with suppress(OSError):
            return _bound(secrets.choice(LASTING_PORTS))


def _bound(port: int) -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", port))
        return int(probe.getsockname()[1])


class Begun(Protocol):
    """A process that was started, and what a story does with it."""

    pid: int

    def poll(self) -> int | None: ...

    def terminate(self) -> None: ...

    def wait(self, timeout: float) -> object: ...


class Server:
    """`flarenut serve` with a data folder of its own and the embedded PostgreSQL."""

    def __init__(self, *, data: Path, app_dir: Path, port: int | None = None) -> None:
        self.data = data
        self.port = port or free_port()
        self.origin = f"http://localhost:{self.port}"
        self.environment: dict[str, str] = {
            **{name: value for name, value in os.environ.items() if name != "DATABASE_URL"},
            "FLARENUT_DATA": str(data),
            "FLARENUT_APP_DIR": str(app_dir),
        }
        self.log = data / "server.log"
        LOGS[self.origin] = self.log
        self._process: Begun | None = None

    def start(self) -> None:
        self.launch()
        self.wait_until_ready()

    def launch(self) -> None:
        """Start it without waiting for it."""
        command = [sys.executable, "-m", "flarenut.cli", "serve", "--port", str(self.port)]
        with self.log.open("ab") as log:
            self._process = subprocess.Popen(
                command, env=self.environment, stdout=log, stderr=log, start_new_session=True
            )

    @property
    def pid(self) -> int | None:
        """Of the process that stays; none when it has ended by itself or was ended."""
        return self._process.pid if self._process is not None and self._process.poll() is None else None

    def wait_until_ready(self) -> None:
        deadline = time.monotonic() + READY_WITHIN_S
        while not self.is_ready():
            if self.pid is None or time.monotonic() > deadline:
                raise AssertionError(self.log.read_text()[-4000:])
            time.sleep(0.1)

    def is_ready(self) -> bool:
        """Does it say of itself that it can do its work?"""
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/readyz", timeout=5) as answer:
                return bool(answer.status == 200)
        except (urllib.error.URLError, OSError):
            return False

    def stop(self) -> None:
        """As Ctrl-C would: the database is stopped as well."""
        if self._process is not None:
            self._process.terminate()
            self._process.wait(STOPPED_WITHIN_S)
            self._process = None

    def kill(self) -> None:
        """As a power cut would end the server and its workers, in the middle of whatever they do."""
        if self._process is not None:
            os.killpg(self._process.pid, signal.SIGKILL)
            self._process.wait(STOPPED_WITHIN_S)
            self._process = None
