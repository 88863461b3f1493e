"""The store is tidied while phones send: what a photo is made of never goes, and nobody waits long for it."""

import datetime as dt
import io
import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Event
from typing import Any, BinaryIO

import pytest
from sqlalchemy import Connection, Engine, event, text
from sqlalchemy.exc import OperationalError

from flarenut.db import db, enter_company
from flarenut.photos import tidy
from flarenut.photos.disk_store import DiskStore
from flarenut.photos.kept import Kept
from flarenut.photos.tidy import drop_orphans
from tests.builders.world import World
from tests.server.photos.pictures import picture, sha256_of
from tests.server.photos.sending import CONTENT, announce, bring, state_of
from tests.server.site import Site

NAME = sha256_of(CONTENT)
SLOW = picture((64, 48), colour="#707070")
# A backup forgot what these are, and no phone announces them.
FORGOTTEN = [f"{digit * 64}" for digit in "abcde"]
LONG_AGO = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
LATER = LONG_AGO + dt.timedelta(days=1)

# Long enough for a photo to arrive, if nothing holds it up.
ARRIVES_WITHIN_S = 20

END_WHO_TIDIES = text("""
    SELECT pg_terminate_backend(pid) FROM pg_locks
    WHERE locktype = 'advisory' AND mode = 'ExclusiveLock' AND granted
""")


@dataclass(frozen=True)
class SlowStore(DiskStore):
    """A folder that takes its time over each thing that it drops."""

    before_each: Callable[[str], object] = print

    def kept(self) -> Iterator[Kept]:
        """One after the other."""
        yield from sorted(super().kept(), key=lambda kept: kept.name)

    def drop(self, name: str) -> None:
        """What the test wants to happen first, and then as ever."""
        self.before_each(name)
        super().drop(name)


@pytest.fixture
def store(site: Site, folder: Path) -> DiskStore:
    """What Ana's company keeps: bytes from long ago, that no photo names."""
    store = DiskStore(folder, site.ana.company_id)
    for name in [*FORGOTTEN, NAME]:
        store.keep(name, content=io.BytesIO(CONTENT))
        os.utime(store.path(name), (LONG_AGO.timestamp(), LONG_AGO.timestamp()))
    return store


@pytest.fixture
def beside() -> Iterator[ThreadPoolExecutor]:
    """Whoever else is at work."""
    with ThreadPoolExecutor(2) as threads:
        yield threads


def _tidy(store: DiskStore, before_each: Callable[[str], object]) -> int:
    slow = SlowStore(store.root, store.company_id, before_each)
    with World.app.test_request_context():
        enter_company(store.company_id)
        return drop_orphans(slow, before=LATER)


def _left(store: DiskStore) -> set[str]:
    return {kept.name for kept in store.kept()}


def test_a_photo_that_arrives_while_its_bytes_are_being_cleared_away_has_them(
    site: Site, issue: str, store: DiskStore, beside: ThreadPoolExecutor
) -> None:
    begun, go_on = Event(), Event()

    def hold(name: str) -> None:
        if name == NAME:
            begun.set()
            assert go_on.wait(20)

    tidied = beside.submit(_tidy, store, hold)
    assert begun.wait(20)
    photo = announce(site.phone, site, CONTENT, issue_id=issue)["photo"]
    sent = beside.submit(bring, site.phone, photo, CONTENT)
    wait([sent], timeout=2)
    go_on.set()

    assert (tidied.result(20), sent.result(20).status_code) == (len(FORGOTTEN) + 1, 201)
    assert state_of(site, photo) == ("stored", None)
    assert site.phone.get(f"/api/photos/{photo}/full", buffered=True).data == CONTENT


def test_a_photo_that_is_announced_while_other_things_are_cleared_away_is_asked_for_again(
    site: Site, issue: str, store: DiskStore, beside: ThreadPoolExecutor
) -> None:
    def announce_at_the_first(name: str) -> None:
        if name == FORGOTTEN[0]:
            beside.submit(announce, site.phone, site, CONTENT, issue_id=issue).result(20)

    dropped = _tidy(store, announce_at_the_first)

    assert dropped == len(FORGOTTEN)
    assert _left(store) == {NAME}


