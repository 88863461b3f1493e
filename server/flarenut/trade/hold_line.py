"""A straight line through the readings of a pressure hold, and how sure its fall is."""

import math

from . import nitrogen, ranges
from .hold_readings import Circuit, Reading

COVERAGE = 2.0  # Standard uncertainties on either side: 95 in 100 (GUM, S).
REFERENCE_K = 293.15  # Leak rates are given for gas at 20 degrees C.
# No instrument is better (P); if both were, there would be nothing to weigh readings by.
FINEST_PA = 0.01
FINEST_K = 0.0001
# A thermometer is off alike in readings this near in time: sun and draught change by the hour (P).
SAME_ERROR_S = 3600.0


class Line:
    """The fall over a hold, of pressures moved to the temperature of its last reading."""

    def __init__(
        self, readings: list[Reading], *, circuit: Circuit, gauge_pa: float, thermometer_k: float
    ) -> None:
        self.readings = readings
        self.circuit = circuit
        self.first = readings[0]
        self.last = readings[-1]
        self.held_s = self.last.t_s - self.first.t_s
        # Squares of what gauge and thermometer leave open in one reading. The latter at the
        # gauge: p / T stays the same in a tight circuit.
        self.gauge_pa = gauge_pa
        self.thermometer_k = thermometer_k
        self.gauge2 = gauge_pa * gauge_pa
        thermometer_pa = self.by_kelvin_pa() * thermometer_k
        self.thermometer2 = thermometer_pa * thermometer_pa
        self.start_pa = self.end_pa = self.reduced_pa(self.first)
        # The same squares for the fall, and what scatter widens both by.
        self.fall_gauge2 = 2.0 * self.gauge2
        self.fall_thermometer2 = 2.0 * self.thermometer2
        self.scatter = 1.0
        if self.held_s > 0.0:
            _fit(self)

    def through(self, readings: list[Reading]) -> "Line":
        """The line through some of its readings, with the same circuit and instruments."""
        return Line(
            readings,
            circuit=self.circuit,
            gauge_pa=self.gauge_pa,
            thermometer_k=self.thermometer_k,
        )

    def by_kelvin_pa(self) -> float:
        """What one kelvin makes of the pressure, P1 / T1 [Pa/K]."""
        return self.first.pressure_pa / self.first.kelvin

    def reduced_pa(self, reading: Reading) -> float:
        """What the reading would have shown at the temperature of the last one."""
        return self.circuit.moved_pa(
            reading.pressure_pa, from_c=reading.temperature_c, to_c=self.last.temperature_c
        )

    def expected_pa(self, reading: Reading) -> float:
        """Absolute pressure at a reading, had nothing been lost since the first."""
        return self.circuit.moved_pa(
            self.start_pa, from_c=self.last.temperature_c, to_c=reading.temperature_c
        )

    def still_pa(self) -> float:
        """Pressure expected at the last reading if the copper had not grown since the first."""
        at_c = self.last.temperature_c
        density = nitrogen.density_kg_m3(self.start_pa, temperature_c=at_c)
        grown = self.circuit.growth(at_c) / self.circuit.growth(self.first.temperature_c)
        return nitrogen.pressure_pa(density * grown, temperature_c=at_c)

    def fall_pa(self) -> float:
        """End minus start of the line: the residual, negative where gas is lost."""
        return self.end_pa - self.start_pa

    def band_pa(self, reading: Reading) -> float:
        """Expanded uncertainty of one reading against the first.

        Formula     2 sqrt((uP^2 + (P1 / T1 uT)^2) (1 + k^2)), k = T / T1            [A]
        Inputs      reading                  the one with temperature T
        Returns     U                                                                [Pa]
        Source A    propagation of independent uncertainties, after the GUM (H)
        """
        k = reading.kelvin / self.first.kelvin
        return COVERAGE * math.sqrt((self.gauge2 + self.thermometer2) * (1.0 + k * k))

    def uncertainty_pa(self) -> float:
        """Expanded uncertainty of the fall, from gauge, thermometer and scatter."""
        return COVERAGE * self.scatter * math.sqrt(self.fall_gauge2 + self.fall_thermometer2)

    def budget(self) -> list[dict[str, object]]:
        """The parts of the uncertainty; their squares add up to its square."""
        beyond2 = (self.fall_gauge2 + self.fall_thermometer2) * (self.scatter * self.scatter - 1.0)
        parts = [
            ("gauge", self.fall_gauge2),
            ("temperature", self.fall_thermometer2),
            ("scatter", beyond2),
        ]
        return [{"part": part, "uncertainty_pa": COVERAGE * math.sqrt(u2)} for part, u2 in parts]

    def leak_pa_m3_s(self) -> float:
        """Gas lost, as pressure times volume at 20 degrees C; negative for a gain.

        Valid for   two readings or more
        Formula     (V / M) (rho1 - rho2) / dt R 293.15 K                            [A]
        Returns     leak rate                                                        [Pa m3/s]
        Source A    mass balance, with the ideal gas as unit of quantity (H)
        """
        at_c = self.last.temperature_c
        start = nitrogen.density_kg_m3(self.start_pa, temperature_c=at_c)
        lost = start - nitrogen.density_kg_m3(self.end_pa, temperature_c=at_c)
        volume_m3 = self.circuit.volume_m3 * self.circuit.growth(at_c)
        return volume_m3 * lost * nitrogen.OWN_CONSTANT_J_KG_K * REFERENCE_K / self.held_s


