"""Every route states who may use it, right under its address."""

from collections.abc import Callable
from functools import wraps
from typing import Any, TypeVar

from flask import g

from flarenut.db import db
from flarenut.errors import NotAllowed
from flarenut.people.actor import Role
from flarenut.people.sessions import recognise

View = TypeVar("View", bound=Callable[..., Any])

PUBLIC: frozenset[str] = frozenset()


def access(*roles: Role) -> Callable[[View], View]:
    """Only these roles. It stands above the shapes, so that nothing is parsed for a stranger."""

    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(*args: Any, **kwargs: Any) -> Any:
            g.actor = recognise()
            # The connection goes back before the work begins: a photo on a poor line takes
            # minutes to arrive, and nothing may be held open meanwhile.
            db.session.rollback()
            if g.actor.role not in roles:
                raise NotAllowed("not_allowed", "This is not yours to do.")
            return view(*args, **kwargs)

        guarded.access = frozenset(roles)  # type: ignore[attr-defined]
        return guarded  # type: ignore[return-value]

    return decorate


def access_public(view: View) -> View:
    """Anyone, known or not. The route itself must guard whatever it shows."""
    view.access = PUBLIC  # type: ignore[attr-defined]
    return view
