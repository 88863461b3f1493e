"""One PostgreSQL for the whole run, empty at the start of each test, and the known cast."""

import os
import shutil
import tempfile
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import flask_migrate
import pytest
from argon2 import PasswordHasher
from flask import Flask
from sqlalchemy import Engine, create_engine
from xdist.scheduler import LoadFileScheduling

from flarenut.app import create_app
from flarenut.db import db
from flarenut.embedded import stop_embedded
from flarenut.people import passwords
from flarenut.people.rates import limiter
from flarenut.photos import sent
from tests.builders import CastMember, Link, Phone, a_company, a_dispatcher, a_technician
from tests.builders.remembered import Remembered
from tests.builders.world import World
from tests.careless import be_careless
from tests.model.told import in_words


def pytest_addoption(parser: pytest.Parser) -> None:
    """Here and not beside the model test: an option of a run must be known before any folder is looked into."""
    parser.addoption("--seeds", type=int, help="how many seeds the model test runs")


@pytest.hookimpl(tryfirst=True)
def pytest_configure(config: pytest.Config) -> None:
    """Folders that only this run knows: a run beside it tidies away, and shuts, what pytest calls its own."""
    shared_folder()
    if config.option.basetemp is None:
        config.option.basetemp = tempfile.mkdtemp(prefix="flarenut-test-")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """What a run that failed has left is worth a look; what was made once for all its processes is not."""
    if hasattr(session.config, "workerinput"):
        return
    if exitstatus == 0:
        shutil.rmtree(session.config.option.basetemp, ignore_errors=True)
    shutil.rmtree(shared_folder(), ignore_errors=True)


def shared_folder() -> Path:
    """One for all processes of this run, and open to the user that the embedded database runs as."""
    folder = (
        Path(tempfile.gettempdir()) / f"flarenut_of_run_{os.environ.setdefault('FLARENUT_TEST_RUN', uuid.uuid4().hex)}"
    )
    folder.mkdir(exist_ok=True)
    folder.chmod(0o755)
    return folder


@pytest.fixture(scope="session")
def data_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("data")


@pytest.fixture(scope="session")
def migrated_app(data_folder: Path) -> Iterator[Flask]:
    """The real server on a real, migrated database that only this run knows."""
    settings = {
        "FLARENUT_DATA": str(data_folder),
        "FLARENUT_APP_DIR": str(data_folder / "no-app-is-built-here"),
        "DATABASE_URL": "",
        "DATABASE_APP_URL": "",
        "FLARENUT_PHOTO_DIR": "",
        "FLARENUT_LOG_LEVEL": "error",
        "FLARENUT_SECRET": "a secret for tests only",
    }
    app = create_app(settings)
    with app.app_context():
        flask_migrate.upgrade()
    yield app
    with app.app_context():
        db.engine.dispose()
    stop_embedded(data_folder)


@pytest.fixture(scope="session")
def owner(migrated_app: Flask) -> Iterator[Engine]:
    """A connection past the wall, for setting up and for looking at what the server may not."""
    engine = create_engine(migrated_app.config["OWNER_URL"])
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        be_careless(connection.exec_driver_sql)
    yield engine
    engine.dispose()


# A thirtieth of what TRUNCATE takes, which makes new files for every table. As a replica would, past all keys.
_EMPTY_ALL = "; ".join(
    ["SET LOCAL session_replication_role = replica", *(f'DELETE FROM "{table}"' for table in db.metadata.tables)]
)


