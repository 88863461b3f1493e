"""What can happen to readings: they are recorded. A correction is another reading."""

from typing import Any

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.jobs.tables import System, Unit
from flarenut.readings.recompute import is_same, recompute
from flarenut.readings.tables import Reading
from flarenut.sync.change import Change
from flarenut.visits.steps import Proof, settle_done, settle_undone
from flarenut.visits.tables import Step, Visit

# Which step a calculation settles; any other reading is kept and settles none. The others have no
# verdict (what to switch, how much to charge), or one that is only a check of plausibility beside
# the maker's own criterion (saturation, superheat, subcooling, room limit, air side).
PROVES = {
    "supply_power": "supply",
    "pressure_hold": "pressure_hold",
    "vacuum_stand": "standing_vacuum",
    "joint_geometry": "joints",
    "unit_count": "count",
    "addresses": "addresses",
    "port_check_read": "port_check",
}
# One reading for many units, where each unit has the step for itself. That all is well is true of
# each unit in it; that something is wrong may be true of another unit, and settles nobody's step.
FOR_MANY_UNITS = ("addresses",)

# Where a reading may point, and to what.
POINTS_TO: dict[str, type] = {
    "system_id": System,
    "unit_id": Unit,
    "step_id": Step,
    "visit_id": Visit,
    "replaces_id": Reading,
}


# How a visit stands that takes none any more, and what is said of it.
OVER = {
    "closed": ("visit_closed", "This visit was closed before the reading was taken. Record it on another visit."),
    "cancelled": ("visit_cancelled", "This visit was called off. Record the reading on another visit."),
}


def record_reading(change: Change, fields: dict[str, Any]) -> None:
    """Keep what was measured, compute it again, and let a clear verdict settle the step."""
    found: dict[str, Any] = {
        name: change.need(table, fields[name]) for name, table in POINTS_TO.items() if fields.get(name)
    }
    # Nothing was measured after it arrived, whatever the phone's clock says.
    taken_at = min(fields["taken_at"], change.at)
    check_visit_open(found.get("visit_id"), change=change)
    check_replaces(found.get("replaces_id"), fields=fields)
    server_outputs = recompute(fields["calculation"], fields["inputs"])
    check_step_fits(found.get("step_id"), fields=fields)
    outputs, verdict = fields["outputs"], fields.get("verdict")
    reading = change.add(
        Reading(
            id=change.entity,
            made_rev=change.rev,
            calculation=fields["calculation"],
            **{name: fields.get(name) for name in POINTS_TO},
            inputs=fields["inputs"],
            entered=fields.get("entered") or {},
            outputs=outputs,
            server_outputs=server_outputs,
            verdict=verdict,
            engine_version=fields["engine_version"],
            differs=not (is_same(outputs, server_outputs) and verdict == server_outputs.get("verdict")),
            instrument=fields.get("instrument"),
            reason=fields.get("reason"),
            taken_at=taken_at,
            by_name=change.actor.name,
        )
    )
    db.session.flush()
    if "step_id" in found:
        change.base_of = found["step_id"].id
        _settle_step(change, found["step_id"], reading=reading)


def check_visit_open(visit: Visit | None, *, change: Change) -> None:
    """A visit that is over takes no new readings from whoever knew; others recorded theirs before they could know.

    Two phones' clocks do not say which came first. `base_rev` does: once it is at the close or past it, its sender
    had been told. A reading of a step speaks of that step, which may be older: in doubt it is taken.
    """
    if visit is None or visit.state not in OVER or change.is_news(visit, "state"):
        return
    code, message = OVER[visit.state]
    raise Refused(code, message, {"visit_id": visit.state})


def check_replaces(before: Reading | None, *, fields: dict[str, Any]) -> None:
    """A correction corrects the same thing: the same calculation on the same unit and system."""
    if before is None:
        return
    same = ("calculation", "unit_id", "system_id")
    if any(getattr(before, name) != fields.get(name) for name in same):
        raise Refused(
            "replaces_another_kind",
            "A reading can only replace one of the same calculation on the same unit.",
            {"replaces_id": "another unit or calculation"},
        )


def check_step_fits(step: Step | None, *, fields: dict[str, Any]) -> None:
    """A reading at one unit proves nothing about the step of another, nor about a step of another kind."""
    if step is None:
        return
    if step.code != PROVES.get(fields["calculation"]):
        raise Refused("wrong_step", "This reading says nothing about that step.", {"step_id": "another kind of step"})
    if step.unit_id not in (None, fields.get("unit_id")) or fields.get("system_id") not in (None, step.system_id):
        raise Refused(
            "wrong_step", "This step belongs to another unit or system.", {"step_id": "another unit or system"}
        )


def _settle_step(change: Change, step: Step, *, reading: Reading) -> None:
    """Done only where phone and server both say pass; failed where either says fail."""
    if reading.calculation in FOR_MANY_UNITS and not _is_about_unit(reading):
        return
    verdicts = {reading.verdict, reading.server_outputs.get("verdict")}
    if verdicts == {"pass"}:
        settle_done(change, step, proof=Proof(reading.taken_at, reading.by_name, reading.id))
    elif "fail" in verdicts and reading.calculation not in FOR_MANY_UNITS:
        settle_undone(change, step, state="failed", reading_id=reading.id, reset_by=step.reset_by)


def _is_about_unit(reading: Reading) -> bool:
    """Whether the unit is among those of the reading, by the name on the sheet or by its id."""
    unit = db.session.get(Unit, reading.unit_id)
    names = [row.get("unit") for row in reading.inputs["units"]]
    return unit is not None and (unit.tag in names or str(unit.id) in names)
