"""Readings: what was measured or seen, and the verdict computed from it. Never edited."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import BigInteger, CheckConstraint, DateTime, ForeignKey, Index, Text
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import JobRow, KeepsUnknown


class Reading(KeepsUnknown, JobRow):
    """One measurement. A correction is a new reading whose replaces_id names the old one."""

    __tablename__ = "reading"

    # At which revision it was made: which of two is the later one. Times of two phones do not say it.
    made_rev: Mapped[int] = mapped_column(BigInteger)
    calculation: Mapped[str] = mapped_column(Text)
    system_id: Mapped[UUID | None] = mapped_column(ForeignKey("system.id"))
    unit_id: Mapped[UUID | None] = mapped_column(ForeignKey("unit.id"), index=True)
    step_id: Mapped[UUID | None] = mapped_column(ForeignKey("step.id"))
    visit_id: Mapped[UUID | None] = mapped_column(ForeignKey("visit.id"))
    # inputs are SI as the engine takes them; entered is what was typed, in its unit, untouched.
    inputs: Mapped[dict[str, Any]] = mapped_column(JSONB)
    entered: Mapped[dict[str, Any]] = mapped_column(JSONB, default=dict)
    outputs: Mapped[dict[str, Any]] = mapped_column(JSONB)
    server_outputs: Mapped[dict[str, Any]] = mapped_column(JSONB)
    verdict: Mapped[str | None] = mapped_column(Text)
    engine_version: Mapped[str] = mapped_column(Text)
    differs: Mapped[bool] = mapped_column(default=False)
    instrument: Mapped[dict[str, Any] | None] = mapped_column(JSONB(none_as_null=True))
    reason: Mapped[str | None] = mapped_column(Text)
    taken_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    by_name: Mapped[str] = mapped_column(Text)
    replaces_id: Mapped[UUID | None] = mapped_column(ForeignKey("reading.id"))

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        CheckConstraint("verdict IN ('pass', 'fail', 'unclear')", name="verdict"),
    )
