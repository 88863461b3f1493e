"""Which unit is on which port, and how sure that is. Ports are known by their place in the list."""

from . import assignment, port_fit

SILENT = -1  # In place of a port, for a unit that answers to none.
# Two units on one port, or a unit that never answers, is believed when it explains one wrong
# reading more than the ports used once each do (H).
ODD = port_fit.WRONG_FROM
# A pair is clear half-way between one and two wrong readings: with one wrong reading at
# distance 2, or two at 4, one is left; a word on in one round only is two from silence (H).
CLEAR = 1.5 * port_fit.WRONG_FROM


class Claim:
    """What one unit is likely on, what else it could be on, and what speaks for it."""

    def __init__(self, unit: int, *, tried: list[port_fit.Fit], is_measured: bool) -> None:
        self.unit = unit
        # The last one tried is silence, so that SILENT finds it.
        self.tried = tried
        self.costs = [fit.cost for fit in tried[:-1]]
        self.silent = tried[SILENT].cost
        self.is_measured = is_measured
        self.port = SILENT
        self.rival = SILENT
        self.margin = 0.0
        self.fits = True
        self.is_clear = False

    @property
    def fit(self) -> port_fit.Fit:
        """Of the port it is likely on."""
        return self.tried[self.port]

    def row(self, barred: int | None) -> list[float]:
        """What each column of the match costs, when the unit is not on the barred port."""
        extra, _ = self._extra(barred)
        return [
            extra if port == barred else min(cost, extra) for port, cost in enumerate(self.costs)
        ]

    def port_at(self, column: int, *, barred: int | None) -> int:
        """What it means when the match gives the unit that column."""
        extra, port = self._extra(barred)
        return port if column == barred or self.costs[column] > extra else column

    def is_near(self, port: int) -> bool:
        """Whether its own readings cannot rule the port out."""
        return self.costs[port] <= self.fit.cost + CLEAR

    def _extra(self, barred: int | None) -> tuple[float, int]:
        """The cheapest way to leave its column to nobody: on another's port, or silent."""
        least = float("inf") if barred == SILENT else self.silent + ODD
        found = SILENT
        for port, cost in enumerate(self.costs):
            if cost + ODD < least and port != barred:
                least = cost + ODD
                found = port
        return least, found


def settle(claims: list[Claim]) -> None:
    """Find the likeliest ports of all units together.

    Valid for   as many units as ports
    Formula     the assignment problem over min(cost on the port, cost of being extra): a unit
                that is extra leaves its column to nobody. Extra is the cheapest other port, or
                silence, plus ODD. The margin is the best total without the pair of unit and
                port less the best total.
    Inputs      claims                   costs of each unit on each port, noise variances
    Returns     nothing; port, rival and margin of the claims are set
    """
    match = assignment.Match([claim.row(None) for claim in claims])
    for claim in claims:
        claim.port = claim.port_at(match.columns[claim.unit], barred=None)
        claim.margin, column = match.detour(claim.unit, costs=claim.row(claim.port))
        claim.rival = claim.port_at(column, barred=claim.port)
