"""Companies, their people, the devices they carry, and the links they hand to contractors.

No token and no secret is ever stored: only its sha256, which is enough to recognise it
and useless to whoever reads the database.
"""

import uuid
from datetime import datetime

from sqlalchemy import BigInteger, ForeignKey, String, Uuid, func
from sqlalchemy.orm import Mapped, mapped_column

from flarenut.db import CompanyRow, Model, Moment


class Company(Model):
    """A service company: the wall between tenants. Its id is its own company."""

    id: Mapped[uuid.UUID] = mapped_column(Uuid, primary_key=True, default=uuid.uuid4)
    name: Mapped[str] = mapped_column(String(120))
    # The phones start over when this differs from what they knew: set anew after a restore.
    epoch: Mapped[uuid.UUID] = mapped_column(Uuid, server_default=func.gen_random_uuid())
    people_rev: Mapped[int] = mapped_column(BigInteger, default=0, server_default="0")
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())


class Person(CompanyRow):
    """Someone who signs in. Ended, never deleted: what they recorded keeps their name."""

    email: Mapped[str] = mapped_column(String(254), unique=True)  # lower case; RFC 5321 limits it to 254
    name: Mapped[str] = mapped_column(String(120))
    role: Mapped[str] = mapped_column(String(20))
    password_hash: Mapped[str] = mapped_column(String(200))
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    ended_at: Mapped[datetime | None] = mapped_column(Moment)


class Device(CompanyRow):
    """One store of unsent work: a browser profile of one person, or of one link."""

    name: Mapped[str] = mapped_column(String(120), default="")
    person_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("person.id"), index=True)
    link_id: Mapped[uuid.UUID | None] = mapped_column(ForeignKey("contractor_link.id"), index=True)
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())


class DeviceSession(CompanyRow):
    """One sign-in on one device. `previous_hash` bridges a rotation whose answer was lost."""

    device_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("device.id"), index=True)
    person_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("person.id"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    previous_hash: Mapped[str | None] = mapped_column(String(64), unique=True)
    previous_until: Mapped[datetime | None] = mapped_column(Moment)
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    rotated_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    seen_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    ended_at: Mapped[datetime | None] = mapped_column(Moment)


class ContractorLink(CompanyRow):
    """The one door of one recipient to one job."""

    job_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("job.id"), index=True)
    firm: Mapped[str] = mapped_column(String(120))
    recipient: Mapped[str] = mapped_column(String(120))
    secret_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    created_by_person_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("person.id"))
    expires_at: Mapped[datetime] = mapped_column(Moment)
    revoked_at: Mapped[datetime | None] = mapped_column(Moment)
    last_opened_at: Mapped[datetime | None] = mapped_column(Moment)


class LinkSession(CompanyRow):
    """One opening of a link on one device, for a short while."""

    link_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("contractor_link.id"), index=True)
    device_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("device.id"), index=True)
    token_hash: Mapped[str] = mapped_column(String(64), unique=True)
    created_at: Mapped[datetime] = mapped_column(Moment, server_default=func.now())
    expires_at: Mapped[datetime] = mapped_column(Moment)
