"""Is the line to the database still there? Asked of a line that has rested, and not before every use.

The database may have been restarted since. A line that was used a moment ago is taken as alive: should it have
died just then, one request is answered "busy", every line is forgotten, and the phone sends the same bytes again.
"""

import time
from typing import Any

from sqlalchemy import Engine, event
from sqlalchemy.exc import InvalidatePoolError

REST_S = 1.0  # as short as a phone waits before it tries again (P)
_USED_AT = "used_at_s"


def ask_after_a_rest(engine: Engine) -> None:
    """For every line of this engine. A fresh one has no time of last use, and is not asked either."""

    @event.listens_for(engine, "checkin")
    def _note(_line: Any, record: Any) -> None:
        record.info[_USED_AT] = time.monotonic()

    @event.listens_for(engine, "checkout")
    def _ask(line: Any, record: Any, _borrowed: Any) -> None:
        used_at_s = record.info.get(_USED_AT)
        if used_at_s is not None and time.monotonic() - used_at_s > REST_S and not _is_alive(engine, line=line):
            raise InvalidatePoolError


def _is_alive(engine: Engine, *, line: Any) -> bool:
    try:
        return engine.dialect.do_ping(line)
    except engine.dialect.loaded_dbapi.Error:
        return False
