"""Which of four curves a standing vacuum follows: steady, line, levelling off, slowing down."""

import math

from . import same_digits

STEADY = "steady"
LEAK = "leak"
MOISTURE = "moisture"
OUTGASSING = "outgassing"
LEAST_READINGS = 6  # With four parameters AICc has no value below it.
# Curves within this of the best are as well supported, and the simplest of them is taken;
# Burnham and Anderson, Model Selection and Multimodel Inference, 2002 (M).
ALIKE = 2.0
# Neighbours are averaged beyond so many readings: a phone is to answer while one types.
MOST_POINTS = 40
# Time constants looked through, of the time between first and last reading.
SHORTEST_SHARE = 0.005
LONGEST_SHARE = 5.0
LONGEST_LOG_SHARE = 1.0  # With a longer one a logarithm is a straight line.
FACTOR = 1.5
NARROWINGS = 18  # To a few parts in a million.


class Point:
    """A reading, or the mean of neighbours, counted from the first one."""

    def __init__(self, t_s: float, *, pressure_pa: float) -> None:
        self.t_s = t_s
        self.pressure_pa = pressure_pa


class Curve:
    """Base plus rise times a function of time that is 0 at the first reading."""

    def __init__(
        self, shape: str, *, base_pa: float, rise: float, time_s: float, squares: float
    ) -> None:
        self.shape = shape
        self.base_pa = base_pa
        self.rise = rise
        self.time_s = time_s
        self.squares = squares
        self.aicc = 0.0

    def at_pa(self, t_s: float) -> float:
        """Pressure on the curve."""
        return self.base_pa + self.rise * _function(self.shape, t_s=t_s, time_s=self.time_s)

    def end_slope_pa_s(self, t_s: float) -> float:
        """Rise by time on a curve that bends."""
        if self.shape == OUTGASSING:
            return self.rise / (self.time_s + t_s)
        return self.rise / self.time_s * same_digits.exp(-t_s / self.time_s)

    def plateau_pa(self) -> float:
        """Where a curve that levels off ends."""
        return self.base_pa + self.rise

    def described(self) -> dict[str, object]:
        """The curve with its score, for those who draw or check it."""
        parameters = {"base_pa": self.base_pa, "rise": self.rise, "time_s": self.time_s}
        return {"shape": self.shape, "aicc": self.aicc, "parameters": parameters}


class Shapes:
    """All four curves through one set of readings, and the one that is taken."""

    def __init__(self, points: list[Point], *, ceiling_pa: float, resolution_pa: float) -> None:
        self.points = thinned(points)
        self.resolution_pa = resolution_pa
        self.level = self._scored(_fitted(self.points, shape=STEADY))
        self.line = self._scored(_fitted(self.points, shape=LEAK))
        self.free = self._scored(_curved(self.points, shape=MOISTURE))
        water = self.free
        if self.free.plateau_pa() > ceiling_pa:
            water = self._scored(_curved(self.points, shape=MOISTURE, ceiling_pa=ceiling_pa))
        slowing = self._scored(_curved(self.points, shape=OUTGASSING))
        self.curves = [self.level, self.line, water, slowing]
        self.taken = self._choose()

    def _choose(self) -> Curve:
        """The lowest score; a simpler curve that is nearly as good comes first."""
        rising = [one for one in self.curves if one.shape == STEADY or one.rise > 0.0]
        best = rising[0]
        for one in rising:
            if one.aicc < best.aicc:
                best = one
        for one in rising:
            if _count(one.shape) < _count(best.shape) and one.aicc - best.aicc <= ALIKE:
                return one
        return best

    def _scored(self, curve: Curve) -> Curve:
        """Sets the score of a curve: lower is better.

        Valid for   more readings than parameters and two
        Formula     n ln(S / n) + 2 k + 2 k (k + 1) / (n - k - 1), the spread counted in k   [A]
        Inputs      curve                    with S, the sum of squares              [Pa2]
        Returns     the same curve
        Source A    N. Sugiura 1978; C. M. Hurvich and C.-L. Tsai 1989 (M)
        """
        n = len(self.points)
        k = _count(curve.shape)
        # No gauge is better than its smallest step, however well a curve goes through the readings.
        spread = curve.squares / n + self.resolution_pa * self.resolution_pa / 12.0
        curve.aicc = n * math.log(spread) + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0)
        return curve


