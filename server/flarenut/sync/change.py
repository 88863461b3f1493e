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
    merged_fields: set[str] = field(default_factory=set)
    two_valued_fields: set[str] = field(default_factory=set)

    def add(self, row: Row) -> Row:
        """Put a new row into the job; `job.create` brings the job itself."""
        row.company_id = self.actor.company_id
        if isinstance(row, JobRow) and row.job_id is None:
            row.job_id = self.job.id if self.job is not None else self.entity
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
        field_revs, two_values = dict(row.field_revs or {}), dict(row.two_values or {})
        is_asked_for = row.id == self.entity  # base_rev speaks of this row and of no other
        for name, value in fields.items():
            last = field_revs.get(name)
            if is_asked_for and last and self._is_unseen(last) and getattr(row, name) != value:
                two_values[name] = _other_value(row, name=name, last=last, before=two_values.get(name))
                self.two_valued_fields.add(name)
            elif last is None or self.base_rev >= last[0]:
                two_values.pop(name, None)
            setattr(row, name, value)
            field_revs[name] = [self.rev, str(self.actor.device_id), self.actor.name, text_time(self.at)]
        if is_asked_for:
            self._note_merged(row.field_revs or {}, names=set(fields))
        row.field_revs, row.two_values = field_revs, two_values
        self.stamp(row)

    def _is_unseen(self, last: list[Any]) -> bool:
        """Another device set the field, and this one did not know when its person decided."""
        return bool(last[1] != str(self.actor.device_id) and last[0] > self.base_rev)

    def _note_merged(self, field_revs: dict[str, Any], *, names: set[str]) -> None:
        self.merged_fields |= {name for name, last in field_revs.items() if name not in names and self._is_unseen(last)}

    @property
    def outcome(self) -> str:
        """What the receipt will say of a mutation that was applied."""
        if self.two_valued_fields:
            return "two_values"
        return "merged" if self.merged_fields else "applied"


def _other_value(row: Any, *, name: str, last: list[Any], before: dict[str, Any] | None) -> dict[str, Any]:
    """The value that is pushed aside, with the one it had pushed aside before: none is lost."""
    other = {"value": plain(getattr(row, name)), "by_name": last[2], "at": last[3]}
    return other if before is None else {**other, "before": before}