def line_through(readings: list[Reading], *, circuit: Circuit, data: dict[str, object]) -> Line:
    """The line, with what the instruments of the input can tell apart."""
    step_pa = ranges.number(data, "gauge_resolution_pa", low=0.0, high=100000.0, unit="Pa")
    thermometer_k = ranges.number(data, "temperature_uncertainty_k", low=0.0, high=10.0, unit="K")
    if step_pa < FINEST_PA and thermometer_k < FINEST_K:
        message = "gauge and thermometer cannot both be perfect"
        raise ranges.contradictory("gauge_resolution_pa", message=message)
    # Any value within a step of the gauge is as likely as another.
    gauge_pa = step_pa / math.sqrt(12.0)
    return Line(readings, circuit=circuit, gauge_pa=gauge_pa, thermometer_k=thermometer_k)


def _fit(line: Line) -> None:
    """Least squares over the reduced pressures, each weighted by what is known of it.

    With two readings the line goes through both, and the uncertainty is that of `band_pa`.
    """
    times = [one.t_s - line.first.t_s for one in line.readings]
    reduced = [line.reduced_pa(one) for one in line.readings]
    gauge2 = [_k2(line, one) * line.gauge2 for one in line.readings]
    # Readings that share an error weigh together no more than one of them.
    other2 = [_k2(line, one) * line.thermometer2 * _sharing(line, one) for one in line.readings]
    weights = [1.0 / (one + other) for one, other in zip(gauge2, other2)]
    middle_s = _total(weights, times) / _total(weights, [1.0] * len(weights))
    middle_pa = _total(weights, reduced) / _total(weights, [1.0] * len(weights))
    levers = [weight * (t - middle_s) for weight, t in zip(weights, times)]
    # What each reading adds to the fall over the hold.
    reach = line.held_s / _total(levers, times)
    shares2 = [lever * reach * lever * reach for lever in levers]
    fall_pa = reach * _total(levers, [pa - middle_pa for pa in reduced])
    line.start_pa = middle_pa - fall_pa * middle_s / line.held_s
    line.end_pa = line.start_pa + fall_pa
    line.fall_gauge2 = _total(shares2, gauge2)
    line.fall_thermometer2 = _total(shares2, other2)
    if len(times) > 2:  # noqa: PLR2004 -- through two points there is always a line.
        slope = fall_pa / line.held_s
        misses = [pa - line.start_pa - slope * t for pa, t in zip(reduced, times)]
        line.scatter = _scatter(misses, weights=weights)


def _scatter(misses: list[float], *, weights: list[float]) -> float:
    """How much more the readings scatter than the instruments explain.

    Valid for   three readings or more
    Formula     sqrt(sum w (p - line)^2 / (n - 2)), never below 1                [A]
    Source A    Birge ratio of a weighted least squares fit (H)
    """
    square = _total(weights, [miss * miss for miss in misses])
    return max(1.0, math.sqrt(square / (len(misses) - 2)))


def _k2(line: Line, reading: Reading) -> float:
    """A pressure grows by this, squared, when it is moved to the last temperature."""
    k = line.last.kelvin / reading.kelvin
    return k * k


def _sharing(line: Line, reading: Reading) -> int:
    """How many readings share the thermometer's error with this one, itself among them."""
    near_s = min(SAME_ERROR_S, line.held_s / 2.0)
    return len([one for one in line.readings if abs(one.t_s - reading.t_s) < near_s])


def _total(values: list[float], factors: list[float]) -> float:
    """Products one after the other: `sum` adds otherwise in newer versions of Python."""
    total = 0.0
    for value, factor in zip(values, factors):
        total += value * factor
    return total
