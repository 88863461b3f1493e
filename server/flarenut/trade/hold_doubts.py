"""What keeps a pressure hold from being judged, however good its figures."""

from . import limits, ranges
from .hold_line import Line
from .hold_readings import LATEST_S, Reading

SETTLING_S = 600.0  # Gas and pipe come to one temperature after filling (P).
# Gas let in is warmer than the pipe by less. At 38 bar in a 20 mm tube it comes near within a
# minute: 16 J/K of gas in a metre, 1.3 W/K through the wall at 20 W/(m2 K) (H).
WARMEST_K = 30.0
FURTHEST_K = 11.0  # About 20 degrees F: beyond it the thermometer may not show the gas (P).
FURTHEST_PA = 1000.0  # A passing front; the gauge moves with the barometer one to one (P).


class Doubt:
    """One reason to doubt, the drop it could explain, and what would end it.

    `anew_s` is the time until the hold can begin to count; None where it counts already.
    """

    def __init__(
        self,
        reason: dict[str, object],
        *,
        explains_pa: float,
        todo: str,
        anew_s: float | None = None,
    ) -> None:
        self.reason = reason
        self.explains_pa = explains_pa
        self.todo = todo
        self.anew_s = anew_s


def filled_at(data: dict[str, object], *, first_s: float) -> float | None:
    """End of filling on the clock of the readings [s]; None where nobody said it."""
    if data.get("filled_t_s") is None:
        return None
    return ranges.number(data, "filled_t_s", low=-LATEST_S, high=first_s, unit="s")


def is_settled(one: Reading, *, filled_t_s: float | None) -> bool:
    """Was it taken when gas and pipe were of one temperature, as far as anybody said?"""
    return filled_t_s is None or one.t_s - filled_t_s >= SETTLING_S


def doubts(line: Line, *, begun_s: float, filled_t_s: float | None) -> list[Doubt]:
    """All doubts about the readings of a line, in a hold that was first read at `begun_s`."""
    found = _of_filling(line, begun_s=begun_s, filled_t_s=filled_t_s)
    kelvin = moved_k(line.readings)
    if kelvin > FURTHEST_K:
        reason = limits.usual(FURTHEST_K, unit="K").compared("temperature_moved", value=kelvin)
        explains_pa = line.by_kelvin_pa() * kelvin
        found.append(Doubt(reason, explains_pa=explains_pa, todo="next.read_at_like_temperature"))
    pascal = barometer_moved_pa(line.readings)
    if pascal > FURTHEST_PA:
        reason = limits.usual(FURTHEST_PA, unit="Pa").compared("barometer_moved", value=pascal)
        found.append(Doubt(reason, explains_pa=pascal, todo="next.read_when_barometer_is_back"))
    return found


def explained_pa(found: list[Doubt]) -> float:
    """The drop that all of them together could explain."""
    total = 0.0
    for one in found:
        total += one.explains_pa
    return total


def moved_k(readings: list[Reading]) -> float:
    """From the coldest to the warmest [K]."""
    return _span([one.temperature_c for one in readings])


def barometer_moved_pa(readings: list[Reading]) -> float:
    """From the lowest to the highest barometer [Pa]."""
    return _span([one.barometer_pa for one in readings])


def _of_filling(line: Line, *, begun_s: float, filled_t_s: float | None) -> list[Doubt]:
    """Where nobody said when filling ended, it was at the first reading or before."""
    anew_s = None
    if filled_t_s is not None:
        after_s = line.first.t_s - filled_t_s
        anew_s = max(0.0, filled_t_s + SETTLING_S - line.last.t_s)
    else:
        after_s = line.last.t_s - begun_s
        if after_s == 0.0:
            return []
    if after_s >= SETTLING_S:
        return []
    reason = limits.usual(SETTLING_S, unit="s").compared("too_soon_after_filling", value=after_s)
    explains_pa = line.by_kelvin_pa() * WARMEST_K
    todo = "next.read_again_when_settled"
    return [Doubt(reason, explains_pa=explains_pa, todo=todo, anew_s=anew_s)]


def _span(values: list[float]) -> float:
    return max(values) - min(values)
