"""Values as JSON on the wire carries them, and text that PostgreSQL can store."""

import datetime as dt
import json
import re
import uuid
from collections.abc import Iterable
from typing import Any

# PostgreSQL stores neither NUL nor half of a surrogate pair, and JSON can spell both.
_UNSTORABLE = re.compile("[\x00\ud800-\udfff]")


def text_time(moment: dt.datetime) -> str:
    """A moment as the wire writes it: UTC, milliseconds, Z."""
    return moment.astimezone(dt.UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def plain(value: Any) -> Any:
    """One column's value as JSON carries it."""
    if isinstance(value, dt.datetime):
        return text_time(value)
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, dt.time):
        return value.strftime("%H:%M")
    if isinstance(value, uuid.UUID):
        return str(value)
    return value


def object_of(told: dict[str, Any], **lists: Iterable[str]) -> str:
    """An object as JSON, and in it lists whose items are JSON already."""
    parts = [json.dumps(told, separators=(",", ":"))[1:-1]]
    parts += [f'"{name}":[{",".join(items)}]' for name, items in lists.items()]
    return "{" + ",".join(parts) + "}"


def is_storable(value: Any) -> bool:
    """Can PostgreSQL keep every text inside this value, however deep?"""
    if isinstance(value, str):
        return _UNSTORABLE.search(value) is None
    if isinstance(value, dict):
        return all(is_storable(name) and is_storable(inner) for name, inner in value.items())
    if isinstance(value, list):
        return all(map(is_storable, value))
    return True


def storable(value: Any) -> Any:
    """The same value with a replacement mark where PostgreSQL could not keep a character."""
    if isinstance(value, str):
        return _UNSTORABLE.sub("\ufffd", value)
    if isinstance(value, dict):
        return {storable(str(name)): storable(inner) for name, inner in value.items()}
    if isinstance(value, (list, tuple)):
        return [storable(inner) for inner in value]
    return value
