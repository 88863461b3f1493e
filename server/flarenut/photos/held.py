"""Bytes that the store holds already, and whose photo they may be without being sent once more.

Only who may see a stored photo of the same job with these bytes is spared sending them: anyone else would learn
that such a photo exists, or be handed a picture that they never had. See `sent.py` for the other case, a restore.
"""

import hashlib
from collections.abc import Iterable
from uuid import UUID

import structlog
from flask import current_app
from sqlalchemy import exists, select
from sqlalchemy.orm import aliased

from flarenut.db import db, writing
from flarenut.people.actor import Actor
from flarenut.photos.kept import BLOCK_BYTES, NotKept, NotReadable, PhotoStore, StoreAway, while_reading
from flarenut.photos.sent import note_sent_later, sent_name
from flarenut.photos.store import photo_store
from flarenut.photos.tables import Photo
from flarenut.photos.verbs import keep_photo
from flarenut.sync.sight import now_in_sight

log = structlog.get_logger(__name__)


def keep_what_is_here(actor: Actor, *, announced: Iterable[UUID]) -> None:
    """Of photos that were just announced, those are stored whose bytes their sender sees on the same job already.

    Asked once the words are taken and no job is held, so that a store which hangs holds up nobody else. Where it
    is away the photos wait for their bytes like any other.
    """
    seen = _seen_elsewhere(actor, announced=announced)
    store = company_store(actor)
    try:
        for photo_id, sha256 in seen:
            # A phone lets go of a photo that is called stored: so it is looked at, and in doubt it is sent.
            if look(store, sha256=sha256)[0] == "whole":
                _keep(photo_id, store=store)
    except StoreAway:
        log.warning("held_not_looked_at", photos=len(seen))


def _seen_elsewhere(actor: Actor, *, announced: Iterable[UUID]) -> list[tuple[UUID, str]]:
    new = aliased(Photo)
    same = exists().where(
        Photo.job_id == new.job_id,
        Photo.sha256 == new.sha256,
        Photo.size_bytes == new.size_bytes,
        Photo.state == "stored",
        now_in_sight(actor.role, table="photo"),
    )
    waiting = select(new.id, new.sha256).where(new.id.in_(announced), new.state == "pending", same)
    rows = [(row.id, row.sha256) for row in db.session.execute(waiting)]
    db.session.rollback()  # the store takes its time, and nothing is held open meanwhile
    return rows


def _keep(photo_id: UUID, *, store: PhotoStore) -> None:
    with writing():
        photo = db.session.get_one(Photo, photo_id)
        name, is_waiting = sent_name(photo), photo.state == "pending"
        if is_waiting:
            keep_photo(photo)
    if is_waiting:
        note_sent_later(store, name=name)


def company_store(actor: Actor) -> PhotoStore:
    """What the company of this one keeps."""
    return photo_store(current_app.config, company_id=actor.company_id)


def look(store: PhotoStore, *, sha256: str) -> tuple[str, int]:
    """How a photo is found, `whole`, `damaged` or `missing`, and how many bytes of it.

    One that is there and cannot be read is of no use either.
    """
    digest, size_bytes = hashlib.sha256(), 0
    try:
        with while_reading(), store.read(sha256) as content:
            while block := content.read(BLOCK_BYTES):
                digest.update(block)
                size_bytes += len(block)
    except NotKept:
        return "missing", 0
    except NotReadable as error:
        log.warning("photo_not_readable", sha256=sha256, why=str(error))
        return "damaged", size_bytes
    return ("whole" if digest.hexdigest() == sha256 else "damaged"), size_bytes
