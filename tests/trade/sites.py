"""Inputs of return_plan, showing only what matters to a test."""

from typing import Any

from tests.trade.jobs import HOUR_S, moment, zone_of

WEEKDAYS = [1, 2, 3, 4, 5]


def a_step(name: str, *, hours: float, **more: Any) -> dict[str, Any]:
    duration = hours * HOUR_S
    return {
        "id": name,
        "needs": [],
        "state": "todo",
        "who": "contractor",
        "calendar": "shift",
        "duration_s": {"low": duration, "likely": duration, "high": duration},
        **more,
    }


def a_repair(name: str, *, hours: float, **more: Any) -> dict[str, Any]:
    duration = hours * HOUR_S
    return {
        "id": name,
        "state": "open",
        "who": "contractor",
        "stops": [],
        "repair_s": {"low": duration, "likely": duration, "high": duration},
        "proof_s": {"low": 0, "likely": 0, "high": 0},
        **more,
    }


def a_site(now: str, **more: Any) -> dict[str, Any]:
    return {
        "now": moment(now),
        "zone": zone_of(),
        "shift": {"shift_start": "07:00", "shift_end": "15:30", "shift_days": WEEKDAYS},
        "steps": [],
        "issues": [],
        **more,
    }
