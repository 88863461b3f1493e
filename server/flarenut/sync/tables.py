"""What the server remembers of each phone's lane, so that nothing is applied twice and nothing is lost.

`job_id` names the lane and is no foreign key: a lane may carry a job that could not be
created, or one that its sender may not see.

Phones choose the ids of their mutations, so such an id is one device's: whatever another device,
or another company behind its wall, has under the same id, a receipt can always be written.
"""

import uuid
from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, ForeignKey, Index, Integer, String, Text, UniqueConstraint, Uuid, func, text
from sqlalchemy.dialects.postgresql import ARRAY, JSONB
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import CompanyRow, Moment


class Lane(CompanyRow):
    """One device on one job: how far its mutations, numbered from 1, have been taken.

    `settled_seq`: the phone holds its receipts up to there, for it goes on from the next number.
    Only such receipts may be forgotten; the others are asked for again, if need be after months.
    """

    __table_args__ = (UniqueConstraint("device_id", "job_id"),)

    device_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("device.id"))
    job_id: Mapped[uuid.UUID] = mapped_column(Uuid, index=True)
    last_seq: Mapped[int] = mapped_column(Integer, default=0, server_default="0")
    settled_seq: Mapped[int] = mapped_column(Integer, default=0, server_default="0")


class Receipt(CompanyRow):
    """The answer to one mutation, under the mutation's own id: the same bytes get the same answer."""

    __table_args__ = (UniqueConstraint("device_id", "job_id", "seq"),)

    device_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("device.id"), primary_key=True)
    job_id: Mapped[uuid.UUID] = mapped_column(Uuid)
    seq: Mapped[int] = mapped_column(Integer)
    body_hash: Mapped[str] = mapped_column(String(64))
    outcome: Mapped[str] = mapped_column(String(20))
    rev: Mapped[int] = mapped_column(BigInteger)
    detail: Mapped[dict[str, Any] | None] = mapped_column(JSONB)
    at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())


class SetAside(CompanyRow):
    """A mutation that could not be applied, kept whole for its author to mend and send again.

    The body is text and not JSON: what made it unusable may be a character that the
    database's JSON cannot hold. `is_of_no_job`: there was no such job when it came.
    `mentions`: the rows that it speaks of. `seq`: its place in its lane, which alone says what its
    device did first, whatever clock made the ids. `replaces`: what it is sent again for; the first, where
    that was sent again for another itself.
    """

    __table_args__ = (
        Index(None, "device_id", "job_id", "entity"),
        Index(None, "job_id", postgresql_where=text("settled_at IS NULL")),
        Index(None, "replaces", postgresql_where=text("replaces IS NOT NULL")),
    )

    device_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("device.id"), primary_key=True)
    job_id: Mapped[uuid.UUID] = mapped_column(Uuid)
    seq: Mapped[int] = mapped_column(Integer)
    person_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("person.id"), index=True)
    link_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("contractor_link.id"), index=True)
    type: Mapped[str] = mapped_column(String(60))
    entity: Mapped[uuid.UUID | None] = mapped_column(Uuid)
    outcome: Mapped[str] = mapped_column(String(20))
    detail: Mapped[dict[str, Any]] = mapped_column(JSONB)
    body: Mapped[str] = mapped_column(Text)
    mentions: Mapped[list[uuid.UUID]] = mapped_column(ARRAY(Uuid), default=list, server_default="{}")
    replaces: Mapped[uuid.UUID | None] = mapped_column(Uuid)
    is_of_no_job: Mapped[bool] = mapped_column(default=False, server_default="false")
    at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    # Sent again, given up by its author, or taken after all: it stays here, and is shown no more.
    settled_at: Mapped[datetime | None] = mapped_column(Moment)
    # The revision at which it was taken after all, by itself or as its author sent it again unchanged.
    taken_rev: Mapped[int | None] = mapped_column(BigInteger)
    # Itself, where it was taken by itself; else the one that its author sent again.
    taken_as: Mapped[uuid.UUID | None] = mapped_column(Uuid)
