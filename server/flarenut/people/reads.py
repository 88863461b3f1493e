"""Questions about people: who is who, and which links lead to a job."""

import uuid
from collections.abc import Sequence

from sqlalchemy import select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.people.tables import Company, ContractorLink, Person


def company_of(actor: Actor) -> Company:
    """The company the caller belongs to."""
    return db.session.get_one(Company, actor.company_id)


def working_people() -> Sequence[Person]:
    """Everyone of the company who can be given a visit, by name."""
    return db.session.scalars(select(Person).where(Person.ended_at.is_(None)).order_by(Person.name, Person.id)).all()


def links_of_job(job_id: uuid.UUID) -> Sequence[ContractorLink]:
    """Every link that was ever made for the job, newest first."""
    return db.session.scalars(
        select(ContractorLink)
        .where(ContractorLink.job_id == job_id)
        .order_by(ContractorLink.created_at.desc(), ContractorLink.id)
    ).all()
