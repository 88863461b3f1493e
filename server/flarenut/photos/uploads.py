"""Uploads: made, found again, taken over, ended, forgotten.

Whoever holds the claim of an upload may write to it. The claim is a column, checked in the very
statement that counts each piece, so it holds across processes and machines. A new request takes
the claim and thereby stops the old one, which may hang on a dead connection for minutes; nobody
waits for anybody, and no lock is ever held while waiting for the network. A piece that does not fit
takes no claim: a copy of an old request, late on its way, stops nobody.

Whoever asks how far an upload is gives the one who writes a moment to count what has come: of a line that
was cut that is all of it.
"""

import datetime as dt
import time
from collections.abc import Callable
from dataclasses import dataclass
from uuid import UUID, uuid4

from sqlalchemy import delete, func, select, update
from sqlalchemy.dialects.postgresql import insert

from flarenut.db import db, writing
from flarenut.errors import Busy, NotFound, TooLarge
from flarenut.people.actor import Actor
from flarenut.photos.reads import can_bring
from flarenut.photos.tables import Photo, Upload, UploadPart

# A phone may lie in a van for a week before it sees a network again (P).
UPLOAD_LIVES = dt.timedelta(days=14)

# What no photo has claimed by then was sent by mistake, or by a program that tries things out (P).
UNCLAIMED_LIVES = dt.timedelta(days=1)
UNCLAIMED_AT_ONCE = 1_000  # of one company; no phone ever makes one (P)
UNCLAIMED_BYTES = 500_000_000  # of one company; they lie in the database for a day (P)

FORGET_AT_ONCE = 20

# As long as a slow line keeps what it has brought (PIECE_S in incoming.py), and a transaction. (P)
HANDOVER_S = 0.4
ASK_AGAIN_S = 0.02


@dataclass(frozen=True, kw_only=True)
class Arrival:
    """One request's hold on one upload. Plain values: no row of the database stays open behind it."""

    upload_id: UUID
    size_bytes: int
    received_bytes: int
    said_metadata: str
    expires_at: dt.datetime
    is_finished: bool
    is_for_photo: bool
    claim: UUID

    @property
    def room_bytes(self) -> int:
        """How much is still missing."""
        return self.size_bytes - self.received_bytes


class OffsetDiffers(Exception):
    """A piece does not begin where the upload ends."""

    def __init__(self, received_bytes: int) -> None:
        super().__init__(received_bytes)
        self.received_bytes = received_bytes


def past_the_end() -> TooLarge:
    """More came than was announced."""
    return TooLarge("past_the_end", "The body goes on past the end of the upload.")


def open_upload(photo: Photo, *, said_metadata: str, is_writing: bool) -> Arrival:
    """Find or make the upload of a photo, and take it over. A second create finds the first."""

    def find() -> Upload:
        _make(photo, said_metadata=said_metadata)
        upload = _locked(photo.id)
        if upload is None:
            raise _unknown()
        _claim_for_photo(upload, photo=photo)
        return upload

    return _taken_in_a_moment(find, is_writing=is_writing)


def _make(photo: Photo, *, said_metadata: str) -> None:
    _forget_some()
    now = dt.datetime.now(dt.UTC)
    new = {"company_id": photo.company_id, "photo_id": photo.id, "size_bytes": photo.size_bytes}
    make = insert(Upload).values(
        id=photo.id, **new, said_metadata=said_metadata, created_at=now, expires_at=now + UPLOAD_LIVES
    )
    db.session.execute(make.on_conflict_do_nothing())


def _claim_for_photo(upload: Upload, *, photo: Photo) -> None:
    """A photo announced under the id of an upload that was nobody's takes it, with what has arrived."""
    if upload.photo_id is None:
        if upload.size_bytes != photo.size_bytes:
            forget_bytes(upload)
        upload.photo_id, upload.device_id = photo.id, None
        upload.size_bytes, upload.finished_at = photo.size_bytes, None
    if photo.state != "pending" and upload.finished_at is None:
        # It arrived by an upload that is forgotten by now: nothing needs to be sent again.
        upload.received_bytes, upload.finished_at = upload.size_bytes, dt.datetime.now(dt.UTC)


def make_unclaimed(actor: Actor, *, size_bytes: int, said_metadata: str, is_writing: bool) -> Arrival:
    """An upload that names no photo: any client of the protocol may make one, for a day."""
    now = dt.datetime.now(dt.UTC)
    with writing():
        _forget_some()
        _check_unclaimed(size_bytes)
        upload = Upload(
            id=uuid4(), company_id=actor.company_id, device_id=actor.device_id, size_bytes=size_bytes,
            said_metadata=said_metadata, created_at=now, expires_at=now + UNCLAIMED_LIVES,
        )  # fmt: skip
        db.session.add(upload)
        db.session.flush()
        return _taken(upload, is_writing=is_writing)


