"""What travels: which tables, which of their fields, and how one row looks on the wire."""

from collections.abc import Sequence
from functools import cache
from typing import Any

from sqlalchemy import ARRAY, BigInteger, Select, Uuid, bindparam, column, func, lateral, select, true, tuple_

from flarenut.issues.reads import WIRE_FIELDS as ISSUES
from flarenut.jobs.reads import WIRE_FIELDS as JOBS
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor, Role
from flarenut.photos.reads import WIRE_FIELDS as PHOTOS
from flarenut.readings.reads import WIRE_FIELDS as READINGS
from flarenut.sync.plain import plain
from flarenut.sync.sight import as_seen_by, rows_in_sight
from flarenut.visits.reads import WIRE_FIELDS as VISITS

# Where a table has them. The fields that only newer apps know go out among the others, by their own names.
_ALSO = ("two_values", "unknown_fields")

# table name -> (model, fields). Every field of a row on the wire is named in its noun's reads.
WIRE: dict[str, tuple[Any, list[str]]] = {
    model.__tablename__: (model, [*fields, *(name for name in _ALSO if hasattr(model, name))])
    for noun in (JOBS, VISITS, ISSUES, READINGS, PHOTOS)
    for model, fields in noun.items()
}


@cache
def page_of(table: str, *, role: Role) -> Select[Any]:
    """One query for the next rows of one table, of any number of jobs at once.

    Each job brings its own place to go on from; the jobs keep the order they are given in.
    Its parameters: the arrays `jobs`, `revs`, `pages`, `heads`, `sinces`, and `most`. Wording it takes
    longer than asking it: it is worded once for each role.
    """
    asked = _asked()
    rows = lateral(_rows_after(asked, table=table, role=role), name="page")
    return (
        select(asked.c.place, rows)
        .select_from(asked.join(rows, true()))
        .order_by(asked.c.place, rows.c.rev, rows.c.id)
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


def _rows_after(asked: Any, *, table: str, role: Role) -> Select[Any]:
    """The rows of one job that its reader has not had, in the order of the index."""
    model, names = WIRE[table]
    is_theirs, was_theirs = rows_in_sight(role, table=table, since=asked.c.since)
    job_id = model.id if model is Job else model.job_id
    fields = (as_seen_by(role, column=getattr(model, name)).label(f"f_{name}") for name in names)
    return (
        select(model.id, job_id.label("job_id"), model.rev, is_theirs.label("is_theirs"), *fields)
        .where(
            job_id == asked.c.job_id,
            tuple_(model.rev, model.id) > tuple_(asked.c.rev, asked.c.page_id),
            model.rev <= asked.c.head,
            was_theirs,
        )
        .order_by(model.rev, model.id)
        .limit(bindparam("most"))
    )


def row_on_the_wire(row: Any, *, table: str) -> dict[str, Any]:
    """A row as every phone of that role gets it, its fields by name."""
    fields = {name: plain(getattr(row, f"f_{name}")) for name in WIRE[table][1]}
    if unknown := fields.pop("unknown_fields", None):
        fields = {**unknown, **fields}
    return {"table": table, "id": str(row.id), "job_id": str(row.job_id), "rev": row.rev, "fields": fields}


def tables_for(actor: Actor) -> Sequence[str]:
    """Which tables this one gets at all: readings stay with the company."""
    return [name for name in WIRE if not (actor.role == "contractor" and name == "reading")]
