"""Which readings of a pressure hold count, where some of them were taken in doubtful conditions."""

from . import hold_doubts
from .hold_line import Line
from .hold_readings import Reading

LEAST = 2  # A fall takes two readings.


def without_doubt(line: Line, *, filled_t_s: float | None) -> Line | None:
    """A line through the readings that can be held against the last one, itself among them.

    A reading taken while the gas settled, or on another night or in other weather than the last,
    says little; two that are alike say what they say without it. Early ones come first, so that
    the hold stays as long as it can be.

    Valid for   any number of readings
    Inputs      line                     through all readings
                filled_t_s               end of filling, None where nobody said it   [s]
    Returns     line; None where fewer than two are alike, or where one that would be left out
                lies farther off than its doubt explains: then there is more to it, and all count
    """
    kept = _alike(line.readings, filled_t_s=filled_t_s)
    if len(kept) < LEAST:
        return None
    rest = line.through(kept)
    for one in line.readings:
        if one not in kept and _is_beyond(one, line=rest, filled_t_s=filled_t_s):
            return None
    return rest


def _alike(readings: list[Reading], *, filled_t_s: float | None) -> list[Reading]:
    last = readings[-1]
    if not hold_doubts.is_settled(last, filled_t_s=filled_t_s):
        return []
    kept = [last]
    for one in readings[:-1]:
        if hold_doubts.is_settled(one, filled_t_s=filled_t_s) and _fits(one, among=kept):
            kept.append(one)
    kept.append(kept.pop(0))
    return kept


def _fits(one: Reading, *, among: list[Reading]) -> bool:
    tried = list(among)
    tried.append(one)
    moved_k = hold_doubts.moved_k(tried)
    moved_pa = hold_doubts.barometer_moved_pa(tried)
    return moved_k <= hold_doubts.FURTHEST_K and moved_pa <= hold_doubts.FURTHEST_PA


def _is_beyond(one: Reading, *, line: Line, filled_t_s: float | None) -> bool:
    """Does it lie farther off the line than its own doubts and the instruments explain?"""
    explained_pa = line.band_pa(one)
    explained_pa += line.by_kelvin_pa() * abs(one.temperature_c - line.last.temperature_c)
    explained_pa += abs(one.barometer_pa - line.last.barometer_pa)
    if not hold_doubts.is_settled(one, filled_t_s=filled_t_s):
        explained_pa += line.by_kelvin_pa() * hold_doubts.WARMEST_K
    slope = line.fall_pa() / line.held_s
    on_line_pa = line.start_pa + slope * (one.t_s - line.first.t_s)
    return abs(line.reduced_pa(one) - on_line_pa) > explained_pa