def forget_unclaimed(arrival: Arrival) -> None:
    """Its maker was never told where it is."""
    mine = (Upload.id == arrival.upload_id, Upload.claim == arrival.claim, Upload.photo_id.is_(None))
    with writing():
        db.session.execute(delete(Upload).where(*mine))


def _check_unclaimed(size_bytes: int) -> None:
    sums = select(func.count(), func.coalesce(func.sum(Upload.size_bytes), 0)).where(Upload.photo_id.is_(None))
    count, used_bytes = db.session.execute(sums).one()
    if count >= UNCLAIMED_AT_ONCE or used_bytes + size_bytes > UNCLAIMED_BYTES:
        raise Busy("too_many_uploads", "Too many uploads name no photo. The oldest are forgotten within a day.")


def resume_upload(upload_id: UUID, *, actor: Actor) -> Arrival:
    """Take over an upload that was made before."""
    return _taken_in_a_moment(lambda: _found(upload_id, actor=actor), is_writing=False)


def resume_upload_at(offset: int, upload_id: UUID, *, actor: Actor, more_bytes: int) -> Arrival:
    """As above, for what goes on at that byte and at no other, and to write as many bytes, if it is known how many."""
    with writing():
        upload = _found(upload_id, actor=actor)
        if upload.received_bytes != offset:
            raise OffsetDiffers(upload.received_bytes)
        if offset + more_bytes > upload.size_bytes:
            raise past_the_end()
        return _taken(upload, is_writing=True)


def _taken_in_a_moment(find: Callable[[], Upload], *, is_writing: bool) -> Arrival:
    """Once its writer has come to an end, or does not."""
    until = time.monotonic() + HANDOVER_S
    while True:
        with writing():
            upload = find()
            if not _is_written_to(upload) or time.monotonic() >= until:
                return _taken(upload, is_writing=is_writing)
        time.sleep(ASK_AGAIN_S)


def _is_written_to(upload: Upload) -> bool:
    return upload.finished_at is None and upload.writer is not None and upload.writer == upload.claim


def let_go(arrival: Arrival) -> None:
    """All that this request brought is counted: nobody need wait for it."""
    mine = (Upload.id == arrival.upload_id, Upload.writer == arrival.claim)
    with writing():
        db.session.execute(update(Upload).where(*mine).values(writer=None))


def end_upload(upload_id: UUID, *, actor: Actor) -> None:
    """Forget an upload and what has arrived of it. A photo that is stored already stays."""
    with writing():
        db.session.delete(_found(upload_id, actor=actor))


def _found(upload_id: UUID, *, actor: Actor) -> Upload:
    upload = _locked(upload_id)
    if upload is None or upload.expires_at <= dt.datetime.now(dt.UTC) or not _may_touch(upload, actor=actor):
        raise _unknown()
    return upload


def _may_touch(upload: Upload, *, actor: Actor) -> bool:
    """Whoever asks how far an upload is takes it over, so that asking is writing."""
    if upload.photo_id is None:
        return upload.device_id == actor.device_id
    photo = db.session.get(Photo, upload.photo_id)
    return photo is not None and can_bring(photo, actor=actor)


def _unknown() -> NotFound:
    return NotFound("unknown_upload", "There is no such upload. Create it first.")


def _locked(upload_id: UUID) -> Upload | None:
    wanted = select(Upload).where(Upload.id == upload_id).with_for_update()
    return db.session.scalar(wanted.execution_options(populate_existing=True))


def _taken(upload: Upload, *, is_writing: bool) -> Arrival:
    upload.claim = uuid4()
    upload.writer = upload.claim if is_writing else None
    if upload.photo_id is not None:
        upload.expires_at = dt.datetime.now(dt.UTC) + UPLOAD_LIVES
    return Arrival(
        upload_id=upload.id,
        size_bytes=upload.size_bytes,
        received_bytes=upload.received_bytes,
        said_metadata=upload.said_metadata,
        expires_at=upload.expires_at,
        is_finished=upload.finished_at is not None,
        is_for_photo=upload.photo_id is not None,
        claim=upload.claim,
    )


def forget_bytes(upload: Upload) -> None:
    """What has arrived is of no use any more."""
    if upload.received_bytes > 0:
        db.session.execute(delete(UploadPart).where(UploadPart.upload_id == upload.id))
        upload.received_bytes = 0


def forget_expired() -> int:
    """Forget some uploads that nobody has asked for in a long time. Their photos stay as they are."""
    with writing():
        return _forget_some()


def _forget_some() -> int:
    stale = select(Upload.id).where(Upload.expires_at <= dt.datetime.now(dt.UTC)).limit(FORGET_AT_ONCE)
    forget = delete(Upload).where(Upload.id.in_(stale.with_for_update(skip_locked=True))).returning(Upload.id)
    return len(db.session.scalars(forget).all())
