"""Which store of unsent work belongs to whom."""

import uuid

from sqlalchemy import select
from sqlalchemy.dialects.postgresql import insert

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.people.tables import Device


def is_own_device(actor: Actor, *, device_id: uuid.UUID, name: str = "") -> bool:
    """Take a device that nobody has yet for this one's, and say whether it is theirs.

    A phone whose store was copied gives itself a new device id and goes on without a new
    sign-in, so an unknown id is welcome; one that is someone else's never is.
    """
    db.session.execute(
        insert(Device)
        .values(
            id=device_id,
            company_id=actor.company_id,
            name=name,
            person_id=actor.person_id,
            link_id=actor.link_id,
        )
        .on_conflict_do_nothing()
    )
    owner = db.session.execute(select(Device.person_id, Device.link_id).where(Device.id == device_id)).one_or_none()
    return owner is not None and tuple(owner) == (actor.person_id, actor.link_id)


def is_anothers_device(actor: Actor, *, device_id: uuid.UUID) -> bool:
    """A store of someone else speaks: who signed in on a shared phone is another than its app believes."""
    owner = db.session.execute(select(Device.person_id, Device.link_id).where(Device.id == device_id)).one_or_none()
    return owner is not None and tuple(owner) != (actor.person_id, actor.link_id)


def device_of(actor: Actor, *, wanted: uuid.UUID, name: str) -> uuid.UUID:
    """The wanted device id, or a new one where that is someone else's: two people share a phone."""
    if is_own_device(actor, device_id=wanted, name=name):
        return wanted
    fresh = uuid.uuid4()
    is_own_device(actor, device_id=fresh, name=name)
    return fresh
