"""What a verb is given: one mutation, about to be applied to one locked job."""

import builtins
import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, TypeVar

from flarenut.db import CompanyRow, JobRow, MutableRow, db
from flarenut.errors import Refused
from flarenut.people.actor import Actor
from flarenut.sync.plain import plain, text_time
from flarenut.sync.sight import is_withheld
from flarenut.sync.unknown import check_room

if TYPE_CHECKING:
    from flarenut.jobs.tables import Job

Row = TypeVar("Row", bound=CompanyRow)


@dataclass(kw_only=True)
class Change:
    """Verbs write through this, so that every row they touch carries its company, job and revision."""

    actor: Actor
    job: "Job | None"
    rev: int
    entity: uuid.UUID
    type: str
    base_rev: int
    at: datetime
    device_time: str | None = None
    # The row that `base_rev` speaks of, where it is not the entity: a reading is new, and says what it knew of a step.
    base_of: uuid.UUID | None = None
    # Which table its entity is of, and what it says of it that only newer apps know.
    table: builtins.type[Any] | None = None
    unknown: dict[str, Any] = field(default_factory=dict)
    merged_fields: set[str] = field(default_factory=set)
    two_valued_fields: set[str] = field(default_factory=set)

    def add(self, row: Row) -> Row:
        """Put a new row into the job; `job.create` brings the job itself."""
        row.company_id = self.actor.company_id
        if isinstance(row, JobRow) and row.job_id is None:
            row.job_id = self.job.id if self.job is not None else self.entity
        if self.unknown and row.id == self.entity and isinstance(row, self.table or ()):
            self.set_unknown(row)
        self.stamp(row)
        db.session.add(row)
        return row

    def stamp(self, row: Any) -> None:
        """Say that the row changed, so that the next pull of every phone carries it."""
        row.rev = self.rev

    def need(self, table: builtins.type[Row], row_id: uuid.UUID | str) -> Row:
        """The row, if it is of this job. A row of another job is as unknown as one of no job."""
        row = db.session.get(table, uuid.UUID(str(row_id)))
        if row is None or self.job is None or getattr(row, "job_id", row.id) != self.job.id:
            raise Refused("not_found", f"There is no such {table.__tablename__} on this job.")
        return row

    def set_fields(self, row: "MutableRow | Job", fields: dict[str, Any]) -> None:
        """Set each field by itself; where someone else was first, keep their value beside it.

        A technician offline in a basement and the dispatcher may set the same field. The
        later arrival is current; the other value stays visible until a person, having seen
        both, sets the field again.
        """
        before = {name: getattr(row, name) for name in fields}
        self._judge(row, before=before, after=fields)
        for name, value in fields.items():
            setattr(row, name, value)
        self.stamp(row)

    def is_news(self, row: "MutableRow", name: str) -> bool:
        """Did another device set this field, and the one that speaks did not know of it?"""
        last = (row.field_revs or {}).get(name)
        return last is not None and self._is_unseen(last, base_rev=self._known_rev(row, name=name))

    def put_beside(self, row: "MutableRow", name: str, value: Any) -> None:
        """Something that this one did not know speaks against it: it waits beside what counts until a person picks."""
        own, beside = [self.rev, str(self.actor.device_id), self.actor.name, text_time(self.at)], row.two_values or {}
        other = _other_value(value, last=own, before=beside.get(name))
        row.two_values = {**beside, name: _told_beside(other, last=(row.field_revs or {}).get(name))}
        self.two_valued_fields.add(name)
        self.stamp(row)

    def set_unknown(self, row: Any) -> None:
        """Keep what only newer apps know beside what the row has of it, each field judged like any other.

        A contractor is never told of these, so whatever stands there is unseen by them.
        """
        kept = row.unknown_fields or {}
        if hasattr(row, "field_revs"):  # a reading is never changed
            before = {name: kept.get(name) for name in self.unknown}
            self._judge(row, before=before, after=self.unknown)
        kept = {**kept, **self.unknown}
        row.unknown_fields = kept
        beside = {name: two for name, two in (getattr(row, "two_values", None) or {}).items() if name in kept}
        check_room(kept, beside=beside, names=[*self.unknown], actor=self.actor)
        self.stamp(row)

    def _judge(self, row: Any, *, before: dict[str, Any], after: dict[str, Any]) -> None:
        """Note who sets what, and put aside what another device had set that this one did not know of."""
        field_revs, two_values = dict(row.field_revs or {}), dict(row.two_values or {})
        is_asked_for = row.id == (self.base_of or self.entity)  # base_rev speaks of this row and of no other
        can_pick = is_asked_for and self.actor.role != "contractor"  # who is never shown the other value
        for name, value in after.items():
            last, base_rev = field_revs.get(name), self._known_rev(row, name=name)
            if is_asked_for and last and self._is_unseen(last, base_rev=base_rev) and before[name] != value:
                two_values[name] = _other_value(before[name], last=last, before=two_values.get(name))
                self.two_valued_fields.add(name)
            elif can_pick and (last is None or base_rev >= last[0]):
                two_values.pop(name, None)
            field_revs[name] = [self.rev, str(self.actor.device_id), self.actor.name, text_time(self.at)]
            if name in two_values:
                two_values[name] = _told_beside(two_values[name], last=field_revs[name])
        if is_asked_for:
            self._note_merged(row.field_revs or {}, names=set(after))
        row.field_revs, row.two_values = field_revs, two_values

    def _known_rev(self, row: Any, *, name: str) -> int:
        """A contractor is shown neither what the company keeps to itself nor what only newer apps know."""
        is_hidden = name in self.unknown or is_withheld(row.__tablename__, name)
        return 0 if self.actor.role == "contractor" and is_hidden else self.base_rev

    def _is_unseen(self, last: list[Any], *, base_rev: int) -> bool:
        """Another device set the field, and this one did not know when its person decided."""
        return bool(last[1] != str(self.actor.device_id) and last[0] > base_rev)

    def _note_merged(self, field_revs: dict[str, Any], *, names: set[str]) -> None:
        self.merged_fields |= {
            name
            for name, last in field_revs.items()
            if name not in names and self._is_unseen(last, base_rev=self.base_rev)
        }

    @property
    def outcome(self) -> str:
        """What the receipt will say of a mutation that was applied."""
        if self.two_valued_fields:
            return "two_values"
        return "merged" if self.merged_fields else "applied"


def _other_value(value: Any, *, last: list[Any], before: dict[str, Any] | None) -> dict[str, Any]:
    """The value that is pushed aside, with the one it had pushed aside before: none is lost."""
    other = {"value": plain(value), "by_name": last[2], "at": last[3]}
    if before is None:
        return other
    return {**other, "before": {name: said for name, said in before.items() if name not in _OF_NOW}}


_OF_NOW = ("now_by_name", "now_at")


def _told_beside(other: dict[str, Any], *, last: list[Any] | None) -> dict[str, Any]:
    """With whoever set the value that counts, and when: only so can people tell whose is whose."""
    return other if last is None else {**other, **dict(zip(_OF_NOW, last[2:], strict=True))}
