"""deploy/demo: the first of the two commands of the README, run as a person runs it."""

import re
import time
import uuid
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.demo.running_demo import Demo

LONG_STEPS = re.compile(r"^(Installing|Building|Bringing|Loading).*", re.MULTILINE)


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Kept from test to test: this file is one story."""
    return tmp_path_factory.mktemp("demo") / "data"


@pytest.fixture
def run(data: Path) -> Iterator[Callable[..., Demo]]:
    """Starts the command; whatever a test starts has ended when the test has."""
    runs: list[Demo] = []

    def start(*arguments: str, port: int | None = None) -> Demo:
        runs.append(Demo(data, *arguments, port=port))
        return runs[-1]

    yield start
    for demo in runs:
        demo.leave()


@pytest.fixture(scope="module")
def cookies() -> dict[str, str]:
    """What the dispatcher's browser still has at the second run."""
    return {}


def _everyone_gets_in(demo: Demo) -> str:
    """Those who are printed can sign in; gives the dispatcher's cookie."""
    cookie = ""
    for role in ("technician", "dispatcher"):
        email, password = demo.printed_for(role)
        body = {"email": email, "password": password, "device_id": str(uuid.uuid4())}
        me, cookie = demo.ask("/api/sign-in", body=body)
        assert me["person"]["role"] == role
    secret = demo.printed_for("contractor")[0].partition("#")[2]
    opened, _ = demo.ask("/api/links/open", body={"secret": secret, "device_id": str(uuid.uuid4())})
    assert opened["link"]["job_id"]
    return cookie


def test_ctrl_c_while_the_jobs_are_loaded_leaves_no_database_behind(run: Callable[..., Demo]) -> None:
    demo = run()
    demo.wait_until_it_says("Loading the invented jobs")
    demo.wait_until_its_database_is_held()

    status = demo.ctrl_c()

    assert status == 130
    assert not demo.database.exists()


def test_a_demo_that_was_broken_off_says_how_to_begin_again(run: Callable[..., Demo]) -> None:
    demo = run()

    assert demo.wait_until_it_ends() == 1
    assert "Begin again: deploy/demo --fresh" in demo.said


def test_started_over_it_prints_people_who_can_sign_in(run: Callable[..., Demo], cookies: dict[str, str]) -> None:
    demo = run("--fresh")
    demo.wait_until_up()
    cookies["dispatcher"] = _everyone_gets_in(demo)

    same_port = run(port=demo.port)
    same_data = run("--fresh")

    assert same_port.wait_until_it_ends() == 1
    assert f"Port {demo.port} is taken" in same_port.said
    assert same_data.wait_until_it_ends() == 1
    assert "A server still runs on" in same_data.said
    assert demo.ctrl_c() == 0
    assert not demo.database.exists()


def test_a_second_run_is_up_at_once_and_has_kept_what_the_first_had(
    run: Callable[..., Demo], cookies: dict[str, str], say: Callable[[str], None]
) -> None:
    began = time.monotonic()
    demo = run()
    demo.wait_until_up()
    took_s = time.monotonic() - began

    say(f"second start of the demo: {took_s:.1f} s")
    assert LONG_STEPS.findall(demo.said) == []
    me, _ = demo.ask("/api/me", cookie=cookies["dispatcher"])
    assert me["person"]["role"] == "dispatcher"
    assert demo.ctrl_c() == 0
    assert not demo.database.exists()


def test_data_of_an_older_version_is_left_alone_and_it_says_how_to_begin_again(
    run: Callable[..., Demo], data: Path
) -> None:
    made_by = data / "first_migration"
    ours = made_by.read_text()
    made_by.write_text("of an older version\n")

    demo = run()

    assert demo.wait_until_it_ends() == 1
    assert "older version of flarenut. Begin again: deploy/demo --fresh" in demo.said
    assert (data / "demo.json").is_file()
    made_by.write_text(ours)


def test_a_database_left_running_is_stopped_before_its_folder_is_emptied(
    run: Callable[..., Demo], cookies: dict[str, str]
) -> None:
    killed = run()
    killed.wait_until_up()
    killed.kill_the_server()
    assert killed.wait_until_it_ends() == 1
    assert killed.database.exists()

    demo = run("--fresh")
    demo.wait_until_up()

    assert demo.ask_status("/api/me", cookie=cookies["dispatcher"]) == 401
    _everyone_gets_in(demo)
    assert demo.ctrl_c() == 0
    assert not demo.database.exists()


def test_a_folder_that_no_demo_made_is_never_emptied(tmp_path: Path) -> None:
    folder = tmp_path / "someone's"
    folder.mkdir()
    (folder / "letter.txt").write_text("kept")

    demo = Demo(folder, "--fresh")

    assert demo.wait_until_it_ends() == 1
    assert "was not made by deploy/demo" in demo.said
    assert (folder / "letter.txt").read_text() == "kept"


@pytest.mark.parametrize("port", ["0", "65536", "http"])
def test_a_port_that_is_none_is_refused_with_its_limits(tmp_path: Path, port: str) -> None:
    demo = Demo(tmp_path, "--port", port)

    assert demo.wait_until_it_ends() == 2
    assert f"--port takes a number from 1 to 65535, not '{port}'" in demo.said
