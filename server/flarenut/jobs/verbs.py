"""What can happen to a job as a whole and to its units."""

from typing import Any
from uuid import UUID, uuid5

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.jobs.limits import LIMITS, default_of, limits_of_sheet
from flarenut.jobs.shapes import SheetLimits, SystemRow, UnitRow
from flarenut.jobs.structure import check_structure
from flarenut.jobs.tables import Job, Limit, System, Unit
from flarenut.sync.change import Change
from flarenut.sync.unknown import unknown_in
from flarenut.trade.sequence import steps_for
from flarenut.visits.happened import happened_at
from flarenut.visits.tables import Step

Fields = dict[str, Any]

# Texts of a unit that may be unsaid; the database keeps an empty text for them.
UNIT_TEXTS = ("floor", "place", "room", "group_address", "central_address", "feeder", "model_note")


def create_job(change: Change, fields: Fields) -> None:
    """Set a job up from its as-built list: systems, units, the steps they need, the limits."""
    if change.job is not None:
        raise Refused("job_exists", "There is such a job already. Change it, or set up another one.")
    systems, units = fields["systems"], fields["units"]
    check_whole(systems, units)
    change.add(_job(change, fields))
    db.session.flush()
    for system in systems:
        change.add(_system(system))
    db.session.flush()
    for unit in parents_first(units):
        change.add(_unit(unit))
    db.session.flush()
    for step in _steps(change.entity, systems=systems, units=units):
        change.add(step)
    for limit in (*LIMITS, *limits_of_sheet(fields.get("limits") or {})):
        change.add(Limit(**limit))
    db.session.flush()


def check_whole(systems: list[Fields], units: list[Fields]) -> None:
    """A job is taken whole or not at all."""
    for name, rows in (("systems", systems), ("units", units)):
        if len({row["id"] for row in rows}) != len(rows):
            raise Refused("id_twice", f"Two {name} have one id.", {name: "ids must differ"})
    if len({system["tag"].strip().lower() for system in systems}) != len(systems):
        raise Refused("system_twice", "Two systems have one tag.", {"systems": "tags must differ"})
    problems = check_structure(systems, units)
    if problems:
        where = {f"units.{problem.place}.{problem.column}": problem.reason for problem in problems}
        raise Refused("structure", f"{len(problems)} things in the list of units do not fit together.", where)


def parents_first(units: list[Fields]) -> list[Fields]:
    """Each unit after what it hangs on, so that every row finds its parent already there."""
    by_parent: dict[UUID | None, list[Fields]] = {}
    for unit in units:
        by_parent.setdefault(unit.get("parent_id"), []).append(unit)
    ordered = list(by_parent.get(None, []))
    for unit in ordered:  # The list grows while it is walked: level by level, downwards.
        ordered.extend(by_parent.get(unit["id"], []))
    return ordered


def _job(change: Change, fields: Fields) -> Job:
    return Job(
        id=change.entity,
        name=fields["name"],
        address=fields.get("address") or "",
        contractor_firm=fields.get("contractor_firm") or "",
        time_zone=fields["time_zone"],
        shift_start=fields["shift_start"],
        shift_end=fields["shift_end"],
        shift_days=sorted(fields["shift_days"]),
        state="open",
        invented=fields.get("invented", False),
        created_at=happened_at(change),
        unknown_fields=_unknown_limits(fields.get("limits") or {}),
    )


def _unknown_limits(limits: Fields) -> Fields | None:
    """Limits of the sheet that only a newer app knows make no row here; they stay with the job."""
    unknown = unknown_in(limits, shape=SheetLimits, table=Limit, where="limits.")
    return {"limits": unknown} if unknown else None


def _system(fields: Fields) -> System:
    return System(
        id=fields["id"],
        tag=fields["tag"].strip(),
        kind=fields["kind"],
        refrigerant=fields.get("refrigerant") or "",
        nominal_v=fields["nominal_v"],
        supply_tolerance_pct=fields.get("supply_tolerance_pct") or default_of("supply_tolerance_pct"),
        unbalance_limit_pct=fields.get("unbalance_limit_pct") or default_of("unbalance_limit_pct"),
        unknown_fields=unknown_in(fields, shape=SystemRow, table=System, where=f"systems.{fields['tag']}.") or None,
    )


def _unit(fields: Fields) -> Unit:
    return Unit(
        id=fields["id"],
        system_id=fields.get("system_id"),
        kind=fields["kind"],
        tag=fields["tag"].strip(),
        floor_order=fields.get("floor_order", 0),
        room_m3=fields.get("room_m3"),
        parent_id=fields.get("parent_id"),
        port=fields.get("port"),
        port_count=fields.get("port_count"),
        line_size=fields.get("line_size"),
        line_length_m=fields.get("line_length_m"),
        unknown_fields=unknown_in(fields, shape=UnitRow, table=Unit, where=f"units.{fields['tag']}.") or None,
        **{name: fields.get(name) or "" for name in UNIT_TEXTS},
    )


def _steps(job_id: UUID, *, systems: list[Fields], units: list[Fields]) -> list[Step]:
    """Steps have ids that a phone can work out for itself, so that it may mark one before it is sent."""
    wanted = steps_for([_plain(system) for system in systems], units=[_plain(unit) for unit in units])
    return [
        Step(
            id=uuid5(job_id, f"{step['system_id']}:{step['code']}:{step['unit_id'] or ''}"),
            system_id=UUID(str(step["system_id"])),
            unit_id=UUID(str(step["unit_id"])) if step["unit_id"] else None,
            code=step["code"],
            state="todo",
        )
        for step in wanted
    ]


def _plain(row: Fields) -> Fields:
    """Ids as text, which is what the engine speaks."""
    return {name: str(value) if isinstance(value, UUID) else value for name, value in row.items()}


SETTABLE = (*UNIT_TEXTS, "floor_order", "room_m3")


def set_unit(change: Change, fields: Fields) -> None:
    """Correct what the sheet says about a unit.

    An address that another unit has is taken: two addresses are swapped one after the other,
    and whoever stands before the unit knows better than the sheet.
    """
    unit: Unit = change.need(Unit, change.entity)
    wanted = {name: fields[name] for name in SETTABLE if name in fields}
    change.set_fields(unit, {name: _stored(name, value) for name, value in wanted.items()})


def _stored(name: str, value: Any) -> Any:
    return value or "" if name in UNIT_TEXTS else value
