"""What is measured on: the real server on a database that flushes what it commits, the desk, and a phone under Node."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.bench.memory import Peaks
from tests.faults.database import Database
from tests.model.bench import NODE
from tests.model.desk import Desk
from tests.phone.server_process import ROOT, Server

PROGRAM = ROOT / "pwa" / "src" / "testing" / "bench" / "build.mjs"
# The page on which the app's own code runs in a browser; it is served by the real server under the real policy.
PAGE = "<!doctype html><meta charset=utf-8><title>bench</title><script src=/phone.js></script>"
LONGEST_S = 1_800


@dataclass
class Stand:
    """One server for everything that is measured; each measurement has a company of its own in it."""

    folder: Path
    peaks: Peaks
    server: Server = field(init=False)
    database: Database = field(init=False)
    desk: Desk = field(init=False)

    def start(self) -> None:
        """As `flarenut serve` starts it, with its own settings."""
        app = self.folder / "app"
        app.mkdir()
        (app / "index.html").write_text(PAGE)
        subprocess.run([str(NODE), str(PROGRAM), str(app)], check=True, cwd=ROOT)
        self.server = Server(data=self.folder / "data", app_dir=app)
        self.server.data.mkdir()
        self.server.environment["FLARENUT_LOG_LEVEL"] = "error"
        environment = {**self.server.environment, "PYTHONPATH": str(ROOT / "server")}
        upgrade = [sys.executable, "-m", "flarenut.cli", "db", "upgrade"]
        subprocess.run(upgrade, env=environment, check=True, cwd=ROOT, capture_output=True)
        self.server.start()
        self.database = Database(self.server.data)
        self.desk = Desk(self.database)

    def stop(self) -> None:
        self.desk.close()
        self.server.stop()
        self.database.stop()

    def pids(self) -> list[int]:
        """Of the server and of PostgreSQL, which is nobody's child."""
        postmaster = int((self.database.folder / "postmaster.pid").read_text().split()[0])
        return [postmaster, *([self.server.pid] if self.server.pid else [])]

    def cast(self) -> dict[str, Any]:
        """A new company: Ana's desk, and two phones of Ben's."""
        told = json.loads(json.dumps(self.desk.answer("/company", {}), default=str))
        return {phone["name"]: phone for phone in told["phones"]}

    def site(self) -> dict[str, Any]:
        """A new company with a job that Ben is on, and the phones that work on it."""
        cast = self.cast()
        technician = cast["ben-1"]["person"]["id"]
        site = self.on_a_phone("site", office=cast["ana-1"], technician_id=technician)
        return {"site": site, "writer": cast["ben-1"], "reader": cast["ben-2"]}

    def on_a_phone(self, what: str, **asked: Any) -> Any:
        """The app's own code under Node."""
        app = self.folder / "app"
        stand = {"app": str(app / "phone.js"), "port": self.server.port}
        line = [str(NODE), str(app / "run.mjs"), json.dumps({"what": what, **stand, **asked})]
        return run_node(line, peaks=self.peaks, name=f"{what}, phone")


def run_node(line: list[str], *, peaks: Peaks, name: str) -> Any:
    """What it prints, as JSON; its memory is looked at while it runs."""
    process = subprocess.Popen(line, stdout=subprocess.PIPE, text=True, env=dict(os.environ))
    with peaks.watching(name, pids=[process.pid]):
        told, _ = process.communicate(timeout=LONGEST_S)
    if process.returncode != 0:
        raise SystemExit(f"{name} could not be measured.")
    return json.loads(told)
