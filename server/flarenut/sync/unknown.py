"""Fields that only a newer app knows: kept with their row and sent on as they came.

A phone may be newer than this server, and a row may pass through a phone that is older than the one that
wrote it. What a field means is nobody's business here: a later version that learns it takes it over by a
migration. Names that the server uses itself are not taken, so that no column can be written this way.
"""

import json
from functools import cache
from typing import Any

from marshmallow import Schema, ValidationError

from flarenut.body import NoNumber
from flarenut.people.actor import Actor
from flarenut.sync.plain import is_storable

Fields = dict[str, Any]

# A few new fields of a form, and a text as long as a note among them; more is a thing of its own (P).
LARGEST_BYTES = 16_000  # of one row, as JSON, with the values that wait beside them
LARGEST_BYTES_OF_A_LINK = LARGEST_BYTES // 4  # so that a contractor leaves room for the company
LONGEST_NAME = 60
DEEPEST = 8  # one for the value itself, one for each list or object inside another

# What every row has in the database, on the wire or on a phone, and what JavaScript keeps to itself.
_OF_EVERY_ROW = frozenset(
    {
        *("id", "company_id", "job_id", "rev", "table", "fields", "pending"),
        *("field_revs", "two_values", "unknown_fields"),
        *("__proto__", "constructor", "prototype"),
    }
)


def unknown_in(fields: Fields, *, shape: type[Schema], table: Any, where: str = "") -> Fields:
    """What of these fields is neither in the shape nor a name of the server's own; refused where it is too much."""
    unknown = {name: value for name, value in fields.items() if name not in _taken_names(shape, table)}
    wrong = {f"{where}{name[:LONGEST_NAME]}": [why] for name, value in unknown.items() if (why := _wrong(name, value))}
    if wrong:
        raise ValidationError(wrong)
    if where:
        check_room(unknown, beside={}, names=[f"{where}{name}" for name in unknown])
    return unknown


@cache
def _taken_names(shape: type[Schema], table: Any) -> frozenset[str]:
    return _OF_EVERY_ROW | shape().fields.keys() | set(table.__table__.columns.keys())


def _wrong(name: str, value: Any) -> str:
    """Why such a field cannot be kept; empty where it can."""
    if len(name) > LONGEST_NAME:
        return f"the name of a field may be at most {LONGEST_NAME} characters long; this is {len(name)}"
    if not (is_storable(name) and is_storable(value)):
        return "holds a character that cannot be stored (NUL or half a character)"
    return _wrong_inside(value, depth=1)


def _wrong_inside(value: Any, *, depth: int) -> str:
    if depth > DEEPEST:
        return f"may be at most {DEEPEST} levels deep"
    if isinstance(value, NoNumber):
        return "contains a number that is not finite"
    if isinstance(value, dict):
        value = list(value.values())
    if not isinstance(value, list):
        return ""
    return next((why for inner in value if (why := _wrong_inside(inner, depth=depth + 1))), "")


def check_room(kept: Fields, *, beside: Fields, names: list[str], actor: Actor | None = None) -> None:
    """All that a row keeps of such fields has one limit, however many changes brought it."""
    most = LARGEST_BYTES_OF_A_LINK if actor is not None and actor.role == "contractor" else LARGEST_BYTES
    size = sum(len(json.dumps(part, ensure_ascii=False).encode()) for part in (kept, beside) if part)
    if size > most:
        why = f"fields that this server does not know may have {most} bytes of JSON on one row; these are {size}"
        raise ValidationError({name: [why] for name in names})
