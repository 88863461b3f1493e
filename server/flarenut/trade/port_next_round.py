"""One more round of a port check: the one that best separates what is still unclear."""

from .port_claims import Claim
from .port_reading import Check


def next_round(claims: list[Claim], *, check: Check) -> dict[str, object] | None:
    """Which ports to switch on, and which units to read; null when no round would help.

    Valid for   a round straight after the last, or after a pause written as a round of 0
    Formula     a unit is told from a rival when one of the two ports is on and the other off;
                the ports are turned over one by one, each time the one that separates most
                more, with no more on than in the fullest round so far; each step
                gains, so it ends
    Inputs      claims                   what was found
    Returns     {on, off, read} by name
    """
    unclear = [claim for claim in claims if claim.is_measured and not claim.is_clear]
    ports = range(len(claims))
    pairs = [(claim.port, claim.rival) for claim in unclear]
    for claim in unclear:
        pairs.extend([(claim.port, port) for port in ports if claim.is_near(port)])
    is_on = _separate(pairs, ports=len(claims), most=_fullest(check.codes))
    names = check.names
    if not any(is_on):
        return None
    return {
        "on": [name for at, name in enumerate(names) if is_on[at]],
        "off": [name for at, name in enumerate(names) if not is_on[at]],
        "read": [names[claim.unit] for claim in unclear],
    }


def _separate(pairs: list[tuple[int, int]], *, ports: int, most: int) -> list[bool]:
    """Silence is a port that is never on: the place -1, after the last."""
    is_on = [False] * (ports + 1)
    while True:
        gains = [0] * (ports + 1)
        for one, other in pairs:
            if one != other:
                gain = 1 if is_on[one] == is_on[other] else -1
                gains[one] += gain
                gains[other] += gain
        is_full = is_on.count(True) >= most
        best = -1
        for port in range(ports):
            fits = is_on[port] or not is_full
            if fits and gains[port] > (gains[best] if best >= 0 else 0):
                best = port
        if best < 0:
            return is_on
        is_on[best] = not is_on[best]


def _fullest(codes: list[str]) -> int:
    return max([[code[at] for code in codes].count("1") for at in range(len(codes[0]))])
