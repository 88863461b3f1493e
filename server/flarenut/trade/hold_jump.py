"""Gas that went between two readings of a pressure hold, where a straight line says too little."""

from .hold_line import Line

LEAST_SIDE = 2  # One reading alone may be a slip, two that agree are none (H).


def lost_pa(line: Line) -> float:
    """The drop that two readings or more on either side agree on.

    Valid for   any number of readings; nought with fewer than four
    Formula     the largest, over all places between readings, of lowest before less highest
                after, at the temperature of the last reading
    Returns     drop                                                             [Pa], 0 or more
    Source      a single reading cannot make it: it stands among others on its side (H)
    """
    reduced = [line.reduced_pa(one) for one in line.readings]
    found = 0.0
    for at in range(LEAST_SIDE, len(reduced) - LEAST_SIDE + 1):
        found = max(found, min(reduced[:at]) - max(reduced[at:]))
    return found
