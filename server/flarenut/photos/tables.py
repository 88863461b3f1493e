"""Photos, and the uploads that bring their bytes."""

from datetime import datetime
from typing import Any
from uuid import UUID

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    DateTime,
    ForeignKey,
    Index,
    LargeBinary,
    Text,
    UniqueConstraint,
    text,
)
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import CompanyRow, MutableRow


class Photo(MutableRow):
    """What is known about a photo. Its row comes first; its bytes follow when there is signal."""

    __tablename__ = "photo"

    # At which revision it was announced: the order of photos. `rev` moves on with its bytes, marks and readers.
    made_rev: Mapped[int] = mapped_column(BigInteger)
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
    # Server only: by which link it was announced, if not by someone of the company.
    by_link_id: Mapped[UUID | None] = mapped_column(ForeignKey("contractor_link.id"))
    # Drawn over the picture wherever it shows; they are only ever added to.
    marks: Mapped[list[dict[str, Any]]] = mapped_column(JSONB, default=list, server_default=text("'[]'"))
    # Server only: was its issue ever the contractor's while it hung there?
    shown_to_contractor: Mapped[bool] = mapped_column(default=False)

    __table_args__ = (
        Index(None, "job_id", "rev", "id"),
        Index(None, "sha256"),
        CheckConstraint("state IN ('pending', 'stored', 'refused')", name="state"),
        CheckConstraint("num_nonnulls(issue_id, reading_id, unit_id) = 1", name="one_owner"),
    )


class Upload(CompanyRow):
    """Bytes on their way. A photo's upload has the photo's id, so that a second create finds the first.

    Every piece that arrives is written together with the new count, in one transaction: whoever
    asks any server is told exactly what is there, whatever was killed meanwhile.
    """

    __tablename__ = "upload"

    # An upload that nobody has announced as a photo is the device's that made it, and is soon forgotten.
    photo_id: Mapped[UUID | None] = mapped_column(ForeignKey("photo.id"), unique=True)
    device_id: Mapped[UUID | None] = mapped_column(ForeignKey("device.id"))
    size_bytes: Mapped[int]
    received_bytes: Mapped[int] = mapped_column(default=0)
    said_metadata: Mapped[str] = mapped_column(Text, default="")
    # Whoever holds the claim may write. A new request takes it and so stops the old one,
    # which may hang on a dead connection for minutes.
    claim: Mapped[UUID | None]
    # The claim of a request whose body is coming. While it holds the claim, whoever asks gives it a moment
    # to count what has come so far.
    writer: Mapped[UUID | None]
    damaged_times: Mapped[int] = mapped_column(default=0)
    created_at: Mapped[datetime] = mapped_column(DateTime(timezone=True))
    expires_at: Mapped[datetime] = mapped_column(DateTime(timezone=True), index=True)
    finished_at: Mapped[datetime | None] = mapped_column(DateTime(timezone=True))

    __table_args__ = (
        CheckConstraint("received_bytes BETWEEN 0 AND size_bytes", name="size"),
        CheckConstraint("num_nonnulls(photo_id, device_id) = 1", name="whose"),
    )


class UploadPart(CompanyRow):
    """A piece of an upload, kept here until the upload is whole: every server sees it at once."""

    __tablename__ = "upload_part"

    upload_id: Mapped[UUID] = mapped_column(ForeignKey("upload.id", ondelete="CASCADE"))
    from_byte: Mapped[int]
    content: Mapped[bytes] = mapped_column(LargeBinary)

    __table_args__ = (UniqueConstraint("upload_id", "from_byte"),)
