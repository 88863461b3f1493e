"""Whoever has said something, when it is taken later than it came."""

import uuid

from flarenut.db import db
from flarenut.people.actor import Actor, Role
from flarenut.people.tables import ContractorLink, Person


def author_of(person_id: uuid.UUID | None, *, link_id: uuid.UUID | None, device_id: uuid.UUID) -> Actor | None:
    """As they would be if they said it now; none where they are no longer with the company."""
    person = db.session.get(Person, person_id) if person_id else None
    if person is not None and person.ended_at is None:
        role: Role = person.role  # type: ignore[assignment] -- one of the roles, as the database checks
        return Actor(
            company_id=person.company_id, role=role, device_id=device_id, name=person.name, person_id=person.id
        )
    link = db.session.get(ContractorLink, link_id) if link_id else None
    return _holder_of(link, device_id=device_id) if link is not None else None


def _holder_of(link: ContractorLink, *, device_id: uuid.UUID) -> Actor:
    return Actor(
        company_id=link.company_id,
        role="contractor",
        device_id=device_id,
        name=link.recipient,
        link_id=link.id,
        link_job_id=link.job_id,
        firm=link.firm,
    )
