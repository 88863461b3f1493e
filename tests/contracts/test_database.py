"""The wall between companies, the role that owns nothing, and the migrations."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import flask_migrate
import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from flask import Flask
from sqlalchemy import Engine, create_engine, text
from sqlalchemy.exc import ProgrammingError
from sqlalchemy.pool import QueuePool

from flarenut.db import db
from flarenut.embedded import MIGRATIONS
from tests.builders import CastMember, a_job, an_issue
from tests.builders.world import World

TABLES = """
SELECT relname, relrowsecurity, relforcerowsecurity FROM pg_class
WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace AND relname <> 'alembic_version'
"""

# Every policy that the server's role comes under, whatever it is called.
POLICIES = """
SELECT tablename, qual, with_check FROM pg_policies
WHERE schemaname = 'public' AND roles <> ARRAY['flarenut_door']::name[]
"""
OF_THE_COMPANY = "({column} = (NULLIF(current_setting('app.company'::text, true), ''::text))::uuid)"

# What a job with a visit and an issue fills.
WITH_ROWS = ("company", "person", "device", "job", "system", "unit", "visit", "step", "issue", "issue_event", "receipt")

DOORS_POWERS = """
SELECT DISTINCT privilege_type FROM information_schema.column_privileges WHERE grantee = 'flarenut_door'
"""


def test_every_table_carries_its_company_and_the_wall_is_forced(migrated_app: Flask, owner: Engine) -> None:
    with owner.connect() as connection:
        tables = connection.execute(text(TABLES)).all()
        policies = connection.execute(text(POLICIES)).all()
    columns = {table.name: set(table.columns.keys()) for table in db.metadata.sorted_tables}

    assert {table.relname for table in tables} == set(columns)
    assert [t.relname for t in tables if not (t.relrowsecurity and t.relforcerowsecurity)] == []
    assert [name for name, names in columns.items() if name != "company" and "company_id" not in names] == []
    # Policies add up, so that one more for everybody would open the wall: there is just the one.
    assert {policy.tablename: (policy.qual, policy.with_check) for policy in policies} == {
        name: (OF_THE_COMPANY.format(column="id" if name == "company" else "company_id"),) * 2 for name in columns
    }
    assert len(policies) == len(columns)
    assert migrated_app is not None


def test_the_server_connects_as_a_role_that_owns_nothing_and_cannot_step_around(app: Flask) -> None:
    with app.app_context():
        powers = "rolname, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb"
        role = db.session.execute(text(f"SELECT {powers} FROM pg_roles WHERE rolname = current_user")).one()
        owned = db.session.scalar(text("SELECT count(*) FROM pg_class WHERE relowner = current_user::regrole"))

    assert tuple(role) == ("flarenut_app", False, False, False, False)
    assert owned == 0


def test_the_door_cannot_be_signed_in_as_and_changes_nothing(migrated_app: Flask, owner: Engine) -> None:
    with owner.connect() as connection:
        role = connection.execute(
            text("SELECT rolcanlogin, rolsuper, rolbypassrls FROM pg_roles WHERE rolname = 'flarenut_door'")
        ).one()
        powers = connection.execute(text(DOORS_POWERS)).scalars().all()
        doors = connection.execute(
            text(
                "SELECT proname, prosecdef, proconfig, proowner::regrole::text FROM pg_proc WHERE proname LIKE 'door_%'"
            )
        ).all()

    assert tuple(role) == (False, False, False)
    assert powers == ["SELECT"]
    assert len(doors) == 6
    assert {tuple(door[1:]) for door in map(_hashable, doors)} == {(True, ('search_path=""',), "flarenut_door")}
    assert migrated_app is not None


def _hashable(row: Any) -> tuple[Any, ...]:
    return tuple(tuple(value) if isinstance(value, list) else value for value in row)


@pytest.fixture
def one_connection(app: Flask) -> Iterator[Engine]:
    """A pool of one: every transaction gets the connection that the last one gave back."""
    engine = create_engine(app.config["SQLALCHEMY_DATABASE_URI"], poolclass=QueuePool, pool_size=1, max_overflow=0)
    yield engine
    engine.dispose()


def _names(engine: Engine, *, company_id: object) -> list[str]:
    with engine.begin() as connection:
        if company_id is not None:
            connection.execute(text("SELECT set_config('app.company', :company, true)"), {"company": str(company_id)})
        return list(connection.execute(text("SELECT name FROM person ORDER BY name")).scalars())


def test_one_connection_used_by_two_companies_in_turn_shows_each_its_own(
    ana: CastMember, cleo: CastMember, one_connection: Engine
) -> None:
    for _ in range(3):
        assert _names(one_connection, company_id=ana.company_id) == ["Ana"]
        assert _names(one_connection, company_id=None) == []
        assert _names(one_connection, company_id=cleo.company_id) == ["Cleo"]


def test_a_session_that_names_its_company_leaves_nothing_behind_in_the_pool(
    ana: CastMember, cleo: CastMember, client_as: Any
) -> None:
    phones = [client_as(ana), client_as(cleo)]

    for phone in phones * 3:
        people = phone.get("/api/people").get_json()["people"]
        assert [person["name"] for person in people] == [phone.whose.name]
    with World.app.app_context():
        assert db.session.execute(text("SELECT name FROM person")).all() == []


def test_a_row_cannot_be_written_for_another_company(ana: CastMember, cleo: CastMember, one_connection: Engine) -> None:
    new = text("INSERT INTO device (id, company_id, name) VALUES (gen_random_uuid(), :company, 'x')")
    with one_connection.begin() as connection:
        connection.execute(text("SELECT set_config('app.company', :company, true)"), {"company": str(ana.company_id)})
        connection.execute(new, {"company": ana.company_id})

        with pytest.raises(ProgrammingError, match="row-level security"):
            connection.execute(new, {"company": cleo.company_id})
        connection.get_transaction().rollback()


@pytest.mark.parametrize(
    "statement",
    [
        "DELETE FROM receipt",
        "DELETE FROM set_aside",
        "DELETE FROM reading",
        "DELETE FROM issue",
        "DELETE FROM person",
        "UPDATE receipt SET rev = 0",
        "UPDATE reading SET verdict = 'pass'",
        "UPDATE photo SET sha256 = 'x'",
        "UPDATE company SET epoch = gen_random_uuid()",
        "TRUNCATE company CASCADE",
        "ALTER TABLE person NO FORCE ROW LEVEL SECURITY",
        "SET ROLE postgres",
        "INSERT INTO alembic_version VALUES ('9999')",
        "SELECT * FROM door_companies()",
    ],
)
def test_the_servers_role_may_not(statement: str, one_connection: Engine) -> None:
    with (
        pytest.raises(ProgrammingError, match=r"permission denied|must be owner"),
        one_connection.begin() as connection,
    ):
        connection.execute(text(statement))


def test_the_tables_in_the_code_are_those_that_the_migrations_make(migrated_app: Flask, owner: Engine) -> None:
    with owner.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})
        differences = compare_metadata(context, db.metadata)

    assert differences == []
    assert migrated_app is not None


def test_the_rules_in_the_tables_are_those_of_the_code(migrated_app: Flask, owner: Engine) -> None:
    """Alembic compares no check constraints, so this does: by name."""
    declared = {
        str(constraint.name)
        for table in db.metadata.sorted_tables
        for constraint in table.constraints
        if constraint.__visit_name__.endswith("check_constraint")
    }
    with owner.connect() as connection:
        made = set(
            connection.execute(
                text("SELECT conname FROM pg_constraint WHERE contype = 'c' AND connamespace = 'public'::regnamespace")
            ).scalars()
        )

    assert made == declared
    assert declared
    assert migrated_app is not None


def test_migrations_are_numbered_one_after_another_and_import_no_models(project: Path) -> None:
    paths = sorted((project / "migrations" / "versions").glob("*.py"))

    assert [path.name[:4] for path in paths] == [f"{number:04d}" for number in range(1, len(paths) + 1)]
    for number, path in enumerate(paths, start=1):
        source = path.read_text()
        before = f'"{number - 1:04d}"' if number > 1 else "None"
        assert f'revision = "{number:04d}"\ndown_revision = {before}\n' in source
        assert not re.search(r"^\s*(from|import) flarenut", source, re.MULTILINE)
        assert len(source.split('"""')[1].split()) > 30, f"{path.name} does not tell its story"


