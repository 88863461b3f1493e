"""/healthz: the process answers. /readyz: it can do its work."""

import threading

from alembic.config import Config
from alembic.script import ScriptDirectory
from flask import current_app
from flask_smorest import Blueprint
from marshmallow import Schema, fields
from sqlalchemy import text
from sqlalchemy.exc import SQLAlchemyError

from flarenut.db import db
from flarenut.embedded import MIGRATIONS
from flarenut.people.access import access_public
from flarenut.photos.store import photos_can_be_kept

# Set in a worker that was asked to stop and only ends what it has begun.
stopping = threading.Event()


def newest_migration() -> str | None:
    """The revision that this code was written for."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    return ScriptDirectory.from_config(config).get_current_head()


def _database_is_there() -> bool:
    try:
        db.session.execute(text("SELECT 1"))
    except SQLAlchemyError:
        return False
    return True


def _migrations_are_applied() -> bool:
    try:
        version = db.session.scalar(text("SELECT version_num FROM alembic_version"))
    except SQLAlchemyError:
        return False
    finally:
        db.session.rollback()
    return bool(version == newest_migration())


blueprint = Blueprint("health", __name__, description="For proxies and whoever watches the server")


class Alive(Schema):
    """The process answers."""

    ok = fields.Boolean()


class Ready(Alive):
    """Each part by itself, so that whoever is called at night knows where to look."""

    database = fields.Boolean()
    migrations = fields.Boolean()
    photo_store = fields.Boolean()
    staying = fields.Boolean()


@blueprint.route("/healthz", methods=["GET"])
@access_public
@blueprint.response(200, Alive)
def healthz() -> dict[str, bool]:
    """The process answers; it says nothing about the database."""
    return {"ok": True}


@blueprint.route("/readyz", methods=["GET"])
@access_public
@blueprint.response(200, Ready)
@blueprint.alt_response(503, schema=Ready)
def readyz() -> tuple[dict[str, bool], int]:
    """A proxy sends work here only while every part says yes."""
    parts = {
        "database": _database_is_there(),
        "migrations": _migrations_are_applied(),
        "photo_store": photos_can_be_kept(current_app.config),
        "staying": not stopping.is_set(),
    }
    return {"ok": all(parts.values()), **parts}, 200 if all(parts.values()) else 503
