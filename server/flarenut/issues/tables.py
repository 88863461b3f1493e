"""Issues, and the history of each."""

from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import BigInteger, CheckConstraint, Date, DateTime, ForeignKey, Index, Text, UniqueConstraint
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import JobRow, MutableRow


class Issue(MutableRow):
    """One defect, standing on one unit."""

    __tablename__ = "issue"

    # Given by the server in order of arrival; a phone shows the issue without one until then.
    number: Mapped[int]
    unit_id: Mapped[UUID] = mapped_column(ForeignKey("unit.id"), index=True)
    system_id: Mapped[UUID | None] = mapped_column(ForeignKey("system.id"))
    category: Mapped[str] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text)
    action: Mapped[str] = mapped_column(Text, default="")
    evidence: Mapped[str] = mapped_column(Text, default="")
    stops: Mapped[list[Any]] = mapped_column(JSONB, default=list)
    opens_circuit: Mapped[bool] = mapped_column(default=False)
    who_must_act: Mapped[str] = mapped_column(Text)
    state: Mapped[str] = mapped_column(Text, default="open")
    visit_id: Mapped[UUID | None] = mapped_column(ForeignKey("visit.id"))
    raised_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    raised_by_name: Mapped[str] = mapped_column(Text)
    due_on: Mapped[date | None] = mapped_column(Date)
    promised_on: Mapped[date | None] = mapped_column(Date)
    answered_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))
    answered_by_name: Mapped[str | None] = mapped_column(Text)
    proved_by_name: Mapped[str | None] = mapped_column(Text)
    closed_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))
    times_reopened: Mapped[int] = mapped_column(default=0)
    accepted_by_name: Mapped[str | None] = mapped_column(Text)
    accepted_reason: Mapped[str | None] = mapped_column(Text)
    # Server only: everyone who said "fixed" since the issue was last open, so that no fixer proves the fix.
    fixed_by_person_ids: Mapped[list[str]] = mapped_column(JSONB, default=list)
    answered_by_link_id: Mapped[UUID | None]
    # Server only: when it last ceased to be the contractor's, so that it is taken back from whoever held it.
    left_contractor_rev: Mapped[int | None] = mapped_column(BigInteger)

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        UniqueConstraint("job_id", "number"),
        CheckConstraint("state IN ('open', 'answered', 'proved', 'sent_back', 'accepted')", name="state"),
        CheckConstraint(
            "who_must_act IN ('contractor', 'technician', 'dispatcher', 'electrician', 'customer')",
            name="who_must_act",
        ),
    )


class IssueEvent(JobRow):
    """One line of an issue's history. Never edited."""

    __tablename__ = "issue_event"

    # At which revision it was made: the order of the lines. `rev` moves on whenever its reader may change.
    made_rev: Mapped[int] = mapped_column(BigInteger)
    issue_id: Mapped[UUID] = mapped_column(ForeignKey("issue.id"), index=True)
    kind: Mapped[str] = mapped_column(Text)
    words: Mapped[str] = mapped_column(Text, default="")
    promised_on: Mapped[date | None] = mapped_column(Date)
    by_name: Mapped[str] = mapped_column(Text)
    # Null where a contractor did it, through a link. Two people can bear one name, and names change.
    by_person_id: Mapped[UUID | None]
    by_role: Mapped[str] = mapped_column(Text)
    at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    # Server only: was the issue the contractor's when this was said? Other lines stay with the company.
    shown_to_contractor: Mapped[bool]
