"""People, companies and links, made through the same verbs as the command line uses."""

import itertools
import uuid
from dataclasses import dataclass

from flarenut.db import db, writing
from flarenut.people.actor import Actor, Role
from flarenut.people.links import make_link
from flarenut.people.tables import Company
from flarenut.people.verbs import add_person, end_person, enter_company_named
from tests.builders.world import World, behind_the_wall

PASSWORD = "an invented password"
_numbers = itertools.count(1)


@dataclass(frozen=True)
class CastMember:
    """Someone who can sign in."""

    id: uuid.UUID
    company_id: uuid.UUID
    company_name: str
    name: str
    email: str
    role: str


@dataclass(frozen=True)
class Link:
    """A contractor's link, with the secret that only its maker knows."""

    id: uuid.UUID
    company_id: uuid.UUID
    job_id: uuid.UUID
    secret: str


def a_company(name: str = "") -> str:
    """A company of its own, by name."""
    name = name or f"Invented Climate {next(_numbers)}"
    with World.app.test_request_context(), writing():
        enter_company_named(name)
    return name


def _a_person(role: Role, *, name: str, company: str) -> CastMember:
    email = f"{name.lower()}.{next(_numbers)}@invented.example"
    with World.app.test_request_context(), writing():
        row: Company = enter_company_named(company or a_company())
        person = add_person(row, email=email, name=name, role=role, password=PASSWORD)
        db.session.flush()
        return CastMember(person.id, row.id, row.name, person.name, person.email, person.role)


def a_technician(name: str = "Tom", *, company: str = "") -> CastMember:
    """Someone who goes to sites."""
    return _a_person("technician", name=name, company=company)


def a_dispatcher(name: str = "Dora", *, company: str = "") -> CastMember:
    """Someone who sets jobs up."""
    return _a_person("dispatcher", name=name, company=company)


def end(person: CastMember) -> None:
    """They work here no more."""
    with World.app.test_request_context(), writing():
        end_person(enter_company_named(person.company_name), email=person.email)


def a_link(
    by: CastMember, *, job_id: str, firm: str = "Invented Pipes", recipient: str = "Carl Copper", days: int = 30
) -> Link:
    """A contractor's link to a job, handed out by someone of the company."""
    actor = Actor(company_id=by.company_id, role="dispatcher", device_id=uuid.uuid4(), name=by.name, person_id=by.id)
    with behind_the_wall(by.company_id):
        made = make_link(actor, job_id=uuid.UUID(job_id), firm=firm, recipient=recipient, days=days)
        db.session.flush()
        return Link(made.row.id, by.company_id, uuid.UUID(job_id), made.secret)
