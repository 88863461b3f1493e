"""Rows of invented jobs, as the phone holds them, showing only what matters to a test."""

from datetime import UTC, datetime
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from flarenut.trade import sequence
from tests.trade.runtimes import result_of

# Its clocks change on full hours of UTC.
SITE = "America/New_York"
HOUR_S = 3600
REFRIGERANT_STEPS = ["pressure_hold", "evacuation", "standing_vacuum", "charge"]


def moment(text: str, *, zone: str = SITE) -> int:
    """Seconds since 1970 of a local time at the site, such as 2026-12-01 10:00."""
    return int(datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).timestamp())


def local(at_s: float, *, zone: str = SITE) -> str:
    """The local time at the site of a moment, with its weekday."""
    return datetime.fromtimestamp(at_s, UTC).astimezone(ZoneInfo(zone)).strftime("%a %d %H:%M")


def zone_of(site: str = SITE) -> dict[str, Any]:
    """The offset of a site at the start of 2026 and its changes over two years."""
    first, changes = _changes(site)
    return {
        "utc_offset_s": first,
        "changes": [{"at_s": at_s, "utc_offset_s": offset} for at_s, offset in changes],
    }


@cache
def _changes(site: str) -> tuple[int, tuple[tuple[int, int], ...]]:
    start = int(datetime(2026, 1, 1, tzinfo=UTC).timestamp())
    changes: list[tuple[int, int]] = []
    before = first = _offset(start, site=site)
    for at_s in range(start, start + 2 * 366 * 86400, HOUR_S):
        offset = _offset(at_s, site=site)
        if offset != before:
            changes.append((at_s, offset))
            before = offset
    return first, tuple(changes)


def _offset(at_s: int, *, site: str) -> int:
    offset = datetime.fromtimestamp(at_s, ZoneInfo(site)).utcoffset()
    assert offset is not None
    return int(offset.total_seconds())


class Job:
    """A heat recovery system with two boxes and three indoor units, and a heat pump system."""

    def __init__(self) -> None:
        self.now = moment("2026-12-01 10:00")
        self.zone = zone_of()
        self.shift: dict[str, Any] = {
            "shift_start": "07:00",
            "shift_end": "15:30",
            "shift_days": [1, 2, 3, 4, 5],
        }
        self.systems = [
            {"id": "S1", "tag": "System 1", "kind": "heat_recovery"},
            {"id": "S2", "tag": "System 2", "kind": "heat_pump"},
        ]
        self.units = [
            *[_unit("outdoor_module", f"M{n}", system="S1") for n in (1, 2)],
            *[_unit("branch_box", f"B{n}", system="S1") for n in (1, 2)],
            *[_unit("indoor_unit", f"L{n}", system="S1") for n in (1, 2, 3)],
            _unit("wall_controller", "W1", system="S1"),
            _unit("joint", "J1", system="S1"),
            _unit("central_controller", "C1", system=None),
            _unit("outdoor_module", "N1", system="S2"),
            *[_unit("indoor_unit", f"K{n}", system="S2") for n in (1, 2)],
        ]
        self.issues: list[dict[str, Any]] = []
        self.steps = [
            {**step, "state": "todo", "reset_by": None} for step in sequence.steps_for(self.systems, units=self.units)
        ]

    def mark(self, code: str, *, state: str = "done", system: str | None = None, unit: str | None = None) -> None:
        """Mark the steps of a code, on one system or unit when named."""
        for step in self.steps:
            wanted = step["code"] == code and system in (None, step["system_id"])
            if wanted and unit in (None, step["unit_id"]):
                step["state"] = state

    def hang(self, tag: str, *, on: str) -> None:
        """Put a unit on a port of a branch box."""
        next(unit for unit in self.units if unit["id"] == tag)["parent_id"] = on

    def mark_all(self, *, but: tuple[str, ...] = ()) -> None:
        """Everything is done, but the codes named."""
        for code in sequence.CODES:
            if code not in but:
                self.mark(code)

    def raise_issue(self, name: str, *, on: str, category: str, **more: Any) -> None:
        """Log an issue with what its category stops by default."""
        usual = next(one for one in result_of("issue_categories", {})["categories"] if one["code"] == category)
        unit = next(unit for unit in self.units if unit["id"] == on)
        issue = {
            "id": name,
            "state": "open",
            "unit_id": on,
            "system_id": unit["system_id"],
            "category": category,
            "stops": usual["stops"],
            "opens_circuit": usual["opens_circuit"],
            "who_must_act": usual["who_must_act"],
            "promised_on": None,
        }
        self.issues.append({**issue, **more})

    def rows(self) -> dict[str, Any]:
        """The input of job_plan."""
        return {
            "now": self.now,
            "zone": self.zone,
            "job": self.shift,
            "crew": {"technician": 1, "contractor": 1},
            "systems": self.systems,
            "units": self.units,
            "steps": self.steps,
            "issues": self.issues,
        }

    def plan(self) -> dict[str, Any]:
        """What the engine makes of it."""
        plan = result_of("job_plan", self.rows())
        assert isinstance(plan, dict)
        return plan


def group_of(plan: dict[str, Any], name: str) -> dict[str, Any]:
    """One group of a plan, by `system:code`."""
    return next(group for group in plan["groups"] if group["id"] == name)


def work_of(plan: dict[str, Any], name: str) -> dict[str, Any]:
    """One piece of work of the schedule."""
    return next(work for work in plan["schedule"] if work["id"] == name)


def _unit(kind: str, tag: str, *, system: str | None) -> dict[str, Any]:
    return {"id": tag, "tag": tag, "kind": kind, "system_id": system}
