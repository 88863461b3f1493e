"""The real stack: gunicorn with three workers, the embedded PostgreSQL, a wire that loses answers, and phones."""

import json
import os
import random
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import psutil
from demo_seed.people import ANA, BEN, DEE, DemoPerson

from tests.builders.jobs import a_sheet
from tests.faults.database import Database
from tests.faults.deeds import Site
from tests.faults.fault_proxy import FaultProxy
from tests.faults.journal import Journal
from tests.faults.lanes import new_id
from tests.faults.phone import Phone
from tests.faults.wire import over_http
from tests.phone.server_process import ROOT, Server, lasting_port

WORKERS = 3
LOOK_S = 0.1
NOTICED_S = 0.005


class Stack:
    """One server on a data folder of its own, kept up as a service manager would keep it up."""

    def __init__(self, data: Path, *, seed: str) -> None:
        self.data = data
        self.database = Database(data)
        self.server = Server(data=data, app_dir=data / "no-app-is-built-here", port=lasting_port())
        self.server.environment |= {"FLARENUT_WORKERS": str(WORKERS), "FLARENUT_LOG_LEVEL": "error"}
        self.restarts = 0
        self._keeping = threading.Event()
        self._keeper: threading.Thread | None = None
        self._prepare()
        self.server.start()
        self.proxy = FaultProxy(target_port=self.server.port, seed=seed)

    def _prepare(self) -> None:
        """Tables, and the invented people."""
        self.command("db", "upgrade")
        self._python("demo_seed.companies")

    def command(self, *arguments: str) -> None:
        """One of the product's own, on this data."""
        self._python("flarenut.cli", *arguments)

    def _python(self, *module: str) -> None:
        environment = {**self.server.environment, "PYTHONPATH": f"{ROOT}:{ROOT / 'server'}"}
        line = [sys.executable, "-m", *module]
        done = subprocess.run(line, env=environment, check=False, cwd=ROOT, timeout=300, capture_output=True)
        assert done.returncode == 0, done.stderr.decode()[-3000:]

    def phone_of(self, person: DemoPerson, *, folder: Path, port: int = 0) -> Phone:
        """A phone inside this process, signed in, on the wire that loses answers or on one that does not."""
        folder.mkdir(parents=True, exist_ok=True)
        phone = Phone(Journal(folder / "journal"), ask=over_http(port or self.server.port))
        assert phone.sign_in(email=person.email, password=person.password)
        assert phone.pull() == "done"
        return phone

    def keep_up(self) -> None:
        """From now on a server that is gone is started again at once."""
        self._keeping.set()
        self._keeper = threading.Thread(target=self._keep, daemon=True)
        self._keeper.start()

    def leave_alone(self) -> None:
        self._keeping.clear()
        if self._keeper is not None:
            self._keeper.join()

    def _keep(self) -> None:
        while self._keeping.is_set():
            if self.server.pid is None:
                self.restarts += 1
                self.server.launch()
            threading.Event().wait(LOOK_S)

    def kill_everything(self) -> bool:
        """The server with all its workers, as a power cut would."""
        return self._kill(os.killpg)

    def kill_master(self) -> bool:
        """Only the process that stays: its workers notice, and end what they do."""
        return self._kill(os.kill)

    def _kill(self, kill: Callable[[int, int], None]) -> bool:
        """False when there was nothing to be killed. Until its end is noticed it could be killed and counted twice."""
        pid = self.server.pid
        try:
            if pid is not None:
                kill(pid, signal.SIGKILL)
        except ProcessLookupError:
            return False
        while pid is not None and self.server.pid == pid:
            threading.Event().wait(NOTICED_S)
        return pid is not None

    def kill_worker(self, chance: random.Random) -> bool:
        """One of the three, in the middle of whatever it does."""
        pid = self.server.pid
        try:
            workers = psutil.Process(pid).children() if pid is not None else []
            running = [one for one in workers if one.status() != psutil.STATUS_ZOMBIE]
            if running:
                chance.choice(sorted(running, key=lambda one: one.pid)).kill()
        except psutil.NoSuchProcess:
            return False
        return bool(running)

    def stop(self) -> None:
        """In good order, with its database."""
        self.server.stop()
        self.database.stop()

    def close(self) -> None:
        self.leave_alone()
        self.proxy.close()
        self.stop()


@dataclass
class PhoneProcess:
    """A phone in a process of its own."""

    folder: Path
    process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        # Without site-packages, which it does not need, it is there in a twentieth of a second.
        line = [sys.executable, "-S", "-m", "tests.faults.phone_process", str(self.folder)]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(line, cwd=ROOT, stdout=log, stderr=log)

    def kill(self) -> bool:
        """Kill -9. False when it had ended by itself, which it never should."""
        assert self.process is not None
        was_alive = self.process.poll() is None
        self.process.kill()
        self.process.wait()
        return was_alive


def phones_told(stack: Stack, *, folder: Path, sites: list[Site], count: int, seed: str) -> list[PhoneProcess]:
    """Phones of three people; they have not been started yet."""
    phones: list[PhoneProcess] = []
    for place in range(count):
        person = (BEN, DEE, ANA)[place % 3]
        told = {
            "name": f"phone {place}",
            "place": place,
            "phones": count,
            "port": stack.proxy.port,
            "person": {"email": person.email, "password": person.password},
            "sites": [{"job": site.job, "units": site.units} for site in sites],
            "seed": seed,
        }
        phones.append(PhoneProcess(folder / f"phone{place}"))
        phones[-1].folder.mkdir(parents=True)
        (phones[-1].folder / "told.json").write_text(json.dumps(told))
    return phones


def a_site_for_all(stack: Stack, office: Phone) -> Site:
    """A job that Ana sets up and both technicians visit."""
    sheet, job = a_sheet(), new_id()
    office.write("job.create", job=job, entity=job, fields=sheet)
    for person in (BEN, DEE):
        person_id = stack.database.rows("SELECT id FROM person WHERE email = %s", (person.email,))[0]["id"]
        visit = {"purpose": "part_one", "starts_at": "2026-11-25T07:00:00.000Z", "planned_s": 28800}
        office.write("visit.plan", job=job, entity=new_id(), fields={**visit, "person_id": str(person_id)})
    assert office.exchange() == "done"
    assert not office.journal.table("attention")
    return Site(job, [unit["id"] for unit in sheet["units"]])
