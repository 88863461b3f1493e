"""The database: one session, three kinds of rows, one commit, one kind of snapshot."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from flask import g, has_app_context
from flask_sqlalchemy import SQLAlchemy
from sqlalchemy import BigInteger, Connection, DateTime, ForeignKey, Index, MetaData, Uuid, event, text
from sqlalchemy.dialects.postgresql import JSON, JSONB
from sqlalchemy.orm import DeclarativeBase, Mapped, declared_attr, mapped_column


class Base(DeclarativeBase):
    """Constraint names are fixed by this convention, so that migrations can name what they change."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(table_name)s_%(column_0_N_name)s",
            "uq": "uq_%(table_name)s_%(column_0_N_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


db = SQLAlchemy(model_class=Base)

if TYPE_CHECKING:
    Model = Base
else:
    Model = db.Model

# A moment is always stored with its zone and always spoken of in UTC.
Moment = DateTime(timezone=True)


class CompanyRow(Model):
    """A row behind the wall of one company. Row-level security reads `company_id`."""

    __abstract__ = True

    id: Mapped[uuid.UUID] = mapped_column(Uuid, primary_key=True, default=uuid.uuid4)
    company_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("company.id"), index=True)


class JobRow(CompanyRow):
    """A row of a job. `rev` is the revision of the job at which the row last changed."""

    __abstract__ = True

    job_id: Mapped[uuid.UUID] = mapped_column(ForeignKey("job.id"))
    rev: Mapped[int] = mapped_column(BigInteger)

    @declared_attr.directive
    @classmethod
    def __table_args__(cls) -> tuple[Any, ...]:
        """A pull reads `rev` and then `id` within one job, so the index has just that order."""
        return (Index(None, "job_id", "rev", "id"),)


class KeepsUnknown:
    """A row that phones make or change: what a newer app says of it is kept as it came (sync/unknown.py).

    `unknown_fields`  {field: value}, or nothing. JSON and not JSONB: numbers stay as they were spelled.
    """

    unknown_fields: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))


class MutableRow(KeepsUnknown, JobRow):
    """A row of a job whose fields can be set by several people, each field judged by itself.

    `field_revs`  {field: [rev, device_id, by_name, at]}  the last change of each field
    `two_values`  {field: {value, by_name, at, now_by_name, now_at, before}}  the other value, until a person picks;
                  who set the one that counts; and the other that it had pushed aside itself
    """

    __abstract__ = True

    field_revs: Mapped[dict[str, Any]] = mapped_column(JSONB, default=dict, server_default=text("'{}'"))
    two_values: Mapped[dict[str, Any]] = mapped_column(JSONB, default=dict, server_default=text("'{}'"))


@contextmanager
def writing() -> Iterator[None]:
    """Everything inside happens or nothing does. The only commit in the code."""
    try:
        yield
        db.session.commit()
    except BaseException:
        db.session.rollback()
        raise


@contextmanager
def one_snapshot() -> Iterator[None]:
    """Every read inside sees the database at one moment, and nothing can be written.

    A transaction that is open is ended first: a snapshot is taken by the first
    statement of a transaction and cannot be moved afterwards.
    """
    db.session.rollback()
    db.session.connection(execution_options={"isolation_level": "REPEATABLE READ", "postgresql_readonly": True})
    try:
        yield
    finally:
        db.session.rollback()


@contextmanager
def holding_rows() -> Iterator[None]:
    """Rows that are looked up inside stay known. A session forgets what nobody holds, and would ask again."""
    session, held = db.session(), []

    def hold(_session: object, row: object) -> None:
        held.append(row)

    event.listen(session, "loaded_as_persistent", hold)
    try:
        yield
    finally:
        event.remove(session, "loaded_as_persistent", hold)


def enter_company(company_id: uuid.UUID) -> None:
    """From here on, this request sees the rows of one company and of no other."""
    g.company_id = company_id
    if db.session().in_transaction():  # every one that begins later is told by itself
        _set_company(db.session.connection(), company_id)


@event.listens_for(db.session, "after_begin")
def _raise_the_wall(_session: object, _transaction: object, connection: Connection) -> None:
    company_id = g.get("company_id") if has_app_context() else None
    if company_id is not None:
        _set_company(connection, company_id)


def _set_company(connection: Connection, company_id: uuid.UUID) -> None:
    """Local to the transaction.

    A value set for the session would go back to the pool with the connection and let the next request see
    another company's rows. Said to the driver as it is: it is said with every transaction.
    """
    connection.exec_driver_sql("SELECT set_config('app.company', %(id)s, true)", {"id": str(company_id)})
