"""Checksums: does a phone that has read everything of a job hold just what its reader would get?

One per job and table, over the ids and revisions of the rows in sight, so that an older app can
compare the tables that it knows. Nobody ever adopts the other side's sum: a phone that differs reads
the job again from the start and says so.
"""

import uuid
from functools import cache
from typing import Any

import structlog
from sqlalchemy import ARRAY, Select, String, Uuid, any_, bindparam, cast, func, literal, select, union_all
from sqlalchemy.dialects.postgresql import aggregate_order_by

from flarenut.db import db
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor, Role
from flarenut.sync.sight import now_in_sight
from flarenut.sync.wire import WIRE, tables_for

log = structlog.get_logger(__name__)

LENGTH = 32  # hexadecimal digits of the sha256: 128 bits

Sums = dict[str, dict[str, str]]


def sums_of(actor: Actor, *, jobs: list[uuid.UUID]) -> Sums:
    """{job: {table: sum}}; a table without rows has none. Inside the snapshot of the pull."""
    sums: Sums = {str(job_id): {} for job_id in jobs}
    for table, job_id, total in db.session.execute(_sums_for(actor.role), {"jobs": jobs}) if jobs else ():
        sums[str(job_id)][table] = total
    return sums


@cache
def _sums_for(role: Role) -> Any:
    return union_all(*(_sums_of_table(role, table=table) for table in tables_for(role)))


def _sums_of_table(role: Role, *, table: str) -> Select[Any]:
    model: Any = WIRE[table][0]
    job_id = model.id if model is Job else model.job_id
    row = func.concat(cast(model.id, String), ":", cast(model.rev, String))
    whole = func.string_agg(row, aggregate_order_by(literal(","), model.id))
    digest = func.encode(func.sha256(func.convert_to(whole, "UTF8")), "hex")
    jobs = bindparam("jobs", type_=ARRAY(Uuid))
    return (
        select(literal(table), job_id, func.left(digest, LENGTH))
        .where(job_id == any_(jobs), now_in_sight(role, table=table))
        .group_by(job_id)
    )


def report_differing(actor: Actor, *, device_id: uuid.UUID, differed: list[dict[str, Any]]) -> None:
    """A phone held other rows than we do. It has begun again by itself; someone should know."""
    for one in differed:
        log.warning(
            "checksum_differed",
            device_id=str(device_id),
            job_id=str(one["job_id"]),
            tables=[table for table in one["tables"] if table in WIRE],
            role=actor.role,
        )
