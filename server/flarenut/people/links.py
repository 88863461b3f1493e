"""Links for contractors: one door for one recipient to one job, that can be shut at any time."""

import datetime as dt
import io
import uuid
from dataclasses import dataclass
from typing import Any

import segno
from sqlalchemy import text, update

from flarenut.db import db, enter_company
from flarenut.errors import NotFound
from flarenut.people.actor import Actor
from flarenut.people.devices import device_of
from flarenut.people.sessions import LINK_SESSION, new_token, token_hash, utc_now
from flarenut.people.tables import ContractorLink, LinkSession


@dataclass(frozen=True, kw_only=True)
class NewLink:
    """A link just made. The secret is known here, once, and nowhere afterwards."""

    row: ContractorLink
    secret: str


def make_link(actor: Actor, *, job_id: uuid.UUID, firm: str, recipient: str, days: int) -> NewLink:
    """A link for one recipient. Two people of one firm get two, so that one can be shut alone."""
    secret, now = new_token(), utc_now()
    row = ContractorLink(
        company_id=actor.company_id,
        job_id=job_id,
        firm=firm,
        recipient=recipient,
        secret_hash=token_hash(secret),
        created_at=now,
        created_by_person_id=actor.person_id,
        expires_at=now + dt.timedelta(days=days),
    )
    db.session.add(row)
    return NewLink(row=row, secret=secret)


def revoke_link(link: ContractorLink) -> None:
    """Shut the door, also for whoever is inside: their next request finds nothing."""
    if link.revoked_at is None:
        link.revoked_at = utc_now()


def open_link(secret: str, *, device_id: uuid.UUID) -> tuple[Any, uuid.UUID, str]:
    """The link, the device id to use, and a token for a short session; the secret stays off later requests."""
    query = text("SELECT * FROM door_link(:hash)")
    link = db.session.execute(query, {"hash": token_hash(secret)}).one_or_none()
    if link is None:
        raise NotFound("link_ended", "This link does not open anything, or not any more. Ask for a new one.")
    enter_company(link.company_id)
    actor = Actor(
        company_id=link.company_id,
        role="contractor",
        device_id=device_id,
        name=link.recipient,
        link_id=link.link_id,
    )
    device_id, token, now = device_of(actor, wanted=device_id, name="link"), new_token(), utc_now()
    db.session.add(
        LinkSession(
            company_id=link.company_id,
            link_id=link.link_id,
            device_id=device_id,
            token_hash=token_hash(token),
            expires_at=min(now + LINK_SESSION, link.expires_at),
        )
    )
    is_it = ContractorLink.id == link.link_id
    db.session.execute(update(ContractorLink).where(is_it).values(last_opened_at=now))
    return link, device_id, token


def takes_over(actor: Actor, *, link_id: uuid.UUID) -> bool:
    """May the holder of this link go on with what was begun under that one?

    It is theirs, or made out to the same person of the same firm; or it has ended, so that what is left on a
    phone can only go by another.
    """
    if link_id == actor.link_id:
        return True
    link = db.session.get_one(ContractorLink, link_id)
    if link.revoked_at is not None or link.expires_at <= utc_now():
        return True
    is_named = _plain(actor.name) != ""  # where nobody is named, it is nobody's for certain
    return is_named and (_plain(link.firm), _plain(link.recipient)) == (_plain(actor.firm or ""), _plain(actor.name))


def _plain(name: str) -> str:
    """Compared as the phone does it: typed twice, a name is seldom spaced and written alike."""
    return " ".join(name.split()).lower()


def link_address(origin: str, *, secret: str) -> str:
    """The secret is in the fragment: it is never sent, logged or handed on as a referrer."""
    return f"{origin.rstrip('/')}/answer#{secret}"


def qr_svg(address: str) -> str:
    """The address as a picture for another phone's camera; dark on white in every mode."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        out, kind="svg", scale=4, border=4, dark="#000000", light="#ffffff", xmldecl=False
    )
    return out.getvalue().decode()
