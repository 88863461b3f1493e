"""What keeps a pressure hold from being judged, however good its figures."""

from . import limits, ranges
from .hold_line import Line
from .hold_readings import LATEST_S

SETTLING_S = 600.0  # Gas and pipe come to one temperature after filling (P).
FURTHEST_K = 11.0  # About 20 degrees F: beyond it the thermometer may not show the gas (P).
FURTHEST_PA = 1000.0  # A passing front; the gauge moves with the barometer one to one (P).


class Doubt:
    """One reason to doubt, and the drop it could explain; None where nobody knows."""

    def __init__(self, reason: dict[str, object], *, explains_pa: float | None, todo: str) -> None:
        self.reason = reason
        self.explains_pa = explains_pa
        self.todo = todo


def doubts(data: dict[str, object], *, line: Line) -> list[Doubt]:
    """All doubts about one hold."""
    found = _of_filling(data, line=line)
    moved_k = _span([one.temperature_c for one in line.readings])
    if moved_k > FURTHEST_K:
        reason = limits.usual(FURTHEST_K, unit="K").compared("temperature_moved", value=moved_k)
        moved_pa = line.first.pressure_pa / line.first.kelvin * moved_k
        todo = "next.read_at_like_temperature"
        found.append(Doubt(reason, explains_pa=moved_pa, todo=todo))
    moved_pa = _span([one.barometer_pa for one in line.readings])
    if moved_pa > FURTHEST_PA:
        reason = limits.usual(FURTHEST_PA, unit="Pa").compared("barometer_moved", value=moved_pa)
        todo = "next.read_when_barometer_is_back"
        found.append(Doubt(reason, explains_pa=moved_pa, todo=todo))
    return found


def explained_pa(found: list[Doubt]) -> float | None:
    """The drop that all of them together could explain; None where nobody knows."""
    total = 0.0
    for one in found:
        if one.explains_pa is None:
            return None
        total += one.explains_pa
    return total


def _of_filling(data: dict[str, object], *, line: Line) -> list[Doubt]:
    """Where nobody said when filling ended, it was at the first reading or before."""
    after_s = line.held_s
    if data.get("filled_t_s") is not None:
        first_s = line.first.t_s
        after_s = first_s - ranges.number(data, "filled_t_s", low=-LATEST_S, high=first_s, unit="s")
    elif after_s == 0.0:
        return []
    if after_s >= SETTLING_S:
        return []
    reason = limits.usual(SETTLING_S, unit="s").compared("too_soon_after_filling", value=after_s)
    return [Doubt(reason, explains_pa=None, todo="next.read_again_when_settled")]


def _span(values: list[float]) -> float:
    return max(values) - min(values)
