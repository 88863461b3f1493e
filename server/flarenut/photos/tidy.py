"""What nobody will ever ask for again: uploads that expired, and what the store keeps for no photo."""

import datetime as dt
import time
from dataclasses import dataclass

from sqlalchemy import false, or_, select, text

from flarenut.db import db, writing
from flarenut.photos.companies import each_company
from flarenut.photos.found_again import find_again
from flarenut.photos.kept import Kept, PhotoStore
from flarenut.photos.tables import Photo
from flarenut.photos.uploads import forget_expired
from flarenut.sync.tables import SetAside

# A draft, or parts that nobody joined, may belong to a server that is slow. None does after a day (P).
DRAFT_AFTER = dt.timedelta(days=1)

# After a restore, phones announce for 30 days what the backup does not know: what has no row may yet get
# one again. As long as receipts live.
ORPHAN_AFTER = dt.timedelta(days=35)

ASK_AT_ONCE = 500

# Alone: nobody stores a photo between the question whether it is named and the moment when it is gone. Asked for again
# and again, and not waited for in line: behind whoever stands there every other photo would wait for a slow one, too.
_TIDYING = text("SELECT pg_try_advisory_xact_lock(hashtext('photos'), hashtext(current_setting('app.company')))")
ASK_EVERY_S = 0.2
ALONE_WITHIN_S = 120  # whoever keeps one photo for longer than a minute has lost its lock (P)

# A store that must be asked again and again takes a minute over one thing (s3_store.py), and the lock must outlast it.
_UNHURRIED = text("SET LOCAL idle_in_transaction_session_timeout = '5min'")


@dataclass(frozen=True, kw_only=True)
class Tidied:
    """How much was cleared away."""

    uploads: int
    orphans: int
    drafts: int
    found: int


def tidy_photos() -> Tidied:
    """For every company. Asked twice, the second time finds nothing."""
    uploads = orphans = drafts = found = 0
    now = dt.datetime.now(dt.UTC)
    for _company_id, store in each_company():
        while count := forget_expired():
            uploads += count
        found += find_again(store)
        orphans += drop_orphans(store, before=now - ORPHAN_AFTER)
        drafts += store.drop_drafts(before=now - DRAFT_AFTER)
    return Tidied(uploads=uploads, orphans=orphans, drafts=drafts, found=found)


def drop_orphans(store: PhotoStore, *, before: dt.datetime) -> int:
    """A photo is named by its row from the moment it is announced, so what never gets a row has no future."""
    old = [kept for kept in store.kept() if kept.kept_at < before]
    dropped = 0
    for start in range(0, len(old), ASK_AT_ONCE):
        some = old[start : start + ASK_AT_ONCE]
        named = _named(some)
        db.session.rollback()  # the store takes its time, and nothing is held open meanwhile
        dropped += sum(_drop_unless_named(store, kept=kept) for kept in some if kept.sha256 not in named)
    return dropped


def _named(some: list[Kept]) -> set[str]:
    """By a photo, or by one that was set aside after a restore and waits for its author to send it again."""
    asked = {kept.sha256 for kept in some}
    named = set(db.session.scalars(select(Photo.sha256).where(Photo.sha256.in_(asked)).distinct()))
    is_in = or_(false(), *(SetAside.body.contains(sha256) for sha256 in asked - named))
    waits = select(SetAside.body).where(SetAside.type == "photo.add", SetAside.settled_at.is_(None), is_in)
    bodies = db.session.scalars(waits).all()
    return named | {sha256 for sha256 in asked if any(sha256 in body for body in bodies)}


def _drop_unless_named(store: PhotoStore, *, kept: Kept) -> bool:
    """Asked again, now that nobody stores anything. Phones wait for this one thing, and whoever lost the lock stops.

    What cannot be had alone in good time stays until the next run.
    """
    with writing():
        db.session.execute(_UNHURRIED)
        is_dropped = _is_alone() and not _named([kept])
        if is_dropped:
            store.drop(kept.name)
    return is_dropped


def _is_alone() -> bool:
    until = time.monotonic() + ALONE_WITHIN_S
    while not db.session.scalar(_TIDYING):
        if time.monotonic() >= until:
            return False
        time.sleep(ASK_EVERY_S)
    return True
