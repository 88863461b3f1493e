"""Who is asking: a person of the company, or a contractor holding a link."""

import uuid
from dataclasses import dataclass
from typing import Literal, cast

from flask import g

from flarenut.errors import NotSignedIn

# Somebody who is of the company no more is `ended`: they may hand over what they had done, and nothing else.
Role = Literal["technician", "dispatcher", "contractor", "ended"]
ROLES: tuple[Role, ...] = ("technician", "dispatcher", "contractor")  # who may do anything on a job


@dataclass(frozen=True, kw_only=True)
class Actor:
    """Whoever makes this request. A contractor has a link and a firm, everyone else a person."""

    company_id: uuid.UUID
    role: Role
    device_id: uuid.UUID
    name: str
    person_id: uuid.UUID | None = None
    link_id: uuid.UUID | None = None
    link_job_id: uuid.UUID | None = None
    firm: str | None = None


def current_actor() -> Actor:
    """The one who makes this request; routes that are open to nobody in particular have none."""
    actor = g.get("actor")
    if actor is None:
        raise NotSignedIn("not_signed_in", "Sign in first.")
    return cast("Actor", actor)
