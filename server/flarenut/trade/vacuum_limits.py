"""Limits of a standing vacuum in published documents, offered and never taken unasked."""

from . import verdicts

NAME = "vacuum_limits"
WHAT = "Published limits that vacuum_stand may be given, each with its source and mark"

HOUR_S = 3600.0
MICRON_PA = 101325.0 / 760.0 / 1000.0  # A thousandth of a torr, exact (NIST SP 811, M).
DUTCH = "Dutch regulation BWBR0008743, charge "

# Name, pumped down to at most (or not said), limit, time, source. All were read (S).
VACUUM_LIMITS = [
    ("ufgs_15182", 300.0 * MICRON_PA, 500.0 * MICRON_PA, HOUR_S, "UFGS 15182"),
    ("ufgs_15741n", None, 300.0 * MICRON_PA, 2.0 * HOUR_S, "UFGS 15741N, last of three cycles"),
    ("nl_under_10", None, 270.0, 0.5 * HOUR_S, DUTCH + "under 10 kg"),
    ("nl_under_200", None, 270.0, HOUR_S, DUTCH + "under 200 kg"),
    ("nl_above_200", None, 270.0, 2.0 * HOUR_S, DUTCH + "of 200 kg and more"),
]

INPUTS: list[tuple[str, str, bool, str]] = []
OUTPUTS = [
    ("limits", "", "list of {name, pump_down_pa, limit_pa, hold_s, source, mark}"),
    ("limits[].pump_down_pa", "Pa", "at most, before it stands; null where the document is silent"),
    ("limits[].limit_pa", "Pa", "not above, absolute"),
    ("limits[].hold_s", "s", "from the moment the pump is shut off"),
    ("limits[].source", "", "where it was read"),
    ("limits[].mark", "", "S"),
]


def vacuum_limits(data: dict[str, object]) -> dict[str, object]:  # noqa: ARG001 -- asks for nothing
    """What documents ask of a standing vacuum."""
    return {"limits": [_described(row) for row in VACUUM_LIMITS]}


def _described(row: tuple[str, float | None, float, float, str]) -> dict[str, object]:
    return {
        "name": row[0],
        "pump_down_pa": row[1],
        "limit_pa": row[2],
        "hold_s": row[3],
        "source": row[4],
        "mark": verdicts.READ_IN_SOURCE,
    }
