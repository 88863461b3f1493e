"""The job and what stands on it: systems, units, and the limits sheet."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import BigInteger, CheckConstraint, DateTime, ForeignKey, Index, Text, UniqueConstraint
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import CompanyRow, JobRow, KeepsUnknown, MutableRow


class Job(KeepsUnknown, CompanyRow):
    """One site's start-up. Its rev is the head of the job: every change of any of its rows bumps it."""

    __tablename__ = "job"

    rev: Mapped[int] = mapped_column(BigInteger, default=0)
    field_revs: Mapped[dict[str, Any]] = mapped_column(JSONB, default=dict)
    two_values: Mapped[dict[str, Any]] = mapped_column(JSONB, default=dict)
    name: Mapped[str] = mapped_column(Text)
    address: Mapped[str] = mapped_column(Text, default="")
    contractor_firm: Mapped[str] = mapped_column(Text, default="")
    time_zone: Mapped[str] = mapped_column(Text)
    shift_start: Mapped[str] = mapped_column(Text)
    shift_end: Mapped[str] = mapped_column(Text)
    shift_days: Mapped[list[Any]] = mapped_column(JSONB)
    state: Mapped[str] = mapped_column(Text, default="open")
    invented: Mapped[bool] = mapped_column(default=False)
    created_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))

    # Not stored: (rev, number) of the issue that was numbered last in this transaction.
    last_numbered = (0, 0)

    __table_args__ = (CheckConstraint("state IN ('open', 'finished')", name="state"),)


class System(KeepsUnknown, JobRow):
    """One refrigerant circuit."""

    __tablename__ = "system"

    tag: Mapped[str] = mapped_column(Text)
    kind: Mapped[str] = mapped_column(Text)
    refrigerant: Mapped[str] = mapped_column(Text, default="")
    nominal_v: Mapped[float | None]
    supply_tolerance_pct: Mapped[float | None]
    unbalance_limit_pct: Mapped[float | None]

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        UniqueConstraint("job_id", "tag"),
        CheckConstraint("kind IN ('heat_recovery', 'heat_pump')", name="kind"),
    )


class Unit(MutableRow):
    """Anything with a tag that a person can stand before."""

    __tablename__ = "unit"

    # A central controller may serve every system; it then belongs to none.
    system_id: Mapped[UUID | None] = mapped_column(ForeignKey("system.id"))
    kind: Mapped[str] = mapped_column(Text)
    tag: Mapped[str] = mapped_column(Text)
    floor: Mapped[str] = mapped_column(Text, default="")
    floor_order: Mapped[int] = mapped_column(default=0)
    place: Mapped[str] = mapped_column(Text, default="")
    room: Mapped[str] = mapped_column(Text, default="")
    room_m3: Mapped[float | None]
    parent_id: Mapped[UUID | None] = mapped_column(ForeignKey("unit.id"))
    port: Mapped[int | None]
    port_count: Mapped[int | None]
    group_address: Mapped[str] = mapped_column(Text, default="")
    central_address: Mapped[str] = mapped_column(Text, default="")
    feeder: Mapped[str] = mapped_column(Text, default="")
    # The liquid line that leads to it.
    line_size: Mapped[str | None] = mapped_column(Text)
    line_length_m: Mapped[float | None]
    model_note: Mapped[str] = mapped_column(Text, default="")

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        UniqueConstraint("job_id", "tag"),
        CheckConstraint(
            "kind IN ('outdoor_module', 'branch_box', 'joint', 'indoor_unit', 'wall_controller', 'central_controller')",
            name="kind",
        ),
    )


class Limit(JobRow):
    """One number that decides pass or fail on this job, with where it comes from."""

    __tablename__ = "limit"

    name: Mapped[str] = mapped_column(Text)
    value: Mapped[float]
    unit: Mapped[str] = mapped_column(Text)
    source: Mapped[str] = mapped_column(Text)
    mark: Mapped[str] = mapped_column(Text)

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        UniqueConstraint("job_id", "name"),
        CheckConstraint("mark IN ('S', 'L', 'H', 'P', 'M')", name="mark"),
    )
