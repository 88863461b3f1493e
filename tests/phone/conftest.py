"""The stage: a server of its own for each story, phones and a desk that keep their profile on disk."""

import fcntl
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from demo_seed.people import ANA, BEN, DemoPerson
from playwright.sync_api import Playwright, expect

from tests.conftest import shared_folder
from tests.phone.entering import install_the_app, stay_signed_in
from tests.phone.looking import was_looked_at
from tests.phone.phone import DESK, LIGHT_PHONE, LOOKED_FOR_MS, Phone
from tests.phone.server_process import ROOT, Server, lasting_port
from tests.phone.warm_server import WarmServer

BUILT = ROOT / "pwa" / "dist"
NOBODYS = "nobody's"
OpenDevice = Callable[..., Phone]

# A busy machine is no mistake of the app's.
expect.set_options(timeout=LOOKED_FOR_MS)


@contextmanager
def _folder(name: str) -> Iterator[Path]:
    """For a server's data, and not among pytest's own folders.

    When the tests run as root the embedded database is another user, and every run of pytest
    that begins beside this one shuts the folder above all of pytest's folders to other users.
    """
    folder = Path(tempfile.mkdtemp(prefix=f"flarenut_{name}_"))
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _prepared(command: str) -> Path:
    """A data folder with what this command puts into it, made once in a run by the first process that wants it."""
    assert (BUILT / "index.html").is_file(), "The phone app is not built: run deploy/test, or `npm run build` in pwa."
    shared = shared_folder()
    folder, is_made = shared / command, shared / f"{command}.made"
    with (shared / f"{command}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not is_made.exists():
            shutil.rmtree(folder, ignore_errors=True)
            folder.mkdir()
            environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
            environment |= {"FLARENUT_DATA": str(folder), "PYTHONPATH": str(ROOT), "FLARENUT_LOG_LEVEL": "warning"}
            for step in (["flarenut.cli", "db", "upgrade"], [command]):
                subprocess.run([sys.executable, "-m", *step], env=environment, check=True, cwd=ROOT, timeout=300)
            is_made.touch()
    return folder


@pytest.fixture(scope="session")
def people_only() -> Path:
    """A data folder with the two invented companies and their people, and no job."""
    return _prepared("demo_seed.companies")


@pytest.fixture(scope="session")
def demo_port() -> int:
    """The demo is served here, for one story after the other: what a browser keeps, it keeps by address."""
    return lasting_port()


@pytest.fixture(scope="session")
def signed_in_devices() -> Iterator[Path]:
    """By the person's name, a device that knows the demo, and nobody's with the app; copied for a story."""
    with _folder("devices") as folder:
        yield folder


@pytest.fixture(scope="session")
def demo_told(demo_port: int, signed_in_devices: Path, playwright: Playwright) -> Iterator[Path]:
    """A data folder with the whole story of the demo, in which Ana and Ben have signed in."""
    with _folder("demo") as folder:
        _copy(_prepared("demo_seed"), to=folder)
        server = _one_worker(folder, port=demo_port)
        server.start()
        nobodys = signed_in_devices / NOBODYS
        install_the_app(Phone(playwright, profile=nobodys, origin=server.origin, kind=LIGHT_PHONE))
        for person, kind in ((BEN, LIGHT_PHONE), (ANA, DESK)):
            profile = Path(shutil.copytree(nobodys, signed_in_devices / person.name))
            stay_signed_in(Phone(playwright, profile=profile, origin=server.origin, kind=kind), person=person)
        server.stop()
        yield folder


def _one_worker(data: Path, *, port: int, app_dir: Path = BUILT) -> Server:
    """Starts in half the time of two; what several do at once is the matter of tests/faults and tests/model."""
    server = WarmServer(data=data, app_dir=app_dir, port=port)
    server.environment["FLARENUT_WORKERS"] = "1"
    return server


def _of_the_demo(template: Path, *, port: int, app_dir: Path = BUILT) -> Iterator[Server]:
    with _folder("server") as folder:
        yield from _served(_one_worker(folder, port=port, app_dir=app_dir), template=template)


# Who serves on which port: the demo that a file shares makes way for a story that has one of its own.
_serving: dict[int, Server] = {}


@contextmanager
def _alone(server: Server) -> Iterator[None]:
    shared = _serving.get(server.port)
    is_running = shared is not None and shared.pid is not None
    if shared is not None and is_running:
        shared.stop()
    _serving[server.port] = server
    assert not server.is_ready(), "Somebody else serves on this port: a story would ask the wrong server."
    yield
    _serving.pop(server.port)
    if shared is not None:
        _serving[server.port] = shared
        if is_running:
            shared.start()


def _copy(template: Path, *, to: Path) -> None:
    # The embedded database belongs to another user when the tests run as root: ownership is kept.
    subprocess.run(["cp", "-a", f"{template}/.", str(to)], check=True)


def _served(server: Server, *, template: Path) -> Iterator[Server]:
    _copy(template, to=server.data)
    with _alone(server):
        server.start()
        yield server
        server.stop()
    log = server.log.read_text(errors="replace")
    broken = [line for line in log.splitlines() if '"event": "unexpected"' in line]
    assert not broken, "The server met what it did not expect (HTTP 500):\n" + "\n".join(broken)


@pytest.fixture
def server(people_only: Path) -> Iterator[Server]:
    """The companies and their people, nothing else."""
    with _folder("server") as folder:
        yield from _served(Server(data=folder, app_dir=BUILT, port=lasting_port()), template=people_only)


@pytest.fixture(scope="module")
def demo(demo_told: Path, demo_port: int) -> Iterator[Server]:
    """The demo, shared by the stories of one file that only look."""
    yield from _of_the_demo(demo_told, port=demo_port)


@pytest.fixture
def own_demo(demo_told: Path, demo_port: int) -> Iterator[Server]:
    """The demo, for one story that writes into it."""
    yield from _of_the_demo(demo_told, port=demo_port)


@pytest.fixture
def own_build(tmp_path: Path) -> Path:
    """A copy of the built app that a story may put a newer one in place of."""
    return Path(shutil.copytree(BUILT, tmp_path / "dist"))


@pytest.fixture
def demo_of_own_build(demo_told: Path, demo_port: int, own_build: Path) -> Iterator[Server]:
    """The demo, served with that copy."""
    yield from _of_the_demo(demo_told, port=demo_port, app_dir=own_build)


@pytest.fixture
def open_device(
    playwright: Playwright, tmp_path: Path, signed_in_devices: Path, request: pytest.FixtureRequest
) -> Iterator[OpenDevice]:
    """`open_device("ben", origin=..., kind=LIGHT_PHONE)`; whatever is still open at the end is closed.

    `signed_in=BEN` is for the demo: his device of yesterday, which can do without the network already. There
    is one of each person, so that no story has a cloned device by mistake. `has_app=True` is for the demo as well:
    on that device the app was opened before, and nobody has signed in or opened a link.

    A story that shows screens asks of them what is asked of every screen: `look_at` on each device.
    """
    failed_before = request.session.testsfailed
    opened: list[Phone] = []
    given: list[DemoPerson] = []

    def opening(
        name: str,
        *,
        origin: str,
        kind: dict[str, Any] = LIGHT_PHONE,
        signed_in: DemoPerson | None = None,
        has_app: bool = False,
    ) -> Phone:
        if signed_in is not None:
            assert signed_in not in given, f"{signed_in.name} has one such device: sign in on the other."
            given.append(signed_in)
        if signed_in is not None or has_app:
            shutil.copytree(signed_in_devices / (signed_in.name if signed_in else NOBODYS), tmp_path / name)
        phone = Phone(playwright, profile=tmp_path / name, origin=origin, kind=kind)
        opened.append(phone)
        return phone

    yield opening
    for phone in opened:
        phone.close()
    complaints = [complaint for phone in opened for complaint in phone.complaints]
    assert not complaints, "\n".join(complaints)
    # A story that failed half-way may not have come to it.
    if request.session.testsfailed == failed_before:
        _each_was_looked_at(opened)


def _each_was_looked_at(phones: list[Phone]) -> None:
    unseen = [phone.profile.name for phone in phones if not any(map(was_looked_at, phone.contexts))]
    assert not unseen, f"Nobody looked at a screen of {', '.join(unseen)}: call look_at(page) where one is open."


@pytest.fixture
def open_desk(open_device: OpenDevice) -> OpenDevice:
    """The dispatcher's screen."""

    def opening(name: str, *, origin: str, signed_in: DemoPerson | None = None) -> Phone:
        return open_device(name, origin=origin, kind=DESK, signed_in=signed_in)

    return opening
