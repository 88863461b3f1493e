"""How many questions the server asks its database while something happens."""

from collections.abc import Callable
from typing import Any

from sqlalchemy import event

from flarenut.db import db
from tests.builders.world import World


def questions_asked(act: Callable[[], object]) -> int:
    """The number of statements, whoever sends them."""
    asked: list[str] = []
    with World.app.app_context():
        engine = db.engine

    def note(*arguments: Any) -> None:
        asked.append(arguments[2])

    event.listen(engine, "before_cursor_execute", note)
    try:
        act()
    finally:
        event.remove(engine, "before_cursor_execute", note)
    return len(asked)
