"""The store is tidied while phones send: what a photo is made of never goes, and nobody waits long for it."""

import datetime as dt
import io
import os
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import OperationalError

from flarenut.db import enter_company
from flarenut.photos.disk_store import DiskStore
from flarenut.photos.kept import Kept
from flarenut.photos.tidy import drop_orphans
from tests.builders.world import World
from tests.server.photos.pictures import sha256_of
from tests.server.photos.sending import CONTENT, announce, bring, state_of
from tests.server.site import Site

NAME = sha256_of(CONTENT)
# A backup forgot what these are, and no phone announces them.
FORGOTTEN = [f"{digit * 64}" for digit in "abcde"]
LONG_AGO = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
LATER = LONG_AGO + dt.timedelta(days=1)

# Long enough for a photo to arrive, if nothing holds it up.
ARRIVES_WITHIN_S = 5

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


def test_a_photo_that_arrives_waits_for_one_thing_to_be_dropped_and_not_for_all(
    site: Site, issue: str, store: DiskStore, beside: ThreadPoolExecutor
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
            wait(sent, timeout=1)

    _tidy(store, send_at_the_first)

    assert has_arrived == [True] * (len(FORGOTTEN) - 1)
    assert sent[0].result().status_code == 201
    assert _left(store) >= {NAME}


def test_whoever_has_lost_the_lock_drops_nothing_more(store: DiskStore, owner: Engine) -> None:
    dropped: list[str] = []

    def end_the_session(name: str) -> None:
        dropped.append(name)
        with owner.connect() as connection:
            assert connection.execute(END_WHO_TIDIES).scalars().all() == [True]

    with pytest.raises(OperationalError):
        _tidy(store, end_the_session)

    assert len(dropped) == 1