@pytest.fixture
def hasher() -> PasswordHasher:
    """Passwords cost as little as they may: they took a third of the time. tests/server/people has the real one."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)


@pytest.fixture
def app(migrated_app: Flask, owner: Engine, hasher: PasswordHasher, monkeypatch: pytest.MonkeyPatch) -> Flask:
    """The server, with nobody and nothing in it."""
    monkeypatch.setattr(passwords, "_hasher", hasher)
    with owner.begin() as connection:
        connection.exec_driver_sql(_EMPTY_ALL)
    sent._writer().submit(int).result()  # a note beside a photo of the test before may still be on its way
    for company in _photo_folder(migrated_app).glob("*"):
        shutil.rmtree(company)
    limiter.reset()
    World.app = migrated_app
    return migrated_app


def _photo_folder(app: Flask) -> Path:
    return Path(app.config["FLARENUT_PHOTO_DIR"])


@pytest.fixture
def client_as(app: Flask) -> Callable[..., Phone]:
    """A signed-in phone of a person, or of the holder of a link."""
    assert app is World.app

    def enter(whose: CastMember | Link, **more: Any) -> Phone:
        return Phone(whose, **more)

    return enter


@pytest.fixture(scope="session")
def all_remembered() -> dict[str, Remembered]:
    """By what passwords cost: some tests have the real ones."""
    return {}


@pytest.fixture
def remembered(app: Flask, owner: Engine, hasher: PasswordHasher, all_remembered: dict[str, Remembered]) -> Remembered:
    """`remembered.made("site", make)`: what many tests begin with, made once."""
    assert app is World.app
    return all_remembered.setdefault(f"{hasher.time_cost} {hasher.memory_cost}", Remembered(owner))


@pytest.fixture
def company(remembered: Remembered) -> str:
    """Ana's and Ben's company, beside another one that always has people of its own."""

    def both() -> str:
        a_technician("Nils", company=a_company("Noise Climate"))
        return a_company("Invented Climate")

    return remembered.made("company", both)


@pytest.fixture
def ana(company: str, remembered: Remembered) -> CastMember:
    """Ana runs the job."""
    return remembered.made("ana", lambda: a_dispatcher("Ana", company=company))


@pytest.fixture
def ben(company: str, remembered: Remembered) -> CastMember:
    """Ben is on it."""
    return remembered.made("ben", lambda: a_technician("Ben", company=company))


@pytest.fixture
def cleo(remembered: Remembered) -> CastMember:
    """Cleo is from another company and must always be refused."""
    return remembered.made("cleo", lambda: a_dispatcher("Cleo", company=a_company("Another Climate")))


Say = Callable[[str], None]
AddUp = Callable[[dict[str, float]], None]


@pytest.fixture
def say(request: pytest.FixtureRequest, capsys: pytest.CaptureFixture[str]) -> Say:
    """Prints a line that is seen although the test passes: at once, or at the end when tests run beside each other."""

    def line(text: str) -> None:
        if hasattr(request.config, "workerinput"):
            request.node.user_properties.append(("said", text))
            return
        with capsys.disabled():
            print(f"\n  {text}", flush=True)  # noqa: T201 -- the figures of a run that passes.

    return line


@pytest.fixture
def add_up(request: pytest.FixtureRequest) -> AddUp:
    """For figures of one share of something: the end of the run says them of all shares together."""

    def figures(of_one: dict[str, float]) -> None:
        request.node.user_properties.append(("share", of_one))

    return figures


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What was said by tests that ran in a process of their own, and what shares add up to."""
    reports = [one for outcome in ("passed", "failed") for one in terminalreporter.getreports(outcome)]
    told = [(report.nodeid, *told) for report in reports if report.when == "call" for told in report.user_properties]
    for nodeid, kind, words in told:
        if kind == "said":
            terminalreporter.write_line(f"{nodeid.partition('::')[0]}: {words}")
    shares = [figures for _nodeid, kind, figures in told if kind == "share"]
    if shares:
        terminalreporter.write_line(in_words(shares))


# The long ones first, so that no process is left alone with one at the end; then, small enough to fill the gaps, the
# shares of the seeds.
FIRST = (
    "tests/phone/test_failure_case_09",
    "tests/faults/test_real_stack.py",
    "tests/phone/test_camera.py",
    "tests/phone/test_every_screen.py",
    "tests/phone/test_failure_case_10",
    "tests/phone/test_port_check.py",
    "tests/model/test_model.py::test_a",
    "tests/phone/test_holds.py",
    "tests/phone/test_the_main_job.py",
    "tests/phone/",
    "tests/demo/",
    "tests/faults/",
)
SHARED = ("tests/model/test_model.py::test_whatever", "tests/model/test_copies.py::test_whatever")
TOGETHER = "tests/faults/"


class Dealer(LoadFileScheduling):
    """A file goes to one process whole, but each share of the seeds by itself, and what has one stack together."""

    def _split_scope(self, nodeid: str) -> str:
        if nodeid.startswith(TOGETHER):
            return TOGETHER
        return nodeid if nodeid.startswith(SHARED) else str(super()._split_scope(nodeid))


def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Dealer:
    """Who deals the tests out to processes, whenever there are several."""
    return Dealer(config, log)


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """In the order in which they are given to processes."""
    items.sort(key=_turn)


def _turn(item: pytest.Item) -> int:
    if item.nodeid.startswith(SHARED):
        return len(FIRST) + 1
    return next((turn for turn, name in enumerate(FIRST) if item.nodeid.startswith(name)), len(FIRST))


@pytest.fixture(scope="session")
def project() -> Path:
    """Where the repository lies."""
    return Path(__file__).resolve().parents[1]
