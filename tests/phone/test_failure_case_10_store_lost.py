"""Failure case 10 of sync: what a phone keeps is cleared, damaged, or cannot be opened."""

import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.phone import COARSE_PHONE, NEWS_WITHIN_MS, PATIENCE_MS, Phone
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

# What a browser takes from a page to make room on a full phone; cookies are not among it.
EVICTED = "cache_storage,file_systems,indexeddb,service_workers"
EVERYTHING = f"{EVICTED},local_storage"
DELETE_ONE = """() => {
  void indexedDB.databases().then((found) => {
    const [{ name }] = found.filter((one) => one.name.startsWith("flarenut-"));
    indexedDB.deleteDatabase(name);
  });
}"""
CLEARED = "What this phone kept was cleared."
GONE = f"of {BEN.name}: 1 change, 1 photo, no half-written entry"
NOTED = b'"changes":1,"photos":1'
NOTED_WITHIN_S = 90  # Chromium writes them once a minute at most, however often they change (from memory)
SENT, UNSENT, AFTER = "Drips onto the desk", "Drips into the lamp", "Drips onto the files"


@pytest.fixture
def log(own_demo: Server) -> str:
    """Where an issue is logged at a unit."""
    places = Places.on(own_demo.origin)
    return f"{places.job}/log?unit={places.units['L2-03']}"


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice, log: str) -> Phone:
    """He has one issue sent, then nobody answers any more."""
    phone = open_device("ben", origin=own_demo.origin, kind=COARSE_PHONE, signed_in=BEN)
    phone.go("/")
    expect(phone.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(phone)
    _raise(phone, log=log, words=SENT)
    ServerView(own_demo.origin, person=ANA).wait_for("issue", lambda rows: SENT in [row["words"] for row in rows])
    phone.turn_to("/")
    expect(phone.page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=NEWS_WITHIN_MS)
    own_demo.stop()  # what sends in the background knows of no browser that only plays offline
    phone.lose_signal()
    return phone


def _raise(ben: Phone, *, log: str, words: str) -> None:
    ben.turn_to(log)
    ben.page.get_by_role("radio", name="Drain").tap()
    ben.page.get_by_label("In your words").fill(words)
    if words == UNSENT:
        take_photo(ben.page)
    save_issue(ben.page)


def _raise_unsent(ben: Phone, *, log: str) -> None:
    """And wait until the phone has noted that it waits."""
    _raise(ben, log=log, words=UNSENT)
    ben.turn_to("/")
    expect(ben.page.get_by_text("for signal").first).to_be_visible()
    ben.page.wait_for_function("() => JSON.parse(localStorage.getItem('flarenut-tally')).at(-1).photos === 1")


def _evict(ben: Phone, *, what: str = EVICTED) -> None:
    """As the browser does for a full phone, while nobody has the app open."""
    ben.page.goto("about:blank")
    session = ben.context.new_cdp_session(ben.page)
    session.send("Storage.clearDataForOrigin", {"origin": ben.origin, "storageTypes": what})


def _delete_under_the_app(ben: Phone) -> None:
    """As somebody may in the browser's settings; the app begins anew by itself."""
    with ben.page.expect_navigation():
        ben.page.evaluate(DELETE_ONE)
    expect(ben.page.get_by_text(CLEARED)).to_be_visible()
    ben.complaints.clear()  # of what was read on the screen while the store was taken away


def _clear_under_the_app(ben: Phone) -> None:
    """Its databases alone: what is kept to start offline with is left, and says so at once."""
    session = ben.context.new_cdp_session(ben.page)
    with ben.page.expect_navigation():
        session.send("Storage.clearDataForOrigin", {"origin": ben.origin, "storageTypes": "indexeddb"})
    expect(ben.page.get_by_text(CLEARED)).to_be_visible(timeout=PATIENCE_MS)
    ben.complaints.clear()  # of what was read on the screen while the store was taken away


def _damage(ben: Phone) -> None:
    """Nonsense in every file of the database, as a worn-out memory leaves it."""
    ben.wait_until_the_sign_in_is_on_disk()
    _close_once_noted(ben)
    files = [path for path in _database(ben).iterdir() if path.suffix in {".log", ".ldb"} or "MANIFEST" in path.name]
    assert files
    for path in files:
        path.write_bytes(os.urandom(max(path.stat().st_size, 4_096)))
    ben.open()


def _close_once_noted(ben: Phone) -> None:
    """The figures beside the store lie in memory for a while; a browser that ends at once may take them with it."""
    ben.page.goto("about:blank")  # they are written some seconds after the last page that uses them has gone
    files = ben.profile / "Default" / "Local Storage" / "leveldb"
    deadline = time.monotonic() + NOTED_WITHIN_S
    while not any(NOTED in path.read_bytes() for path in files.glob("*.log")):
        assert time.monotonic() < deadline, "Chromium never wrote the figures beside the store."
        ben.page.wait_for_timeout(200)
    ben.close()


def _find_everything_again(ben: Phone, *, server: Server) -> None:
    server.start()
    ben.find_signal()
    ben.go("/")


def _database(ben: Phone) -> Path:
    [found] = (ben.profile / "Default" / "IndexedDB").glob("http_localhost_*.indexeddb.leveldb")
    return found


@pytest.mark.parametrize("lose", [_evict, _delete_under_the_app, _clear_under_the_app, _damage])
def test_case_10_a_lost_store_is_told_plainly_pulled_again_and_only_what_is_truly_gone_is_flagged(
    lose: Callable[[Phone], None], own_demo: Server, ben: Phone, log: str
) -> None:
    _raise_unsent(ben, log=log)

    lose(ben)
    _find_everything_again(ben, server=own_demo)

    page = ben.page
    expect(page.get_by_text(CLEARED)).to_be_visible(timeout=PATIENCE_MS)
    expect(page.get_by_text(GONE)).to_be_visible()
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(page)
    page.get_by_role("button", name="I have read it").tap()
    expect(page.get_by_text(CLEARED)).to_have_count(0)
    page.reload()
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    expect(page.get_by_text(CLEARED)).to_have_count(0)
    ben.turn_to(log.partition("/log")[0] + "/issues")
    expect(page.get_by_role("link", name=SENT)).to_be_visible()
    expect(page.get_by_role("link", name=UNSENT)).to_have_count(0)
    _raise(ben, log=log, words=AFTER)
    view = ServerView(own_demo.origin, person=ANA)
    issues = view.wait_for("issue", lambda rows: AFTER in [row["words"] for row in rows])
    said = [row["words"] for row in issues]
    assert (said.count(SENT), said.count(UNSENT), said.count(AFTER)) == (1, 0, 1)


@pytest.mark.parametrize(
    ("what", "told"),
    [(EVICTED, "everything had been sent"), (EVERYTHING, "cannot be told any more")],
)
def test_case_10_where_nothing_waited_that_is_told_and_where_nobody_knows_that_is_told_too(
    what: str, told: str, own_demo: Server, ben: Phone
) -> None:
    _evict(ben, what=what)
    _find_everything_again(ben, server=own_demo)

    expect(ben.page.get_by_text(CLEARED)).to_be_visible(timeout=PATIENCE_MS)
    expect(ben.page.get_by_text(told)).to_be_visible()
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(ben.page)


def test_case_10_a_store_that_cannot_be_opened_is_told_plainly_and_everything_is_there_once_it_can(
    own_demo: Server, ben: Phone, log: str
) -> None:
    _raise_unsent(ben, log=log)
    _close_once_noted(ben)
    database = _database(ben)
    kept = database.rename(database.with_suffix(".away"))
    database.write_text("A file where a folder belongs cannot be opened as one.")

    ben.open()
    own_demo.start()
    ben.go("/")
    expect(ben.page.get_by_role("heading", name="What this phone keeps cannot be opened")).to_be_visible()
    expect(ben.page.get_by_text("not yet sent, when this was last noted")).to_be_visible()
    expect(ben.page.get_by_text("1 change, 1 photo.")).to_be_visible()
    look_at(ben.page)
    ben.kill()
    database.unlink()
    kept.rename(database)
    ben.open()
    ben.go("/")

    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    expect(ben.page.get_by_text(CLEARED)).to_have_count(0)
    view = ServerView(own_demo.origin, person=ANA)
    issues = view.wait_for("issue", lambda rows: UNSENT in [row["words"] for row in rows])
    assert [row["words"] for row in issues].count(UNSENT) == 1
