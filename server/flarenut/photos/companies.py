"""Work that is done for every company in turn, at the desk: no request, and nobody signed in."""

from collections.abc import Iterator
from uuid import UUID

from flask import current_app
from sqlalchemy import create_engine, text

from flarenut.db import db, enter_company
from flarenut.photos.kept import PhotoStore
from flarenut.photos.store import photo_store


def each_company() -> Iterator[tuple[UUID, PhotoStore]]:
    """Behind the wall of one company after the other, with its photos."""
    for company_id in _company_ids():
        db.session.rollback()
        enter_company(company_id)
        yield company_id, photo_store(current_app.config, company_id=company_id)
    db.session.rollback()


def _company_ids() -> list[UUID]:
    """Only the owner of the database may know them all; the server's own role may not."""
    engine = create_engine(current_app.config["OWNER_URL"])
    try:
        with engine.connect() as connection:
            return list(connection.execute(text("SELECT company_id FROM door_companies()")).scalars())
    finally:
        engine.dispose()
