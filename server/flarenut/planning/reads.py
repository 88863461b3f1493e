"""The return plan of a job, from its rows, by the very calculation that the phones run."""

import datetime as dt
import json
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import select

from flarenut.db import db
from flarenut.errors import Invalid, NotFound
from flarenut.issues.tables import Issue
from flarenut.jobs.tables import Job, System, Unit
from flarenut.sync.plain import plain
from flarenut.sync.wire import WIRE
from flarenut.trade import entry
from flarenut.visits.tables import Step

# One technician and one fitter, until a company says otherwise (P).
CREW = {"technician": 1, "contractor": 1}

# Clock changes are told this far ahead: longer than any return plan reaches (P).
ZONE_AHEAD = dt.timedelta(days=400)

ROWS: dict[str, Any] = {"systems": System, "units": Unit, "steps": Step, "issues": Issue}


def plan_for(job_id: UUID, *, now: dt.datetime) -> dict[str, Any]:
    """What remains on a job, who does it, and when a return makes sense."""
    answer = json.loads(entry.compute("job_plan", json.dumps(job_plan_input(job_id, now=now))))
    if not answer["ok"]:
        error = answer["error"]
        raise Invalid(error["code"], error["message"], {str(error["field"]): error})
    return dict(answer["result"])


def job_plan_input(job_id: UUID, *, now: dt.datetime) -> dict[str, Any]:
    """The rows of a job in the shape that a phone gives them to the engine."""
    job = db.session.get(Job, job_id)
    if job is None:
        raise NotFound("not_found", "There is no such job.")
    rows = {name: _flat_rows(table, job_id=job_id) for name, table in ROWS.items()}
    shift = {name: getattr(job, name) for name in ("shift_start", "shift_end", "shift_days")}
    zone = zone_of(job.time_zone, now=now)
    return {"now": now.timestamp(), "zone": zone, "job": shift, "crew": CREW, **rows}


def _flat_rows(table: Any, *, job_id: UUID) -> list[dict[str, Any]]:
    """Fields plus id, as on the wire; nothing that a phone would not have, and nothing that only newer apps know."""
    names = [name for name in WIRE[table.__tablename__][1] if name != "unknown_fields"]
    found = db.session.scalars(select(table).where(table.job_id == job_id).order_by(table.id))
    return [{"id": str(row.id), **{name: plain(getattr(row, name)) for name in names}} for row in found]


def zone_of(name: str, *, now: dt.datetime) -> dict[str, Any]:
    """The zone as the engine takes it, which has no clock and no calendar of zones of its own."""
    zone = ZoneInfo(name)
    changes, before = [], _offset_s(now, zone=zone)
    for hours in range(int(ZONE_AHEAD.total_seconds()) // 3600):
        at = _whole_hour(now) + dt.timedelta(hours=hours + 1)
        offset = _offset_s(at, zone=zone)
        if offset != before:
            changes.append({"at_s": at.timestamp(), "utc_offset_s": offset})
            before = offset
    return {"utc_offset_s": _offset_s(now, zone=zone), "changes": changes}


def _offset_s(at: dt.datetime, *, zone: ZoneInfo) -> int:
    offset = at.astimezone(zone).utcoffset()
    return 0 if offset is None else int(offset.total_seconds())


def _whole_hour(at: dt.datetime) -> dt.datetime:
    return at.astimezone(dt.UTC).replace(minute=0, second=0, microsecond=0)
