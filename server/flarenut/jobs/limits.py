"""The limits that a job begins with. A company changes them; where each comes from goes with it."""

from typing import Any

LIMITS: tuple[dict[str, Any], ...] = (
    {
        "name": "supply_tolerance_pct",
        "value": 10.0,
        "unit": "%",
        "source": "from memory, not verified: the usual tolerance of the supply; the nameplate decides",
        "mark": "M",
    },
    {
        "name": "unbalance_limit_pct",
        "value": 2.0,
        "unit": "%",
        "source": "common practice for this equipment, no published source; the maker's manual decides",
        "mark": "P",
    },
    {
        "name": "unbalance_never_above_pct",
        "value": 5.0,
        "unit": "%",
        "source": "NEMA MG-1: never run a motor above 5 % voltage unbalance",
        "mark": "S",
    },
)


def default_of(name: str) -> float:
    """The value that a new job starts with."""
    return float(next(limit["value"] for limit in LIMITS if limit["name"] == name))
