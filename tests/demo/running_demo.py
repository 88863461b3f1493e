"""The command deploy/demo as somebody runs it in a terminal, on a folder of its own."""

import json
import os
import re
import signal
import socket
import subprocess
import time
import urllib.error
import urllib.request
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import psutil

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 300  # a machine on which only the tests were set up still has packages to install


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _hear_every_key() -> None:
    """As in a terminal. What a process ignores, those that it starts ignore too, and a run in the background does."""
    for key in (signal.SIGINT, signal.SIGQUIT, signal.SIGHUP):
        signal.signal(key, signal.SIG_DFL)


class Demo:
    """One run of the command. What it prints is kept, and can be waited for."""

    def __init__(self, data: Path, *arguments: str, port: int | None = None) -> None:
        self.port = port or free_port()
        self.database = data / "postgres" / "postmaster.pid"
        self._said = data.parent / f"said-{time.monotonic_ns()}.txt"
        command = [str(ROOT / "deploy" / "demo"), "--port", str(self.port), "--data", str(data), *arguments]
        environment = {name: value for name, value in os.environ.items() if not name.startswith("DATABASE_")}
        with self._said.open("wb") as said:
            self.process = subprocess.Popen(
                command,
                stdout=said,
                stderr=said,
                start_new_session=True,
                env=environment,
                preexec_fn=_hear_every_key,  # noqa: PLW1509 -- no other thread of a test holds a lock.
            )

    @property
    def said(self) -> str:
        return self._said.read_text()

    def wait_until_it_says(self, words: str) -> None:
        self._wait_until(lambda: words in self.said)

    def wait_until_its_database_is_held(self) -> None:
        """It runs, and whoever started it has written down that it is theirs to stop."""
        held = self.database.with_name(".handle_pids.json")
        self._wait_until(lambda: self.database.exists() and held.exists() and bool(re.search(r"\d", held.read_text())))

    def _wait_until(self, true: Callable[[], bool]) -> None:
        until = time.monotonic() + PATIENCE_S
        while not true():
            assert self.process.poll() is None, self.said
            assert time.monotonic() < until, self.said
            time.sleep(0.05)

    def wait_until_up(self) -> None:
        self.wait_until_it_says("Ctrl-C stops it")

    def wait_until_it_ends(self) -> int:
        return self.process.wait(PATIENCE_S)

    def ctrl_c(self) -> int:
        """Reaches every process of the terminal, as the key does."""
        os.killpg(self.process.pid, signal.SIGINT)
        return self.wait_until_it_ends()

    def kill_the_server(self) -> None:
        """As a power cut would, but the database survives it: it is of another group, and another user."""
        [server] = [one for one in psutil.Process(self.process.pid).children() if "serve" in _line_of(one)]
        for one in [server, *server.children(recursive=True)]:
            with suppress(psutil.NoSuchProcess):  # a worker ends by itself when its master is gone
                one.kill()

    def leave(self) -> None:
        """Nothing of it stays behind, whatever the test found."""
        if self.process.poll() is None:
            self.process.terminate()
            self.wait_until_it_ends()

    def printed_for(self, role: str) -> list[str]:
        """What stands behind a role in the welcome: email and password, or the link."""
        found = re.search(rf"^  {role} +(.+)$", self.said, re.MULTILINE)
        assert found, self.said
        return found[1].split()

    def ask(self, path: str, *, body: Any = None, cookie: str = "") -> tuple[Any, str]:
        """One request of the API; gives the answer and the cookie that came with it."""
        headers = {"Content-Type": "application/json", "X-Flarenut-As": "device", "Cookie": cookie}
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}{path}",
            data=None if body is None else json.dumps(body).encode(),
            headers={**headers, "Origin": f"http://127.0.0.1:{self.port}"},
        )
        with urllib.request.urlopen(request, timeout=30) as answer:
            return json.load(answer), (answer.headers["Set-Cookie"] or "").partition(";")[0]

    def ask_status(self, path: str, *, cookie: str) -> int:
        try:
            self.ask(path, cookie=cookie)
        except urllib.error.HTTPError as refused:
            return refused.code
        return 200


def _line_of(process: psutil.Process) -> list[str]:
    """What said the last words of the welcome may be ending: it has no line any more, and is no server."""
    try:
        return process.cmdline()
    except psutil.Error:
        return []
