"""One mutation as it came from a phone, before anything is believed about it."""

import hashlib
import json
import uuid
from dataclasses import dataclass
from functools import cached_property
from typing import Any

# What a phone changes when it must renumber what it has not sent; all else stays the same bytes.
_NUMBERING = ("seq",)
_DEED = ("type", "v", "entity", "fields")


@dataclass(frozen=True)
class Mutation:
    """An id, a place in its lane, and a body that may be anything."""

    id: uuid.UUID
    seq: int
    body: dict[str, Any]

    @property
    def type(self) -> str:
        """What it calls itself; empty when that is no text."""
        value = self.body.get("type")
        return value if isinstance(value, str) else ""

    @property
    def entity(self) -> uuid.UUID | None:
        """The row it is about, if that is readable."""
        return as_uuid(self.body.get("entity"))

    @property
    def replaces(self) -> uuid.UUID | None:
        """The one that was set aside, if its author sends that again with this."""
        return as_uuid(self.body.get("replaces"))

    @property
    def deed(self) -> str:
        """What it would do: equal where the same is said of the same thing again."""
        return json.dumps({name: self.body.get(name) for name in _DEED}, sort_keys=True)

    @classmethod
    def kept(cls, mutation_id: uuid.UUID, *, seq: int, text: str) -> "Mutation":
        """One that was set aside, as it came."""
        return cls(id=mutation_id, seq=seq, body=json.loads(text))

    @cached_property
    def text(self) -> str:
        """The whole of it in plain ASCII: even what no database can hold is only spelled here."""
        return json.dumps(self.body, sort_keys=True, separators=(",", ":"))

    @cached_property
    def body_hash(self) -> str:
        """Equal for equal mutations, whatever place in whatever lane they were given."""
        lasting = {name: value for name, value in self.body.items() if name not in _NUMBERING}
        return hashlib.sha256(json.dumps(lasting, sort_keys=True).encode()).hexdigest()

    def mentioned_ids(self) -> set[uuid.UUID]:
        """Every row it speaks of: the one it is about, and those its fields point at."""
        fields = self.body.get("fields")
        values = [value for name, value in (fields.items() if isinstance(fields, dict) else ()) if name.endswith("_id")]
        return {found for value in (self.body.get("entity"), *values) if (found := as_uuid(value))}


def as_uuid(value: Any) -> uuid.UUID | None:
    """The id that a text spells, or none."""
    try:
        return uuid.UUID(value) if isinstance(value, str) else None
    except ValueError:
        return None
