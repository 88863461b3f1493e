"""/readyz names the part that is missing, and says yes again by itself once it is back."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, make_url, text

from flarenut.app import create_app
from flarenut.db import db

ALL_IS_WELL = {"ok": True, "database": True, "migrations": True, "photo_store": True, "staying": True}
NO_PHOTO_STORE = {**ALL_IS_WELL, "ok": False, "photo_store": False}
NOBODY = 65534  # the user without rights, by custom
PORT_OF_NOTHING = 1  # nothing listens there; refused at once


def _ready(server: Flask) -> tuple[int, dict[str, Any]]:
    answer = server.test_client().get("/readyz")
    with server.app_context():
        db.session.remove()
    return answer.status_code, answer.get_json()


def _is_alive(server: Flask) -> bool:
    return server.test_client().get("/healthz").status_code == 200


@pytest.fixture
def common_folder() -> Iterator[Path]:
    """A folder that every user of this machine may enter, unlike the one that pytest gives."""
    with tempfile.TemporaryDirectory(prefix="flarenut-photos-") as folder:
        Path(folder).chmod(0o755)
        yield Path(folder)


@contextmanager
def _without_rights() -> Iterator[None]:
    """As the user that a server runs as. Root may write everywhere, so root steps down for as long as this lasts."""
    is_root = os.geteuid() == 0
    if is_root:
        os.setresuid(NOBODY, NOBODY, 0)
    try:
        yield
    finally:
        if is_root:
            os.setresuid(0, 0, 0)


def test_a_photo_folder_that_is_a_file_makes_the_server_not_ready_until_it_is_mended(
    app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_the_way = tmp_path / "photos"
    in_the_way.write_text("not a folder")
    monkeypatch.setitem(app.config, "FLARENUT_PHOTO_DIR", in_the_way)

    broken, alive = _ready(app), _is_alive(app)
    in_the_way.unlink()
    mended = _ready(app)

    assert broken == (503, NO_PHOTO_STORE)
    assert alive
    assert mended == (200, ALL_IS_WELL)
    assert in_the_way.is_dir()


def test_a_photo_folder_below_a_file_makes_the_server_not_ready(
    app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "disk").write_text("not a folder")
    monkeypatch.setitem(app.config, "FLARENUT_PHOTO_DIR", tmp_path / "disk" / "photos")

    assert _ready(app) == (503, NO_PHOTO_STORE)


def test_a_photo_folder_that_the_server_may_not_write_to_makes_it_not_ready(
    app: Flask, common_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    photos = common_folder / "photos"
    photos.mkdir()
    monkeypatch.setitem(app.config, "FLARENUT_PHOTO_DIR", photos)
    told = []

    for rights in (0o555, 0o777):
        photos.chmod(rights)
        with _without_rights():
            told.append(_ready(app))

    assert told == [(503, NO_PHOTO_STORE), (200, ALL_IS_WELL)]


def test_a_bucket_that_nobody_answers_for_makes_the_server_not_ready(
    app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    bucket = {
        "FLARENUT_PHOTO_BUCKET": "invented-photos",
        "FLARENUT_PHOTO_ENDPOINT": f"http://127.0.0.1:{PORT_OF_NOTHING}",
        "FLARENUT_PHOTO_KEY_ID": "invented",
        "FLARENUT_PHOTO_KEY_SECRET": "invented",
    }
    for name, value in bucket.items():
        monkeypatch.setitem(app.config, name, value)

    assert _ready(app) == (503, NO_PHOTO_STORE)


def test_a_database_that_is_nowhere_makes_the_server_alive_but_not_ready(tmp_path: Path) -> None:
    address = f"postgresql://nobody@127.0.0.1:{PORT_OF_NOTHING}/nowhere"
    server = create_app({"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": address, "FLARENUT_LOG_LEVEL": "error"})

    assert _is_alive(server)
    assert _ready(server) == (503, {**ALL_IS_WELL, "ok": False, "database": False, "migrations": False})


def test_a_database_that_goes_away_and_comes_back_is_noticed_both_times(
    app: Flask, owner: Engine, tmp_path: Path
) -> None:
    """Its lines are cut while the server holds them; no migration was run on it, which is told apart."""
    address = make_url(app.config["OWNER_URL"]).set(database="now_and_then").render_as_string(hide_password=False)
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("CREATE DATABASE now_and_then"))
        server = create_app({"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": address, "FLARENUT_LOG_LEVEL": "error"})
        told = [_ready(server)[1]["database"]]
        connection.execute(text("ALTER DATABASE now_and_then ALLOW_CONNECTIONS false"))
        cut = """
            SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity
            WHERE datname = 'now_and_then' AND backend_type = 'client backend'
        """
        assert connection.scalar(text(cut)) == 1
        told.append(_ready(server)[1]["database"])
        connection.execute(text("ALTER DATABASE now_and_then ALLOW_CONNECTIONS true"))
        told.append(_ready(server)[1]["database"])
        with server.app_context():
            db.engine.dispose()
        connection.execute(text("DROP DATABASE now_and_then"))

    assert told == [True, False, True]
