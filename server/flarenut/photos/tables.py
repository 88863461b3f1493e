"""Photos, and the uploads that bring their bytes."""

from datetime import datetime
from uuid import UUID

from sqlalchemy import CheckConstraint, DateTime, ForeignKey, Index, Text
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import CompanyRow, JobRow


class Photo(JobRow):
    """What is known about a photo. Its row comes first; its bytes follow when there is signal."""

    __tablename__ = "photo"

    issue_id: Mapped[UUID | None] = mapped_column(ForeignKey("issue.id"), index=True)
    reading_id: Mapped[UUID | None] = mapped_column(ForeignKey("reading.id"), index=True)
    unit_id: Mapped[UUID | None] = mapped_column(ForeignKey("unit.id"), index=True)
    sha256: Mapped[str] = mapped_column(Text)
    size_bytes: Mapped[int]
    width_px: Mapped[int]
    height_px: Mapped[int]
    state: Mapped[str] = mapped_column(Text, default="pending")
    refused_reason: Mapped[str | None] = mapped_column(Text)
    taken_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    by_name: Mapped[str] = mapped_column(Text)
    # Server only: was its issue ever the contractor's while it hung there?
    shown_to_contractor: Mapped[bool] = mapped_column(default=False)

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        CheckConstraint("state IN ('pending', 'stored', 'refused')", name="state"),
        CheckConstraint("num_nonnulls(issue_id, reading_id, unit_id) = 1", name="one_owner"),
    )


class Upload(CompanyRow):
    """The bytes of one photo on their way. One for each photo, so that a second create finds the first.

    How much has arrived is the length of the part file, never a column: a server
    killed in the middle of a chunk must not believe in bytes that it does not have.
    """

    __tablename__ = "upload"

    photo_id: Mapped[UUID] = mapped_column(ForeignKey("photo.id"), unique=True)
    size_bytes: Mapped[int]
    # Whoever holds the claim may write. A new request takes it and so stops the old one,
    # which may hang on a dead connection for minutes.
    claim: Mapped[UUID | None]
    damaged_times: Mapped[int] = mapped_column(default=0)
    created_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    expires_at: Mapped[datetime] = mapped_column(DateTime(timezone=True), index=True)
    finished_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))

    __table_args__ = (CheckConstraint("size_bytes > 0", name="size"),)
