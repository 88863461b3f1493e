"""The bytes of a photo arrive: claimed, appended chunk by chunk, and judged when whole.

Whoever holds the claim of an upload may write to it. The claim is a column, checked under
the row's lock for each chunk, so it holds across processes and machines. A new request takes
the claim and thereby stops the old one, which may hang on a dead connection for minutes; no
lock is ever held while waiting for the network.
"""

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from uuid import UUID, uuid4

from sqlalchemy import select

from flarenut.db import db, writing
from flarenut.errors import NotFound
from flarenut.photos.images import NotAPhoto, check_photo
from flarenut.photos.renditions import make_renditions_later
from flarenut.photos.store import DiskStore
from flarenut.photos.tables import Photo, Upload
from flarenut.photos.verbs import keep_photo, refuse_photo

# A phone may lie in a van for a week before it sees a network again (P).
UPLOAD_LIVES = dt.timedelta(days=14)

# Bytes damaged on their way are asked for again; a phone that sends the same
# damaged bytes for the third time holds a damaged photo (P).
DAMAGED_TIMES_LIMIT = 3


class Stopped(Exception):
    """A newer request took over this upload."""


class Damaged(Exception):
    """What arrived is not what was announced; the upload starts again from the first byte."""


@dataclass(frozen=True, kw_only=True)
class Arrival:
    """One request's hold on one upload. Plain values: no row of the database stays open behind it."""

    store: DiskStore
    photo_id: UUID
    sha256: str
    size_bytes: int
    expires_at: dt.datetime
    is_finished: bool
    claim: UUID

    @property
    def offset(self) -> int:
        """How much of the photo the server has."""
        return self.size_bytes if self.is_finished else self.store.received_bytes(self.photo_id)


def open_upload(photo: Photo, *, store: DiskStore) -> Arrival:
    """Find or make the upload of a photo, and take it over. A second create finds the first."""
    now = dt.datetime.now(dt.UTC)
    with writing():
        # The photo's row is the lock: two creates of one photo do not make two uploads.
        db.session.scalar(select(Photo.id).where(Photo.id == photo.id).with_for_update())
        upload = db.session.scalar(select(Upload).where(Upload.photo_id == photo.id))
        if upload is None:
            upload = Upload(company_id=photo.company_id, photo_id=photo.id, size_bytes=photo.size_bytes, created_at=now)
            db.session.add(upload)
        upload.expires_at = now + UPLOAD_LIVES
        return _claimed(upload, photo=photo, store=store)


def resume_upload(photo: Photo, *, store: DiskStore) -> Arrival:
    """Take over an upload that was made before."""
    with writing():
        wanted = select(Upload).where(Upload.photo_id == photo.id).with_for_update()
        upload = db.session.scalar(wanted)
        if upload is None:
            raise NotFound("unknown_upload", "There is no upload of this photo. Create it first.")
        return _claimed(upload, photo=photo, store=store)


def _claimed(upload: Upload, *, photo: Photo, store: DiskStore) -> Arrival:
    upload.claim = uuid4()
    return Arrival(
        store=store,
        photo_id=photo.id,
        sha256=photo.sha256,
        size_bytes=upload.size_bytes,
        expires_at=upload.expires_at,
        is_finished=upload.finished_at is not None,
        claim=upload.claim,
    )


@contextmanager
def _held(arrival: Arrival) -> Iterator[Upload]:
    """For the length of one chunk, nobody else writes; stopped, if someone newer holds the claim."""
    with writing():
        wanted = select(Upload).where(Upload.photo_id == arrival.photo_id).with_for_update()
        upload = db.session.scalar(wanted.execution_options(populate_existing=True))
        if upload is None or upload.claim != arrival.claim:
            raise Stopped
        yield upload


def append_chunk(arrival: Arrival, chunk: bytes) -> None:
    """Write one chunk at the end."""
    with _held(arrival):
        arrival.store.append(arrival.photo_id, chunk)


def take_back(arrival: Arrival, *, to_bytes: int) -> None:
    """Forget the bytes of this request: its checksum says that they were damaged."""
    with _held(arrival):
        arrival.store.cut_back(arrival.photo_id, to_bytes=to_bytes)


def finish_if_whole(arrival: Arrival) -> Arrival:
    """Once every byte is here, keep the photo or say why not.

    Called by every request and not by the last PATCH alone: that one may have been
    cut between its last byte and its answer.
    """
    if arrival.is_finished or arrival.offset < arrival.size_bytes:
        return arrival
    if arrival.store.part_sha256(arrival.photo_id) != arrival.sha256:
        _start_again(arrival)
        return replace(arrival, is_finished=True)
    try:
        check_photo(arrival.store.part(arrival.photo_id))
    except NotAPhoto as error:
        _refuse(arrival, reason=str(error))
    else:
        _keep(arrival)
    return replace(arrival, is_finished=True)


def _keep(arrival: Arrival) -> None:
    arrival.store.keep_part(arrival.photo_id, sha256=arrival.sha256)
    with _held(arrival) as upload:
        upload.finished_at = dt.datetime.now(dt.UTC)
        keep_photo(db.session.get_one(Photo, arrival.photo_id))
    arrival.store.drop_part(arrival.photo_id)
    make_renditions_later(arrival.store, sha256=arrival.sha256)


def _start_again(arrival: Arrival) -> None:
    with _held(arrival) as upload:
        upload.damaged_times += 1
        is_hopeless = upload.damaged_times >= DAMAGED_TIMES_LIMIT
        if not is_hopeless:
            arrival.store.cut_back(arrival.photo_id, to_bytes=0)
    if not is_hopeless:
        raise Damaged
    _refuse(arrival, reason="The bytes that arrived are not the photo that was announced (sha256 differs).")


def _refuse(arrival: Arrival, *, reason: str) -> None:
    with _held(arrival) as upload:
        upload.finished_at = dt.datetime.now(dt.UTC)
        refuse_photo(db.session.get_one(Photo, arrival.photo_id), reason=reason)
    arrival.store.drop_part(arrival.photo_id)


def drop_expired(store: DiskStore) -> None:
    """Forget half-sent photos that nobody has asked for in a long time. Their rows stay pending."""
    with writing():
        stale = select(Upload).where(
            Upload.company_id == store.company_id,
            Upload.finished_at.is_(None),
            Upload.expires_at < dt.datetime.now(dt.UTC),
        )
        for upload in db.session.scalars(stale.limit(20).with_for_update(skip_locked=True)):
            store.drop_part(upload.photo_id)
            db.session.delete(upload)
