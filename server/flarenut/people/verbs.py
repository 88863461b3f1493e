"""What can happen to people: they are added and ended, and they sign in and out."""

import dataclasses
import uuid
from typing import Any

from sqlalchemy import text, update

from flarenut.db import db, enter_company
from flarenut.errors import Invalid, NotFound, NotSignedIn, Refused
from flarenut.people.actor import Actor, Role
from flarenut.people.devices import device_of
from flarenut.people.passwords import hash_password, is_password
from flarenut.people.sessions import new_token, token_hash, utc_now
from flarenut.people.tables import Company, DeviceSession, Person


def sign_in(*, email: str, password: str, device_id: uuid.UUID, device_name: str) -> tuple[Actor, str]:
    """Who signs in, and the token for their cookie. The answer never says which part was wrong."""
    person = _person_at_the_door(email)
    if not is_password(password, stored=person.password_hash if person else None) or person is None:
        raise NotSignedIn("wrong_sign_in", "That e-mail address and password do not go together.")
    enter_company(person.company_id)
    actor = Actor(
        company_id=person.company_id,
        role=person.role,
        device_id=device_id,
        name=person.name,
        person_id=person.person_id,
    )
    device_id = device_of(actor, wanted=device_id, name=device_name)
    return dataclasses.replace(actor, device_id=device_id), _open_session(actor, device_id=device_id)


def _person_at_the_door(email: str) -> Any:
    query = text("SELECT * FROM door_person(:email)")
    return db.session.execute(query, {"email": email.strip().lower()}).one_or_none()


def _open_session(actor: Actor, *, device_id: uuid.UUID) -> str:
    """One session for a device: what an older sign-in on it left behind opens nothing any more."""
    is_older = (DeviceSession.device_id == device_id) & DeviceSession.ended_at.is_(None)
    db.session.execute(update(DeviceSession).where(is_older).values(ended_at=utc_now()))
    token = new_token()
    db.session.add(
        DeviceSession(
            company_id=actor.company_id,
            device_id=device_id,
            person_id=actor.person_id,
            token_hash=token_hash(token),
        )
    )
    return token


def enter_company_named(name: str) -> Company:
    """The company of that name, made if there is none. For the command line, never for a request."""
    known = _company_at_the_door(name)
    company_id = known or uuid.uuid4()
    enter_company(company_id)
    if known is None:
        db.session.add(Company(id=company_id, name=name))
        db.session.flush()
    return db.session.get_one(Company, company_id)


def enter_known_company(name: str) -> Company:
    """The company of that name. A slip of the pen must not make another one."""
    company_id = _company_at_the_door(name)
    if company_id is None:
        raise NotFound("not_found", f"There is no company named {name!r}.")
    enter_company(company_id)
    return db.session.get_one(Company, company_id)


def _company_at_the_door(name: str) -> uuid.UUID | None:
    found = db.session.scalar(text("SELECT * FROM door_company(:name)"), {"name": name})
    return uuid.UUID(str(found)) if found else None


def add_person(company: Company, *, email: str, name: str, role: Role, password: str) -> Person:
    """Someone new who can sign in."""
    if role not in ("technician", "dispatcher"):
        raise Invalid("invalid", "A person is a technician or a dispatcher.", {"role": ["unknown role"]})
    email = email.strip().lower()
    if _person_at_the_door(email) is not None:
        raise Refused("email_taken", "Someone signs in with that e-mail address already.")
    person = Person(company_id=company.id, email=email, name=name, role=role, password_hash=hash_password(password))
    db.session.add(person)
    _people_changed(company.id)
    return person


def end_person(company: Company, *, email: str) -> Person:
    """They sign in no more and see nothing, at once and everywhere; what they recorded keeps their name.

    Their devices stay known for as long as they would have been: what was done on them and not sent is
    handed over, and they learn that they have to let go of the rest.
    """
    found = _person_at_the_door(email)
    person = db.session.get(Person, found.person_id) if found else None
    if person is None:
        raise NotFound("not_found", "Nobody of this company signs in with that e-mail address.")
    person.ended_at = utc_now()
    _people_changed(company.id)
    return person


def _people_changed(company_id: uuid.UUID) -> None:
    """Phones compare this number and fetch the list of people again when it has moved."""
    is_it = Company.id == company_id
    db.session.execute(update(Company).where(is_it).values(people_rev=Company.people_rev + 1))