def thinned(points: list[Point]) -> list[Point]:
    """Means of neighbours, so that no more points are left than are worth the time."""
    size = (len(points) + MOST_POINTS - 1) // MOST_POINTS
    if size <= 1:
        return points
    found = []
    for start in range(0, len(points), size):
        group = points[start : start + size]
        t_s = _mean([one.t_s for one in group])
        found.append(Point(t_s, pressure_pa=_mean([one.pressure_pa for one in group])))
    return found


def straight(points: list[Point]) -> Curve:
    """The straight line through two readings or more."""
    return _fitted(points, shape=LEAK)


def _count(shape: str) -> int:
    """Parameters of a curve, the spread of the readings included."""
    if shape == STEADY:
        return 2
    return 3 if shape == LEAK else 4


def _function(shape: str, *, t_s: float, time_s: float) -> float:
    if shape == STEADY:
        return 0.0
    if shape == LEAK:
        return t_s
    if shape == OUTGASSING:
        return math.log(1.0 + t_s / time_s)
    return 1.0 - same_digits.exp(-t_s / time_s)


def _fitted(
    points: list[Point], *, shape: str, time_s: float = 1.0, ceiling_pa: float | None = None
) -> Curve:
    """Least squares for base and rise, the time constant given.

    Where the curve would level off above the ceiling it is held there, and the rise alone is free.
    """
    xs = [_function(shape, t_s=one.t_s, time_s=time_s) for one in points]
    middle = _mean(xs)
    middle_pa = _mean([one.pressure_pa for one in points])
    rise = _rise(points, xs=[x - middle for x in xs], level_pa=middle_pa)
    base_pa = middle_pa - rise * middle
    if ceiling_pa is not None and base_pa + rise > ceiling_pa:
        rise = _rise(points, xs=[x - 1.0 for x in xs], level_pa=ceiling_pa)
        base_pa = ceiling_pa - rise
    squares = 0.0
    for x, one in zip(xs, points):
        miss = one.pressure_pa - base_pa - rise * x
        squares += miss * miss
    return Curve(shape, base_pa=base_pa, rise=rise, time_s=time_s, squares=squares)


def _rise(points: list[Point], *, xs: list[float], level_pa: float) -> float:
    """Least squares for the rise of a line that passes the level where x is 0."""
    spread = 0.0
    together = 0.0
    for x, one in zip(xs, points):
        spread += x * x
        together += x * (one.pressure_pa - level_pa)
    return together / spread if spread > 0.0 else 0.0


def _curved(points: list[Point], *, shape: str, ceiling_pa: float | None = None) -> Curve:
    """Least squares for the time constant too: a coarse look, then ever smaller steps."""
    whole_s = points[-1].t_s
    longest = LONGEST_LOG_SHARE if shape == OUTGASSING else LONGEST_SHARE
    time_s = whole_s * SHORTEST_SHARE
    best = _fitted(points, shape=shape, time_s=time_s, ceiling_pa=ceiling_pa)
    while time_s < whole_s * longest:
        time_s *= FACTOR
        one = _fitted(points, shape=shape, time_s=time_s, ceiling_pa=ceiling_pa)
        if one.squares < best.squares:
            best = one
    factor = FACTOR
    for _ in range(NARROWINGS):
        factor = math.sqrt(factor)
        for time_s in [best.time_s / factor, best.time_s * factor]:
            one = _fitted(points, shape=shape, time_s=time_s, ceiling_pa=ceiling_pa)
            if one.squares < best.squares:
                best = one
    return best


def _mean(values: list[float]) -> float:
    total = 0.0
    for value in values:
        total += value
    return total / len(values)
