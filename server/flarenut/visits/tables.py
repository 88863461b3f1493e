"""Visits, and the steps that must be done on a system or a unit."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import CheckConstraint, DateTime, ForeignKey, Index, Text
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import MutableRow


class Visit(MutableRow):
    """One trip, with its purpose and the person it is planned for."""

    __tablename__ = "visit"

    purpose: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(Text, default="planned")
    starts_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    planned_s: Mapped[int]
    person_id: Mapped[UUID] = mapped_column(ForeignKey("person.id"), index=True)
    # The name as it was when the visit was planned: phones show it without knowing the people.
    person_name: Mapped[str] = mapped_column(Text)
    note: Mapped[str] = mapped_column(Text, default="")
    summary: Mapped[dict[str, Any] | None] = mapped_column(JSONB(none_as_null=True))
    closed_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        CheckConstraint("purpose IN ('part_one', 'part_two', 'follow_up')", name="purpose"),
        CheckConstraint("state IN ('planned', 'on_site', 'closed', 'cancelled')", name="state"),
    )


class Step(MutableRow):
    """One thing that must be done; unit_id is null when it is about the whole system."""

    __tablename__ = "step"

    system_id: Mapped[UUID] = mapped_column(ForeignKey("system.id"))
    unit_id: Mapped[UUID | None] = mapped_column(ForeignKey("unit.id"))
    code: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(Text, default="todo")
    done_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))
    done_by_name: Mapped[str | None] = mapped_column(Text)
    note: Mapped[str] = mapped_column(Text, default="")
    # No foreign key: reading.step_id already points this way, and a circle of keys
    # would make the order of inserts matter to every restore.
    reading_id: Mapped[UUID | None]
    reset_by: Mapped[UUID | None]

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        CheckConstraint("state IN ('todo', 'done', 'failed', 'not_applicable')", name="state"),
        Index("ix_step_system_code", "system_id", "code"),
    )
