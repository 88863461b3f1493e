"""What many tests begin with: made once in a process by the requests of the app, then put back as rows."""

from collections.abc import Callable
from copy import copy
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from sqlalchemy import Engine

from flarenut.db import db
from tests.builders.phones import Phone

Made = TypeVar("Made")
Rows = dict[str, list[str]]
TABLES = [table.name for table in db.metadata.sorted_tables]


class Remembered:
    """By name, what was made and the rows that came with it. Whoever gets it may change it: it is a copy."""

    def __init__(self, owner: Engine) -> None:
        self._owner = owner
        self._kept: dict[str, tuple[Any, str]] = {}

    def made(self, name: str, make: Callable[[], Made]) -> Made:
        """Makes it the first time."""
        if name in self._kept:
            made, statement = self._kept[name]
            with self._owner.begin() as connection:
                connection.exec_driver_sql(statement)
        else:
            before = self._rows()
            made = make()
            self._kept[name] = (_again(made), _put_back(before, after=self._rows()))
        return _again(made)

    def _rows(self) -> Rows:
        with self._owner.begin() as connection:
            return {
                name: list(connection.exec_driver_sql(f'SELECT to_json(row)::text FROM "{name}" row').scalars())
                for name in TABLES
            }


def _put_back(before: Rows, *, after: Rows) -> str:
    """One message, past all keys, as a replica would write; rows that were changed take the place of the old ones."""
    said = ["SET LOCAL session_replication_role = replica"]
    for name in TABLES:
        old, new = (
            _only(one, not_in=other) for one, other in ((before[name], after[name]), (after[name], before[name]))
        )
        keys = ", ".join(column.name for column in db.metadata.tables[name].primary_key)
        if old != "[]":
            said.append(f'DELETE FROM "{name}" WHERE ({keys}) IN (SELECT {keys} FROM {_as_rows(old, of=name)})')
        if new != "[]":
            said.append(f'INSERT INTO "{name}" OVERRIDING SYSTEM VALUE SELECT * FROM {_as_rows(new, of=name)}')
    return "; ".join(said)


def _only(rows: list[str], *, not_in: list[str]) -> str:
    others = set(not_in)
    return f"[{', '.join(row for row in rows if row not in others)}]"


def _as_rows(text: str, *, of: str) -> str:
    quoted = text.replace("'", "''").replace("%", "%%")
    return f"""json_populate_recordset(NULL::"{of}", '{quoted}')"""


def _again(made: Any) -> Any:
    """The same once more; a phone in it goes on by itself from where it was."""
    if isinstance(made, Phone):
        return made.again()
    if isinstance(made, dict):
        return {name: _again(one) for name, one in made.items()}
    if is_dataclass(made) and not isinstance(made, type):
        return replace(made, **{field.name: _again(getattr(made, field.name)) for field in fields(made) if field.init})
    return copy(made)
