"""The bytes of an upload arrive: written down piece by piece, and judged when it is whole.

They lie in the database until then. A piece and the new count are one transaction, so that a cut,
a killed server or another server finds exactly what is there, and no folder need be shared.
A photo that comes whole in one piece is judged as it comes, without that stop.
"""

import datetime as dt
import hashlib
import io
from dataclasses import replace
from tempfile import SpooledTemporaryFile
from typing import Any, BinaryIO, cast

from sqlalchemy import select, text, update

from flarenut.db import db, writing
from flarenut.photos.images import NotAPhoto, check_photo
from flarenut.photos.kept import BLOCK_BYTES, PhotoStore, StoreAway
from flarenut.photos.sent import note_sent_later, sent_name
from flarenut.photos.tables import Photo, Upload, UploadPart
from flarenut.photos.uploads import Arrival, forget_bytes
from flarenut.photos.verbs import keep_photo, refuse_photo

# Bytes damaged on their way are asked for again; a phone that sends the same
# damaged bytes for the third time holds a damaged photo (P).
DAMAGED_TIMES_LIMIT = 3

# Whoever keeps a photo shares this lock with others who do; whoever tidies the store has it alone.
_KEEPING = text("SELECT pg_advisory_xact_lock_shared(hashtext('photos'), hashtext(current_setting('app.company')))")


class Stopped(Exception):
    """A newer request took over this upload."""


class Damaged(Exception):
    """What arrived is not what was announced; the upload starts again from the first byte."""


def append(arrival: Arrival, *, piece: bytes) -> Arrival:
    """Write one piece at the end, if this request still holds the claim; an empty one only asks for that."""
    with writing():
        company_id = db.session.scalar(_counted(arrival, more_bytes=len(piece)))
        if company_id is None:
            raise Stopped
        if piece:
            part = UploadPart(company_id=company_id, upload_id=arrival.upload_id, from_byte=arrival.received_bytes)
            part.content = piece
            db.session.add(part)
    return replace(arrival, received_bytes=arrival.received_bytes + len(piece))


def _counted(arrival: Arrival, *, more_bytes: int) -> Any:
    """Claim and count are looked at in the statement that changes them, so no two requests both succeed."""
    mine = (
        Upload.id == arrival.upload_id,
        Upload.claim == arrival.claim,
        # Should the answer to a commit be lost, the same piece does not count twice.
        Upload.received_bytes == arrival.received_bytes,
    )
    if more_bytes == 0:
        return select(Upload.company_id).where(*mine)
    counted = update(Upload).where(*mine).values(received_bytes=Upload.received_bytes + more_bytes)
    return counted.returning(Upload.company_id).execution_options(synchronize_session=False)


def finish_if_whole(arrival: Arrival, *, store: PhotoStore) -> Arrival:
    """Once every byte is here, keep the photo or say why not.

    Called by every request and not by the last PATCH alone: that one may have been
    cut between its last byte and its answer.
    """
    if arrival.is_finished or arrival.room_bytes > 0:
        return arrival
    is_damaged = False
    with writing():
        upload = _locked(arrival)
        if upload.finished_at is None and upload.received_bytes == upload.size_bytes:
            is_damaged = _judge_gathered(upload, store=store)
        arrival = _as_it_stands(arrival, upload=upload)
    if is_damaged:
        raise Damaged
    return arrival


def take_whole(arrival: Arrival, *, content: bytes, store: PhotoStore) -> Arrival:
    """All of a photo came in one piece. Only where it cannot be kept now do its bytes wait in the database."""
    try:
        with writing():
            upload = _locked(arrival)
            if upload.claim != arrival.claim or upload.received_bytes > 0:
                raise Stopped
            is_damaged = _judge(upload, content=io.BytesIO(content), store=store)
            arrival = _as_it_stands(arrival, upload=upload)
    except StoreAway:
        append(arrival, piece=content)
        raise
    if is_damaged:
        raise Damaged
    return arrival


def _as_it_stands(arrival: Arrival, *, upload: Upload) -> Arrival:
    return replace(arrival, received_bytes=upload.received_bytes, is_finished=upload.finished_at is not None)


def _locked(arrival: Arrival) -> Upload:
    """What is whole is judged once, by whoever comes first, whatever is claimed meanwhile."""
    wanted = select(Upload).where(Upload.id == arrival.upload_id).with_for_update()
    upload = db.session.scalar(wanted.execution_options(populate_existing=True))
    if upload is None:
        raise Stopped
    return upload


def _judge_gathered(upload: Upload, *, store: PhotoStore) -> bool:
    """Join the pieces. An upload that is no photo's just waits for one."""
    if upload.photo_id is None:
        upload.finished_at = dt.datetime.now(dt.UTC)
        return False
    with SpooledTemporaryFile(max_size=4 * BLOCK_BYTES) as content:
        pieces = select(UploadPart.content).where(UploadPart.upload_id == upload.id).order_by(UploadPart.from_byte)
        for piece in db.session.scalars(pieces.execution_options(yield_per=16)):
            content.write(piece)
        return _judge(upload, content=cast("BinaryIO", content), store=store)


def _judge(upload: Upload, *, content: BinaryIO, store: PhotoStore) -> bool:
    """Keep the photo, refuse it, or say that it is damaged and must be sent again."""
    photo = db.session.get_one(Photo, upload.photo_id)
    content.seek(0)
    if hashlib.file_digest(content, "sha256").hexdigest() != photo.sha256:
        return _is_sent_again(upload, photo=photo)
    content.seek(0)
    try:
        check_photo(content)
    except NotAPhoto as error:
        _end(upload)
        refuse_photo(photo, reason=str(error))
        return False
    content.seek(0)
    db.session.execute(_KEEPING)
    store.keep(photo.sha256, content=content)
    note_sent_later(store, name=sent_name(photo))
    _end(upload)
    keep_photo(photo)
    return False


def _end(upload: Upload) -> None:
    """The pieces are kept elsewhere, or will never be needed; the count stays for whoever asks."""
    forget_bytes(upload)
    upload.received_bytes, upload.finished_at = upload.size_bytes, dt.datetime.now(dt.UTC)


def _is_sent_again(upload: Upload, *, photo: Photo) -> bool:
    upload.damaged_times += 1
    if upload.damaged_times < DAMAGED_TIMES_LIMIT:
        forget_bytes(upload)
        return True
    _end(upload)
    refuse_photo(photo, reason="The bytes that arrived are not the photo that was announced (sha256 differs).")
    return False