def _wait_until_somebody_waits(owner: Engine) -> None:
    """For the lock of whoever tidies."""
    until = time.monotonic() + 20
    waiting = text("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted")
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        while connection.scalar(waiting) == 0:
            assert time.monotonic() < until, "nobody waits"
            time.sleep(0.02)


def test_a_photo_that_arrives_waits_for_one_thing_to_be_dropped_and_not_for_all(
    site: Site, issue: str, store: DiskStore, beside: ThreadPoolExecutor, owner: Engine
) -> None:
    photo = announce(site.phone, site, CONTENT, issue_id=issue)["photo"]
    sent: list[Future[Any]] = []
    has_arrived: list[bool] = []

    def send_at_the_first(_name: str) -> None:
        if sent:
            wait(sent, timeout=0 if has_arrived else ARRIVES_WITHIN_S)
            has_arrived.append(sent[0].done())
        else:
            sent.append(beside.submit(bring, site.phone, photo, CONTENT))
            _wait_until_somebody_waits(owner)

    _tidy(store, send_at_the_first)

    assert has_arrived == [True] * (len(FORGOTTEN) - 1)
    assert sent[0].result().status_code == 201
    assert _left(store) >= {NAME}


@pytest.fixture
def slow(site: Site, issue: str, beside: ThreadPoolExecutor, monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """A photo of Ben's is on its way into a store that takes its time, until this is set."""
    photo = announce(site.phone, site, SLOW, issue_id=issue)["photo"]
    begun, go_on, keep = Event(), Event(), DiskStore.keep

    def keep_slowly(self: DiskStore, name: str, *, content: BinaryIO) -> None:
        if name == sha256_of(SLOW):
            begun.set()
            assert go_on.wait(20)
        keep(self, name, content=content)

    monkeypatch.setattr(DiskStore, "keep", keep_slowly)
    sent = beside.submit(bring, site.phone, photo, SLOW)
    assert begun.wait(20)
    yield go_on
    go_on.set()
    assert sent.result(20).status_code == 201


@contextmanager
def _impatient() -> Iterator[None]:
    """Nobody stands in line for a lock for long."""

    def hurry(_session: object, _transaction: object, connection: Connection) -> None:
        connection.execute(text("SET LOCAL lock_timeout = '200ms'"))

    event.listen(db.session, "after_begin", hurry)
    try:
        yield
    finally:
        event.remove(db.session, "after_begin", hurry)


def test_an_upload_that_outlasts_the_patience_for_a_lock_does_not_end_the_tidying(
    store: DiskStore, beside: ThreadPoolExecutor, slow: Event
) -> None:
    with _impatient():
        tidied = beside.submit(_tidy, store, print)
        wait([tidied], timeout=1)
        slow.set()

        assert tidied.result(20) == len(FORGOTTEN) + 1


def test_other_photos_arrive_while_the_tidying_waits_for_a_slow_one(
    site: Site, issue: str, store: DiskStore, beside: ThreadPoolExecutor, slow: Event
) -> None:
    photo = announce(site.office, site, CONTENT, issue_id=issue)["photo"]
    tidied = beside.submit(_tidy, store, print)
    wait([tidied], timeout=1)

    arrived = bring(site.office, photo, CONTENT).status_code
    is_waiting = not tidied.done()  # a photo in line behind it would arrive only once it has given up
    slow.set()

    assert (arrived, is_waiting) == (201, True)
    assert tidied.result(20) == len(FORGOTTEN)


def test_what_cannot_be_had_alone_is_left_for_the_next_time(
    store: DiskStore, slow: Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tidy, "ALONE_WITHIN_S", 0)
    assert _tidy(store, print) == 0
    assert _left(store) == {NAME, *FORGOTTEN}

    slow.set()
    monkeypatch.setattr(tidy, "ALONE_WITHIN_S", 20)

    assert _tidy(store, print) == len(FORGOTTEN) + 1


def test_whoever_has_lost_the_lock_drops_nothing_more(store: DiskStore, owner: Engine) -> None:
    dropped: list[str] = []

    def end_the_session(name: str) -> None:
        dropped.append(name)
        with owner.connect() as connection:
            assert connection.execute(END_WHO_TIDIES).scalars().all() == [True]

    with pytest.raises(OperationalError):
        _tidy(store, end_the_session)

    assert len(dropped) == 1
