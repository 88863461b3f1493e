"""Older versions of a type of mutation, raised to the newest one before its shape is read.

A phone that comes back after weeks sends what its old app saved, and no app ever rewrites what waits
in an outbox. A new version only says the same thing otherwise: a field renamed, split, or new with a
value that the old app meant all along. What changes its meaning is a new type. Fields that a
converter does not know go through it untouched.
"""

from collections.abc import Callable
from typing import Any

from flarenut.errors import Invalid

Fields = dict[str, Any]

TAKEN = 3  # the newest version and the two before it

# (type, older version) -> its fields as the next version says them.
UPWARD: dict[tuple[str, int], Callable[[Fields], Fields]] = {}


def check_version(v: object, *, newest: int) -> None:
    """Too old or too new is kept whole: an update of the server, or of the app, may yet read it."""
    if isinstance(v, bool) or not isinstance(v, int) or not max(1, newest - TAKEN + 1) <= v <= newest:
        raise Invalid("unknown_version", "This server does not know that version of the change.")


def raised_to_newest(fields: Fields, *, kind: str, v: int, newest: int) -> Fields:
    """Step by step; what came stays as it came, for it may have to be kept aside."""
    for version in range(v, newest):
        fields = UPWARD[kind, version](dict(fields))
    return fields
