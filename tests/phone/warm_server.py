"""The server of a story, begun by a process that has read all its code already: a second of a core less each time.

It is a process of its own like any other, with its own environment, log and workers. Stories that are about the
command itself, and all that kill servers, start the command.
"""

import atexit
import multiprocessing
import os
import subprocess
from pathlib import Path

from tests.phone.server_process import Server

_warm = multiprocessing.get_context("forkserver")
_warm.set_forkserver_preload(["flarenut.app", "flarenut.serving", "tests.phone.warm_server"])


def _serve(port: int, environment: dict[str, str], log: str) -> None:
    os.setsid()
    os.environ.clear()
    os.environ.update(environment)
    for stream in (1, 2):
        os.dup2(os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT), stream)

    from flarenut.cli import main  # noqa: PLC0415 -- here, as `python -m flarenut.cli` would.

    try:
        main(["serve", "--port", str(port)])
    finally:
        # A process begun in this way ends without them, and the database would go on.
        atexit._run_exitfuncs()


class _Begun:
    """Such a process with the verbs of one that was started by a command."""

    def __init__(self, port: int, *, environment: dict[str, str], log: Path) -> None:
        self._process = _warm.Process(target=_serve, args=(port, environment, str(log)))
        self._process.start()
        assert self._process.pid is not None
        self.pid = self._process.pid

    def poll(self) -> int | None:
        return self._process.exitcode

    def terminate(self) -> None:
        self._process.terminate()

    def wait(self, timeout: float) -> None:
        self._process.join(timeout)
        if self._process.exitcode is None:
            raise subprocess.TimeoutExpired("flarenut serve", timeout)


class WarmServer(Server):
    """`flarenut serve`, begun warm."""

    def launch(self) -> None:
        self._process = _Begun(self.port, environment=self.environment, log=self.log)
