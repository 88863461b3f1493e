"""`flarenut db tidy` and `flarenut db restored`: what the owner of the database does for every company."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from flask import current_app
from sqlalchemy import Connection, create_engine, text

# The phones keep theirs for 30 days, and offer them again to a server that was restored from a backup. The
# days more are for phones with a slow clock: whatever one offers, its receipt is still known here.
RECEIPT_DAYS = 35

# Only what the phone has said that it holds: a phone that was away for months may still have to ask.
_FORGET = text("""
    DELETE FROM receipt USING lane
    WHERE lane.device_id = receipt.device_id AND lane.job_id = receipt.job_id
        AND receipt.seq <= lane.settled_seq AND receipt.at < now() - make_interval(days => :days)
""")
_START_OVER = text("UPDATE company SET epoch = gen_random_uuid() WHERE id = :company")
_COMPANIES = text("SELECT company_id FROM door_companies()")
_ENTER = text("SELECT set_config('app.company', :company, true)")


def forget_old_receipts() -> int:
    """How many went. The server's own role cannot: to it a receipt is written once and stays."""
    with _as_owner() as connection:
        return sum(
            connection.execute(_FORGET, {"days": RECEIPT_DAYS}).rowcount for _company in _each_company(connection)
        )


def start_over() -> int:
    """Every phone of every company reads again, and offers again what the backup does not know."""
    with _as_owner() as connection:
        return sum(
            connection.execute(_START_OVER, {"company": company}).rowcount for company in _each_company(connection)
        )


@contextmanager
def _as_owner() -> Iterator[Connection]:
    engine = create_engine(current_app.config["OWNER_URL"])
    try:
        with engine.begin() as connection:
            yield connection
    finally:
        engine.dispose()


def _each_company(connection: Connection) -> Iterator[Any]:
    """Behind the wall of one after the other; the wall holds for the owner too."""
    for company_id in connection.execute(_COMPANIES).scalars().all():
        connection.execute(_ENTER, {"company": str(company_id)})
        yield company_id
