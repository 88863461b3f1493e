"""Which readings of a pressure hold count, where some of them were taken in doubtful conditions."""

from . import hold_doubts
from .hold_line import Line
from .hold_readings import Reading


def without_doubt(line: Line, *, filled_t_s: float | None) -> Line | None:
    """A line from the first settled reading to the last, where these two are alike.

    A reading taken while the gas settled, or in between on a colder night or in other weather, says
    little, and the others say what they say without it. What was lost since the first of them is
    missing at the last, whatever lies between: so it is never left out itself.

    Valid for   any number of readings
    Inputs      line                     through all readings
                filled_t_s               end of filling, None where nobody said it   [s]
    Returns     line; None where the first and the last are not alike, or where a reading that
                would be left out lies farther off than its doubt explains: then all count
    """
    settled = [one for one in line.readings if hold_doubts.is_settled(one, filled_t_s=filled_t_s)]
    kept = _alike(settled)
    if len(kept) < 2:  # noqa: PLR2004 -- a fall takes two readings.
        return None
    rest = line.through(kept)
    for one in line.readings:
        if one not in kept and _is_beyond(one, line=rest, filled_t_s=filled_t_s):
            return None
    return rest


def _alike(settled: list[Reading]) -> list[Reading]:
    """The first, the last, and what between is like all of these; none where the two differ."""
    if len(settled) == 0 or not _are_alike([settled[0], settled[-1]]):
        return []
    kept = [settled[0]]
    for one in settled[1:-1]:
        tried = list(kept)
        tried.append(one)
        tried.append(settled[-1])
        if _are_alike(tried):
            kept.append(one)
    if len(settled) > 1:
        kept.append(settled[-1])
    return kept


def _are_alike(readings: list[Reading]) -> bool:
    moved_k = hold_doubts.moved_k(readings)
    moved_pa = hold_doubts.barometer_moved_pa(readings)
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
