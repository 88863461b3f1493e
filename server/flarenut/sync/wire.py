"""What travels: which tables, which of their fields, and how one row looks on the wire.

Rows are found by their keys first, of all tables at once, so that no row is read that does not go out. The
database then writes the fields of each as JSON, and nobody takes them apart again before the phone.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any
from uuid import UUID

from sqlalchemy import (
    ARRAY,
    BigInteger,
    DateTime,
    Select,
    String,
    Text,
    Uuid,
    any_,
    bindparam,
    cast,
    column,
    func,
    lateral,
    literal,
    null,
    select,
    true,
    tuple_,
    union_all,
)

from flarenut.db import db
from flarenut.issues.reads import WIRE_FIELDS as ISSUES
from flarenut.jobs.reads import WIRE_FIELDS as JOBS
from flarenut.jobs.tables import Job
from flarenut.people.actor import Role
from flarenut.photos.reads import WIRE_FIELDS as PHOTOS
from flarenut.readings.reads import WIRE_FIELDS as READINGS
from flarenut.sync.sight import as_seen_by, rows_in_sight
from flarenut.visits.reads import WIRE_FIELDS as VISITS

# Where a table has them. The fields that only newer apps know go out among the others, by their own names.
_UNKNOWN = "unknown_fields"
_ALSO = ("two_values", _UNKNOWN)

# table name -> (model, fields). Every field of a row on the wire is named in its noun's reads.
WIRE: dict[str, tuple[Any, list[str]]] = {
    model.__tablename__: (model, [*fields, *(name for name in _ALSO if hasattr(model, name))])
    for noun in (JOBS, VISITS, ISSUES, READINGS, PHOTOS)
    for model, fields in noun.items()
}


@cache
def page_for(role: Role) -> Select[Any]:
    """The keys of the next rows, of every table and of any number of jobs at once.

    Each job brings its own place to go on from; the jobs keep the order they are given in.
    Its parameters: the arrays `jobs`, `revs`, `pages`, `heads`, `sinces`, and `most`. Wording it takes
    longer than asking it: it is worded once for each role.
    """
    keys = union_all(*(_keys_after(_asked(), table=table, role=role) for table in tables_for(role))).subquery()
    return (
        select(keys.c.place, keys.c.table, keys.c.rev, cast(keys.c.id, String).label("id"), keys.c.is_theirs)
        .order_by(keys.c.place, keys.c.rev, keys.c.id)
        .limit(bindparam("most"))
    )


def _asked() -> Any:
    """The jobs that are asked for, each with how far it has been read, as rows."""
    parameters = (
        bindparam("jobs", type_=ARRAY(Uuid)),
        bindparam("revs", type_=ARRAY(BigInteger)),
        bindparam("pages", type_=ARRAY(Uuid)),
        bindparam("heads", type_=ARRAY(BigInteger)),
        bindparam("sinces", type_=ARRAY(BigInteger)),
    )
    columns = (
        column("job_id", Uuid),
        column("rev", BigInteger),
        column("page_id", Uuid),
        column("head", BigInteger),
        column("since", BigInteger),
    )
    return func.unnest(*parameters).table_valued(*columns, with_ordinality="place", name="asked").render_derived()


def _keys_after(asked: Any, *, table: str, role: Role) -> Select[Any]:
    """Of one table: in each job what its reader has not had, in the order of the index."""
    model, _ = WIRE[table]
    is_theirs, was_theirs = rows_in_sight(role, table=table, since=asked.c.since)
    job_id = model.id if model is Job else model.job_id
    after = (
        select(model.id, model.rev, is_theirs.label("is_theirs"))
        .where(
            job_id == asked.c.job_id,
            tuple_(model.rev, model.id) > tuple_(asked.c.rev, asked.c.page_id),
            model.rev <= asked.c.head,
            was_theirs,
        )
        .order_by(model.rev, model.id)
        .limit(bindparam("most"))
    )
    rows = lateral(after, name="page")
    found = select(asked.c.place, literal(table).label("table"), rows.c.rev, rows.c.id, rows.c.is_theirs)
    return found.select_from(asked.join(rows, true()))


def fields_on_the_wire(role: Role, *, ids: Mapping[str, Sequence[str]]) -> dict[tuple[str, str], str]:
    """By table and id, the fields of each row as every reader of that role gets them, by name, as JSON."""
    if not ids:
        return {}
    tables = tuple(sorted(ids))
    found = db.session.execute(_fields_of_all(role, tables), {f"{table}_ids": ids[table] for table in tables})
    return {(row.table, row.id): _joined(row.unknown, row.fields) for row in found}


def _joined(unknown: str | None, known: str) -> str:
    """Two objects as one. Should both have a name, a reader takes the later: the one that this server knows."""
    return known if unknown in (None, "{}") else f"{unknown[:-1]},{known[1:]}"


def row_on_the_wire(key: Any, *, job_id: UUID, fields: str) -> str:
    """A row as a phone reads it."""
    named = f'"table":"{key.table}","id":"{key.id}","job_id":"{job_id}","rev":{key.rev}'
    return f'{{{named},"fields":{fields}}}'


@cache  # of a few dozen that occur
def _fields_of_all(role: Role, tables: tuple[str, ...]) -> Any:
    first, *others = (_fields(role, table) for table in tables)
    return union_all(first, *others) if others else first


def _fields(role: Role, table: str) -> Select[Any]:
    model, names = WIRE[table]
    seen = {name: as_seen_by(role, column=getattr(model, name)) for name in names}
    unknown = cast(seen.pop(_UNKNOWN, null()), Text).label("unknown")
    said = [part for name, value in seen.items() for part in (name, _plain(value))]
    fields = cast(func.json_build_object(*said), Text).label("fields")
    ids = cast(bindparam(f"{table}_ids", type_=ARRAY(Text)), ARRAY(Uuid))
    row_id: Any = cast(model.id, String).label("id")
    return select(literal(table).label("table"), row_id, unknown, fields).where(model.id == any_(ids))


def _plain(seen: Any) -> Any:
    """As plain.py writes it: moments in UTC, with milliseconds. All else the database writes in the same way."""
    if isinstance(seen.type, DateTime):
        return func.to_char(func.timezone("UTC", seen), 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"')
    return seen


def tables_for(role: Role) -> Sequence[str]:
    """Which tables this one gets at all: readings stay with the company."""
    return [name for name in WIRE if not (role == "contractor" and name == "reading")]
