"""Bytes that the store holds already, and whose photo they may be without being sent once more.

Only who may see a stored photo of the same job with these bytes is spared sending them: anyone else would learn
that such a photo exists, or be handed a picture that they never had. See `sent.py` for the other case, a restore.
"""

import hashlib

from flask import current_app
from sqlalchemy import select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.photos.kept import BLOCK_BYTES, NotKept, PhotoStore, StoreAway
from flarenut.photos.store import photo_store
from flarenut.photos.tables import Photo
from flarenut.sync.change import Change
from flarenut.sync.sight import now_in_sight


def is_held(change: Change, *, sha256: str, size_bytes: int) -> bool:
    """Does its sender see these bytes on this job already, and are they whole?"""
    seen = select(Photo.id).where(
        Photo.job_id == (change.job.id if change.job is not None else None),
        Photo.sha256 == sha256,
        Photo.size_bytes == size_bytes,
        Photo.state == "stored",
        now_in_sight(change.actor.role, table="photo"),
    )
    # Nothing of this push can have made a photo stored, so that what is not written yet may wait.
    with db.session.no_autoflush:
        is_seen = db.session.scalar(seen.limit(1)) is not None
    return is_seen and _is_whole(change, sha256=sha256)


def _is_whole(change: Change, *, sha256: str) -> bool:
    """A phone lets go of a photo that is called stored: so it is looked at, and in doubt it is sent."""
    try:
        return look(company_store(change.actor), sha256=sha256)[0] == "whole"
    except StoreAway:
        return False


def company_store(actor: Actor) -> PhotoStore:
    """What the company of this one keeps."""
    return photo_store(current_app.config, company_id=actor.company_id)


def look(store: PhotoStore, *, sha256: str) -> tuple[str, int]:
    """How a photo is found, `whole`, `damaged` or `missing`, and how many bytes of it."""
    try:
        content = store.read(sha256)
    except NotKept:
        return "missing", 0
    digest, size_bytes = hashlib.sha256(), 0
    with content:
        while block := content.read(BLOCK_BYTES):
            digest.update(block)
            size_bytes += len(block)
    return ("whole" if digest.hexdigest() == sha256 else "damaged"), size_bytes