@pytest.fixture
def own_database(app: Flask, owner: Engine, ana: CastMember, ben: CastMember, client_as: Any) -> Iterator[Flask]:
    """A second database of the same server with a job in it, so that a downgrade takes nothing from other tests."""
    office = client_as(ana)
    an_issue(office, job=a_job(office, visited_by=ben))
    given = app.config["OWNER_URL"]
    with app.app_context():
        db.engine.dispose()  # nobody may be connected to what is copied
    owner.dispose()
    postgres = create_engine(given.set(database="postgres"), isolation_level="AUTOCOMMIT")
    with postgres.connect() as connection:
        connection.execute(text(f'CREATE DATABASE there_and_back TEMPLATE "{given.database}"'))
    second = Flask("second")
    second.config["OWNER_URL"] = given.set(database="there_and_back")
    second.config["SQLALCHEMY_DATABASE_URI"] = second.config["OWNER_URL"]
    second.extensions["migrate"] = app.extensions["migrate"]
    yield second
    with postgres.connect() as connection:
        connection.execute(text("DROP DATABASE there_and_back WITH (FORCE)"))
    postgres.dispose()


def test_every_migration_goes_down_and_up_with_rows_in_the_tables(own_database: Flask) -> None:
    engine = create_engine(own_database.config["OWNER_URL"])
    directory = str(MIGRATIONS)
    with engine.connect() as connection:
        kept = [name for name in WITH_ROWS if connection.scalar(text(f'SELECT count(*) FROM "{name}"'))]
    with own_database.app_context():
        flask_migrate.downgrade(directory=directory, revision="base")
        with engine.connect() as connection:
            left = connection.execute(text(TABLES)).all()
            doors = connection.execute(text("SELECT 1 FROM pg_proc WHERE proname LIKE 'door_%'")).all()
        flask_migrate.upgrade(directory=directory)
        with engine.connect() as connection:
            made = connection.execute(text(TABLES)).all()
    engine.dispose()

    assert kept == list(WITH_ROWS)
    assert left == []
    assert doors == []
    assert {table.relname for table in made} == set(db.metadata.tables)
