"""Signed in on a device, or come by a link: cookies, tokens, and who they stand for."""

import datetime as dt
import hashlib
import hmac
import secrets
import uuid
from dataclasses import dataclass
from typing import Any

from flask import Response, after_this_request, current_app, g, request
from sqlalchemy import update

from flarenut.db import db, enter_company, writing
from flarenut.errors import NotSignedIn
from flarenut.people.actor import Actor
from flarenut.people.tables import DeviceSession, LinkSession

COOKIES = {"device": "__Host-flarenut_device", "link": "__Host-flarenut_link"}
AS_HEADER = "X-Flarenut-As"

IDLE = dt.timedelta(days=14)
ABSOLUTE = dt.timedelta(days=30)
LINK_SESSION = dt.timedelta(hours=12)  # of rest: a contractor's night (P); the link itself opens another
ROTATE_AFTER = dt.timedelta(hours=24)
TOUCH_AFTER = dt.timedelta(hours=1)  # seldom enough to cost nothing, often enough to judge two weeks of rest
_CHANGES_NOTHING = ("GET", "HEAD", "OPTIONS")
# Requests sent side by side with the old token may still arrive after the new one has been used.
PREVIOUS_GRACE = dt.timedelta(minutes=2)


def new_token() -> str:
    """256 random bits, as text that fits a cookie or the fragment of an address."""
    return secrets.token_urlsafe(32)


def token_hash(token: str) -> str:
    """What is stored of a token. It has 256 random bits, so no salt and no slow hash are needed."""
    return hashlib.sha256(token.encode()).hexdigest()


def utc_now() -> dt.datetime:
    """The one clock of the people's side of the server."""
    return dt.datetime.now(dt.UTC)


def recognise() -> Actor:
    """Who sent this request, by the cookie that the header names.

    The header is also the guard against requests forged by another site: a page of
    another origin cannot set it without being asked first, and is never answered.
    """
    kind = request.headers.get(AS_HEADER, "")
    token = request.cookies.get(COOKIES.get(kind, ""), "")
    if not token:
        raise NotSignedIn("not_signed_in", "Sign in first.")
    return _by_device(token) if kind == "device" else _by_link(token)


@dataclass(frozen=True, kw_only=True)
class Presented:
    """A token as it came, and the session it opened."""

    token: str
    session: Any
    is_previous: bool


def _by_device(token: str) -> Actor:
    hashed = token_hash(token)
    session = _at_the_door("door_device_session", hashed)
    now = utc_now()
    if session is None or session.seen_at < now - IDLE or session.created_at < now - ABSOLUTE:
        raise NotSignedIn("session_ended", "Sign in again. Everything on this phone is kept.")
    g.session_id = session.session_id
    enter_company(session.company_id)
    if request.method not in _CHANGES_NOTHING:
        _keep_fresh(Presented(token=token, session=session, is_previous=hashed != session.token_hash))
    return Actor(
        company_id=session.company_id,
        role=session.role,
        device_id=session.device_id,
        name=session.name,
        person_id=session.person_id,
    )


def _by_link(token: str) -> Actor:
    session = _at_the_door("door_link_session", token_hash(token))
    if session is None:
        raise NotSignedIn("link_ended", "This link has ended. Ask for a new one.")
    if session.expires_at <= utc_now():
        raise NotSignedIn("link_session_ended", "Open the link you were sent again. Everything on this phone is kept.")
    g.session_id = session.session_id
    enter_company(session.company_id)
    if request.method not in _CHANGES_NOTHING:
        _keep_open(session, token=token)
    return Actor(
        company_id=session.company_id,
        role="contractor",
        device_id=session.device_id,
        name=session.recipient,
        link_id=session.link_id,
        link_job_id=session.job_id,
        firm=session.firm,
    )


def _at_the_door(look_up: str, value: str) -> Any:
    """Ask one of the few look-ups that may see past the wall, before the company is known.

    Nothing else is asked there, and in no transaction: every one that begins is behind the wall from its start.
    """
    with db.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as door:
        query = f"SELECT * FROM {look_up}(%(value)s)"  # noqa: S608 -- the name is one of ours, never from a request.
        return door.exec_driver_sql(query, {"value": value}).one_or_none()


def _keep_fresh(presented: Presented) -> None:
    """Note that the session lives, and give it a new token once a day."""
    session, now = presented.session, utc_now()
    changes: dict[str, Any] = {}
    if session.seen_at < now - TOUCH_AFTER:
        changes["seen_at"] = now
    if presented.is_previous:
        # The answer that carried the new token was lost, or is still on its way: give it again.
        following = successor(presented.token)
        _set_cookie_later("device", following, max_age=ABSOLUTE)
        if token_hash(following) != session.token_hash:  # the server was given a new secret meanwhile
            changes["token_hash"] = token_hash(following)
    elif session.rotated_at < now - ROTATE_AFTER:
        changes |= _rotation(presented.token, now=now)
    elif session.previous_hash is not None and session.previous_until is None:
        changes["previous_until"] = now + PREVIOUS_GRACE  # the new token has arrived: the old one may go
    if changes:
        with writing():
            mine = DeviceSession.id == session.session_id
            db.session.execute(update(DeviceSession).where(mine).values(**changes))


def _keep_open(session: Any, *, token: str) -> None:
    """Whoever works on keeps the door open, never longer than the link itself; after a rest it shuts."""
    until = min(utc_now() + LINK_SESSION, session.link_expires_at)
    if until - session.expires_at > TOUCH_AFTER:
        with writing():
            mine = LinkSession.id == session.session_id
            db.session.execute(update(LinkSession).where(mine).values(expires_at=until))
        _set_cookie_later("link", token, max_age=LINK_SESSION)


def _rotation(token: str, *, now: dt.datetime) -> dict[str, Any]:
    following = successor(token)
    _set_cookie_later("device", following, max_age=ABSOLUTE)
    return {
        "token_hash": token_hash(following),
        "previous_hash": token_hash(token),
        "previous_until": None,  # open until the new token is first used, however long the phone is away
        "rotated_at": now,
        "seen_at": now,
    }


def successor(token: str) -> str:
    """The token that follows this one. Without the server's secret it cannot be guessed.

    It is derived and not drawn, so that two requests racing through a rotation, or a
    phone that never got the answer, are all given the same one.
    """
    key = current_app.config["SECRET_KEY"].encode()
    return hmac.new(key, b"next device token:" + token.encode(), hashlib.sha256).hexdigest()


def _set_cookie_later(kind: str, token: str, *, max_age: dt.timedelta) -> None:
    @after_this_request
    def _carry(response: Response) -> Response:
        set_cookie(response, kind=kind, token=token, max_age=max_age)
        return response


def set_cookie(response: Response, *, kind: str, token: str, max_age: dt.timedelta) -> None:
    """Sealed against scripts, other sites, plain lines and other hosts."""
    response.set_cookie(COOKIES[kind], token, max_age=max_age, path="/", secure=True, httponly=True, samesite="Strict")


def drop_cookie(response: Response, *, kind: str) -> None:
    """Take the cookie away again; everything else on the phone stays."""
    response.delete_cookie(COOKIES[kind], path="/", secure=True, httponly=True, samesite="Strict")


def end_session(session_id: uuid.UUID) -> None:
    """The token opens nothing any more, wherever a copy of it may lie."""
    mine = DeviceSession.id == session_id
    db.session.execute(update(DeviceSession).where(mine).values(ended_at=utc_now()))
