"""Where the server keeps its things, and which database it speaks to as whom."""

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import flask_migrate
import pytest
from flask import Flask
from sqlalchemy import URL, Engine, make_url, text

from flarenut.app import create_app
from flarenut.config import read_settings, secret_in
from flarenut.db import db
from flarenut.logs import configure_logs
from tests.builders.people import PASSWORD


def test_the_servers_secret_is_made_once_and_is_its_own(tmp_path: Path) -> None:
    first = secret_in(tmp_path)

    assert secret_in(tmp_path) == first
    assert len(first) == 64
    assert (tmp_path / "secret").stat().st_mode & 0o777 == 0o600


def test_an_empty_setting_means_the_default(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FLARENUT_PORT", "")
    monkeypatch.setenv("FLARENUT_THREADS", "3")

    settings = read_settings()

    assert (settings["FLARENUT_PORT"], settings["FLARENUT_THREADS"]) == (5080, 3)


def test_photos_lie_in_the_data_folder_unless_said_otherwise(tmp_path: Path) -> None:
    assert read_settings({"FLARENUT_DATA": str(tmp_path)})["FLARENUT_PHOTO_DIR"] == tmp_path / "photos"
    elsewhere = {"FLARENUT_DATA": str(tmp_path), "FLARENUT_PHOTO_DIR": str(tmp_path / "p")}
    assert read_settings(elsewhere)["FLARENUT_PHOTO_DIR"] == tmp_path / "p"


def test_the_embedded_database_listens_on_no_network(app: Flask, owner: Engine) -> None:
    with owner.connect() as connection:
        assert connection.scalar(text("SHOW listen_addresses")) == ""
        assert int(connection.scalar(text("SHOW server_version_num")) or 0) >= 150000
    assert app.config["OWNER_URL"].host is None


def test_a_server_that_signs_in_as_the_owner_says_so_in_its_log(
    app: Flask, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    owner = app.config["OWNER_URL"].render_as_string(hide_password=False)
    proper = app.config["SQLALCHEMY_DATABASE_URI"].render_as_string(hide_password=False)
    settings = {"FLARENUT_DATA": str(tmp_path), "FLARENUT_LOG_LEVEL": "warning", "DATABASE_URL": owner}

    said = []
    for app_url in ("", owner, proper):
        create_app({**settings, "DATABASE_APP_URL": app_url})
        said.append(capsys.readouterr().err)
    configure_logs("error")

    assert ["signs_in_as_owner" in one and "DATABASE_APP_URL" in one for one in said] == [True, True, False]


def test_a_server_that_shares_its_database_and_keeps_its_secret_to_itself_says_so_in_its_log(
    app: Flask, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shared = {
        "DATABASE_URL": app.config["OWNER_URL"].render_as_string(hide_password=False),
        "DATABASE_APP_URL": app.config["SQLALCHEMY_DATABASE_URI"].render_as_string(hide_password=False),
    }
    settings = {"FLARENUT_DATA": str(tmp_path), "FLARENUT_LOG_LEVEL": "warning"}

    said = []
    for more in (shared, {**shared, "FLARENUT_SECRET": "one for all of them"}):
        create_app({**settings, **more})
        said.append(capsys.readouterr().err)
    configure_logs("error")

    assert ["secret_of_its_own" in one and "FLARENUT_SECRET" in one for one in said] == [True, False]


@pytest.fixture
def plain_owner(app: Flask, owner: Engine) -> Iterator[URL]:
    """A database of a company's own PostgreSQL, whose owner is no superuser but may make roles."""
    statements = (
        "CREATE ROLE invented_owner LOGIN CREATEROLE",
        "GRANT flarenut_app, flarenut_door TO invented_owner WITH ADMIN OPTION",
        "CREATE DATABASE elsewhere OWNER invented_owner",
    )
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        for statement in statements:
            connection.execute(text(statement))
    yield make_url(app.config["OWNER_URL"]).set(database="elsewhere", username="invented_owner")
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("DROP DATABASE elsewhere"))
        connection.execute(text("REVOKE flarenut_app, flarenut_door FROM invented_owner CASCADE"))
        connection.execute(text("DROP ROLE invented_owner"))


def test_an_owner_who_is_no_superuser_migrates_and_the_server_steps_down_to_its_role(
    plain_owner: URL, tmp_path: Path
) -> None:
    settings = {"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": plain_owner.render_as_string(hide_password=False)}

    server = create_app({**settings, "FLARENUT_LOG_LEVEL": "error"})
    with server.app_context():
        flask_migrate.upgrade()
        who = db.session.execute(text("SELECT current_user, session_user")).one()
        db.session.rollback()
        ready = server.test_client().get("/readyz")
        db.engine.dispose()

    assert tuple(who) == ("flarenut_app", "invented_owner")
    assert ready.get_json() == {"ok": True, "database": True, "migrations": True, "photo_store": True, "staying": True}


def test_a_database_without_migrations_is_alive_but_not_ready(app: Flask, owner: Engine, tmp_path: Path) -> None:
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("CREATE DATABASE unmade"))
    address = make_url(app.config["OWNER_URL"]).set(database="unmade").render_as_string(hide_password=False)
    server = create_app({"FLARENUT_DATA": str(tmp_path), "DATABASE_URL": address, "FLARENUT_LOG_LEVEL": "error"})

    alive, ready = (server.test_client().get(path) for path in ("/healthz", "/readyz"))
    with server.app_context():
        db.engine.dispose()
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("DROP DATABASE unmade"))

    assert alive.status_code == 200
    assert ready.status_code == 503
    assert ready.get_json()["migrations"] is False


