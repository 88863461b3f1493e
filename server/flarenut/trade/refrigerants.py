"""Saturation pressure, saturation temperature and liquid density of the refrigerants."""

import math

from . import ranges, refrigerant_tables, same_digits, verdicts

KELVIN = 273.15
LOW_C = refrigerant_tables.LOW_C
HIGH_C = refrigerant_tables.HIGH_C
LOW_K = LOW_C + KELVIN
HIGH_K = HIGH_C + KELVIN
# From the straight line of ln p over 1/T three steps reach the last digit; twice that is taken,
# always, so that both runtimes do the same.
STEPS = 6

# ASHRAE 34 safety groups, from memory (M); CoolProp has the older A2 for R-32.
FLAMMABLE = ["R-32", "R-454B"]
# Of the 400 series: parts that boil apart, so that they leave the cylinder as liquid.
BLENDS = ["R-410A", "R-454B", "R-407C"]
# The library has no equation of its own for it and mixes it from its parts: published boiling
# points differ by about this much (M), and versions of the library in density (L).
MIXED = "R-454B"
MIXED_WITHIN_K = 0.5
MIXED_WITHIN_PCT = 1.0

NAMES = [row[0] for row in refrigerant_tables.TABLES]


class Refrigerant:
    """The curves of one refrigerant."""

    def __init__(
        self,
        name: str,
        *,
        critical_k: float,
        bubble: list[float],
        dew: list[float],
        density: list[float],
    ) -> None:
        self.name = name
        self.critical_k = critical_k
        self.bubble = bubble
        self.dew = dew or bubble  # A pure fluid boils and condenses alike.
        self.density = density
        self.is_blend = name in BLENDS
        self.is_flammable = name in FLAMMABLE

    def bubble_pa(self, temperature_c: float) -> float:
        """Pressure at which the liquid begins to boil."""
        return _pressure_pa(self.bubble, temperature_c=temperature_c)

    def dew_pa(self, temperature_c: float) -> float:
        """Pressure at which the vapour begins to condense."""
        return _pressure_pa(self.dew, temperature_c=temperature_c)

    def bubble_c(self, pressure_pa: float) -> float:
        """Temperature at which the liquid begins to boil."""
        return _temperature_c(self.bubble, pressure_pa=pressure_pa)

    def dew_c(self, pressure_pa: float) -> float:
        """Temperature at which the vapour begins to condense."""
        return _temperature_c(self.dew, pressure_pa=pressure_pa)

    def liquid_density_kg_m3(self, temperature_c: float) -> float:
        """Density of the saturated liquid.

        Valid for   -60 to 65 degrees C
        Formula     Chebyshev series in r = (1 - T / Tc)^(1/3), scaled to -1 to 1    [A]
        Inputs      temperature_c            of the liquid at its bubble point       [degC]
        Returns     density                                                          [kg/m3]
        Source A    CoolProp 8.0.0 (L), refrigerant_tables.py
        """
        cold = self._root(LOW_K)
        warm = self._root(HIGH_K)
        root = self._root(temperature_c + KELVIN)
        return _series(self.density, x=(2.0 * root - cold - warm) / (warm - cold))[0]

    def about(self) -> list[dict[str, object]]:
        """What a reader must know of the curves themselves."""
        if self.name != MIXED:
            return []
        return [
            verdicts.reason(
                "blend_mixed_from_parts",
                refrigerant=self.name,
                temperature_within_k=MIXED_WITHIN_K,
                density_within_pct=MIXED_WITHIN_PCT,
                mark=verdicts.FROM_MEMORY,
            )
        ]

    def lowest_pa(self) -> float:
        """The lowest pressure with both a bubble and a dew temperature in the tables."""
        return max(self.bubble_pa(LOW_C), self.dew_pa(LOW_C))

    def highest_pa(self) -> float:
        """The highest pressure with both a bubble and a dew temperature in the tables."""
        return min(self.bubble_pa(HIGH_C), self.dew_pa(HIGH_C))

    def _root(self, kelvin: float) -> float:
        return same_digits.cube_root(1.0 - kelvin / self.critical_k)


def named(data: dict[str, object]) -> Refrigerant:
    """The refrigerant of an input."""
    name = ranges.choice(data, "refrigerant", choices=NAMES)
    row = refrigerant_tables.TABLES[NAMES.index(name)]
    return Refrigerant(name, critical_k=row[1], bubble=row[2], dew=row[3], density=row[4])


def _pressure_pa(curve: list[float], *, temperature_c: float) -> float:
    """Saturation pressure.

    Valid for   -60 to 65 degrees C
    Formula     ln p = Chebyshev series in T, scaled to -1 to 1                      [A]
    Inputs      temperature_c            saturation temperature                      [degC]
    Returns     pressure, absolute                                                   [Pa]
    Source A    CoolProp 8.0.0 (L), refrigerant_tables.py
    """
    x = (2.0 * temperature_c - LOW_C - HIGH_C) / (HIGH_C - LOW_C)
    return same_digits.exp(_series(curve, x=x)[0])


def _temperature_c(curve: list[float], *, pressure_pa: float) -> float:
    """Saturation temperature: the inverse of `_pressure_pa`, by Newton's method."""
    wanted = math.log(pressure_pa)
    low = _series(curve, x=-1.0)[0]
    high = _series(curve, x=1.0)[0]
    share = (wanted - low) / (high - low)
    kelvin = 1.0 / (1.0 / LOW_K + share * (1.0 / HIGH_K - 1.0 / LOW_K))
    x = (2.0 * kelvin - LOW_K - HIGH_K) / (HIGH_K - LOW_K)
    for _ in range(STEPS):
        value, slope = _series(curve, x=x)
        x = min(1.0, max(-1.0, x - (value - wanted) / slope))
    return (LOW_C + HIGH_C) / 2.0 + (HIGH_C - LOW_C) / 2.0 * x


def _series(curve: list[float], *, x: float) -> tuple[float, float]:
    """A Chebyshev series and its slope at x, by the recurrences of T and T'."""
    before, here = 1.0, x
    slope_before, slope_here = 0.0, 1.0
    value = curve[0] + curve[1] * x
    slope = curve[1]
    for index in range(2, len(curve)):
        before, here, slope_before, slope_here = (
            here,
            2.0 * x * here - before,
            slope_here,
            2.0 * here + 2.0 * x * slope_here - slope_before,
        )
        value += curve[index] * here
        slope += curve[index] * slope_here
    return value, slope
