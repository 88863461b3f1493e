"""The stage: a server of its own for each story, phones and a desk that keep their profile on disk."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright

from tests.phone.phone import DESK, PHONE, Phone
from tests.phone.server_process import ROOT, Server

BUILT = ROOT / "pwa" / "dist"
OpenDevice = Callable[..., Phone]


def _prepared(folder: Path, *, command: list[str]) -> Path:
    environment = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    environment |= {"FLARENUT_DATA": str(folder), "PYTHONPATH": str(ROOT), "FLARENUT_LOG_LEVEL": "warning"}
    for step in (["flarenut.cli", "db", "upgrade"], command):
        subprocess.run([sys.executable, "-m", *step], env=environment, check=True, cwd=ROOT, timeout=300)
    return folder


@pytest.fixture(scope="session")
def people_only(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the two invented companies and their people, and no job."""
    assert (BUILT / "index.html").is_file(), "The phone app is not built: run deploy/test, or `npm run build` in pwa."
    return _prepared(tmp_path_factory.mktemp("people"), command=["demo_seed.companies"])


@pytest.fixture(scope="session")
def demo_told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the whole story of the demo."""
    return _prepared(tmp_path_factory.mktemp("demo"), command=["demo_seed"])


def _served(template: Path, *, folder: Path, app_dir: Path = BUILT) -> Iterator[Server]:
    # The embedded database belongs to another user when the tests run as root: ownership is kept.
    subprocess.run(["cp", "-a", f"{template}/.", str(folder)], check=True)
    server = Server(data=folder, app_dir=app_dir)
    server.start()
    yield server
    server.stop()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def server(people_only: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The companies and their people, nothing else."""
    yield from _served(people_only, folder=tmp_path_factory.mktemp("server"))


@pytest.fixture(scope="module")
def demo(demo_told: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo, shared by the stories of one file that only look."""
    yield from _served(demo_told, folder=tmp_path_factory.mktemp("demo_server"))


@pytest.fixture
def own_demo(demo_told: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo, for one story that writes into it."""
    yield from _served(demo_told, folder=tmp_path_factory.mktemp("own_demo"))


@pytest.fixture
def own_build(tmp_path: Path) -> Path:
    """A copy of the built app that a story may put a newer one in place of."""
    return Path(shutil.copytree(BUILT, tmp_path / "dist"))


@pytest.fixture
def demo_of_own_build(demo_told: Path, own_build: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The demo, served with that copy."""
    yield from _served(demo_told, folder=tmp_path_factory.mktemp("server"), app_dir=own_build)


@pytest.fixture
def open_device(playwright: Playwright, tmp_path: Path) -> Iterator[OpenDevice]:
    """`open_device("ben", origin=..., kind=PHONE)`; whatever is still open at the end is closed."""
    opened: list[Phone] = []

    def opening(name: str, *, origin: str, kind: dict[str, Any] = PHONE) -> Phone:
        phone = Phone(playwright, profile=tmp_path / name, origin=origin, kind=kind)
        opened.append(phone)
        return phone

    yield opening
    for phone in opened:
        phone.close()
    complaints = [complaint for phone in opened for complaint in phone.complaints]
    assert not complaints, "\n".join(complaints)


@pytest.fixture
def open_desk(open_device: OpenDevice) -> OpenDevice:
    """The dispatcher's screen."""

    def opening(name: str, *, origin: str) -> Phone:
        return open_device(name, origin=origin, kind=DESK)

    return opening