def _flarenut(*arguments: str, data: Path, given: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "flarenut.cli", *arguments],
        input=given,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        env={"FLARENUT_DATA": str(data), "PATH": "/usr/bin:/bin"},
    )


def test_the_command_line_sets_a_company_up_from_nothing(tmp_path: Path) -> None:
    company = ("--company", "Invented Climate")
    ana = (*company, "--email", "Ana@invented.example")

    made = _flarenut("db", "upgrade", data=tmp_path)
    added = _flarenut("person", "add", *ana, "--name", "Ana", "--role", "dispatcher", data=tmp_path, given=PASSWORD)
    short = _flarenut("person", "add", *company, "--email", "b@invented.example", "--name", "Ben", "--role",
                      "technician", data=tmp_path, given="short")  # fmt: skip
    twice = _flarenut("person", "add", *ana, "--name", "Ana", "--role", "dispatcher", data=tmp_path, given=PASSWORD)
    listed = _flarenut("person", "list", *company, data=tmp_path)
    mistyped = _flarenut("person", "list", "--company", "Invented Climtae", data=tmp_path)
    to_whom = ("--firm", "Invented Pipes", "--recipient", "Carl")
    link = _flarenut("link", "new", *ana, "--job", "hall", *to_whom, data=tmp_path)
    ended = _flarenut("person", "end", *ana, data=tmp_path)

    assert (made.returncode, added.returncode, ended.returncode) == (0, 0, 0), made.stderr + added.stderr + ended.stderr
    assert (short.returncode, twice.returncode) == (1, 1)
    assert "12 to 200 characters" in short.stderr
    assert "email_taken" in twice.stderr
    assert (mistyped.returncode, link.returncode) == (1, 1)
    assert "no company named" in mistyped.stderr
    assert "named by its id" in link.stderr
    assert listed.stdout == "ana@invented.example\tdispatcher\tAna\n"
    assert _flarenut("person", "list", *company, data=tmp_path).stdout.strip() == ""


def test_a_calculation_runs_from_the_command_line_without_a_database(tmp_path: Path) -> None:
    voltages = {"nominal_v": 400, "v_ab_v": 400, "v_bc_v": 401, "v_ca_v": 399}

    listed = _flarenut("compute", "--list", data=tmp_path)
    unknown = _flarenut("compute", "no_such_calculation", data=tmp_path, given=json.dumps(voltages))

    assert "supply_power" in [calculation["name"] for calculation in json.loads(listed.stdout)]
    assert unknown.returncode == 1
    assert "unknown_calculation" in unknown.stderr
    assert list(tmp_path.iterdir()) == []
