"""A link handed out from the command line, in the name of someone of the company."""

import argparse
import uuid

from sqlalchemy import select

from flarenut.config import read_settings
from flarenut.db import db
from flarenut.errors import Invalid, NotFound
from flarenut.people.authors import author_of
from flarenut.people.links import link_address, make_link
from flarenut.people.tables import Person
from flarenut.sync.sight import need_job


def link_from_desk(asked: argparse.Namespace) -> str:
    """The address of a new link."""
    person = db.session.scalar(select(Person).where(Person.email == asked.email.strip().lower()))
    actor = author_of(person.id, link_id=None, device_id=uuid.uuid4()) if person else None
    if actor is None:
        raise NotFound("not_found", "Nobody of this company has that e-mail address.")
    job_id = _job_id(asked.job)
    need_job(actor, job_id=job_id)
    made = make_link(actor, job_id=job_id, firm=asked.firm, recipient=asked.recipient, days=asked.days)
    settings = read_settings()
    origin = settings["FLARENUT_ORIGIN"] or f"http://localhost:{settings['FLARENUT_PORT']}"
    return link_address(origin, secret=made.secret)


def _job_id(typed: str) -> uuid.UUID:
    try:
        return uuid.UUID(typed)
    except ValueError as error:
        raise Invalid("invalid", "The job is named by its id, as in the address of its page.") from error
