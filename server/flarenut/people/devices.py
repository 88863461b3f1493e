"""Which store of unsent work belongs to whom."""

import uuid
from typing import Any

from sqlalchemy import ColumnElement, exists, select
from sqlalchemy.dialects.postgresql import insert

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.people.tables import Device


def is_own_device(actor: Actor, *, device_id: uuid.UUID, name: str = "") -> bool:
    """Take a device that nobody has yet for this one's, and say whether it is theirs.

    A phone whose store was copied gives itself a new device id and goes on without a new
    sign-in, so an unknown id is welcome; one that is someone else's never is.
    """
    owner = _owner(device_id)
    if owner is None:
        new = insert(Device).values(
            id=device_id,
            company_id=actor.company_id,
            name=name,
            person_id=actor.person_id,
            link_id=actor.link_id,
        )
        db.session.execute(new.on_conflict_do_nothing())
        owner = _owner(device_id)
    return owner is not None and tuple(owner) == (actor.person_id, actor.link_id)


def _owner(device_id: uuid.UUID) -> Any:
    return db.session.execute(select(Device.person_id, Device.link_id).where(Device.id == device_id)).one_or_none()


def is_known_as_own(actor: Actor, *, device_id: uuid.UUID) -> ColumnElement[bool]:
    """To be asked along with something else. No also where nobody has it yet: `is_own_device` tells these apart."""
    return exists().where(
        Device.id == device_id,
        Device.person_id.is_not_distinct_from(actor.person_id),
        Device.link_id.is_not_distinct_from(actor.link_id),
    )


def device_of(actor: Actor, *, wanted: uuid.UUID, name: str) -> uuid.UUID:
    """The wanted device id, or a new one where that is someone else's: two people share a phone."""
    if is_own_device(actor, device_id=wanted, name=name):
        return wanted
    fresh = uuid.uuid4()
    is_own_device(actor, device_id=fresh, name=name)
    return fresh
