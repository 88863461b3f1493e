"""A straight line through the readings of a pressure hold, and how sure its fall is."""

import math

from . import hold_readings, nitrogen

COVERAGE = 2.0  # Standard uncertainties on either side: 95 in 100 (GUM, S).
REFERENCE_K = 293.15  # Leak rates are given for gas at 20 degrees C.
# A thermometer is off alike in readings this near in time: sun and draught change by the hour (P).
SAME_ERROR_S = 3600.0


class Line:
    """The fall over a hold at the temperature of its last reading."""

    def __init__(
        self,
        readings: list[hold_readings.Reading],
        *,
        circuit: hold_readings.Circuit,
        instruments: hold_readings.Instruments,
    ) -> None:
        self.readings = readings
        self.circuit = circuit
        self.first = readings[0]
        self.last = readings[-1]
        self.held_s = self.last.t_s - self.first.t_s
        self.gauge_pa = math.sqrt(
            instruments.resolution_pa * instruments.resolution_pa / 12.0
            + instruments.barometer_pa * instruments.barometer_pa
        )
        # What the thermometer's doubt comes to at the gauge: p / T is constant in a tight circuit.
        self.thermometer_pa = (
            self.first.pressure_pa / self.first.kelvin * instruments.temperature_k
        )
        self.scatter = 1.0
        self._fit()
        self.content_kg_m3 = circuit.content_kg_m3(
            self.start_pa, temperature_c=self.last.temperature_c
        )

    def reduced_pa(self, reading: hold_readings.Reading) -> float:
        """What the reading would have shown at the temperature of the last one."""
        return self.circuit.moved_pa(reading, temperature_c=self.last.temperature_c)

    def residual_pa(self) -> float:
        """End minus start of the line: negative where gas is lost."""
        return self.end_pa - self.start_pa

    def expected_pa(self, reading: hold_readings.Reading) -> float:
        """Absolute pressure at a reading, had nothing been lost since the first."""
        return self.circuit.pressure_pa(self.content_kg_m3, temperature_c=reading.temperature_c)

    def band_pa(self, reading: hold_readings.Reading) -> float:
        """Expanded uncertainty of one reading against the first.

        Formula     2 sqrt((uP^2 + (P1 / T1 uT)^2) (1 + k^2)), k = T / T1            [A]
        Inputs      reading                  the one with temperature T
        Returns     U                                                                [Pa]
        Source A    propagation of independent uncertainties, after the GUM (H)
        """
        k = reading.kelvin / self.first.kelvin
        one = self.gauge_pa * self.gauge_pa + self.thermometer_pa * self.thermometer_pa
        return COVERAGE * math.sqrt(one * (1.0 + k * k))

    def uncertainty_pa(self) -> float:
        """Expanded uncertainty of the residual, from gauge, thermometer and scatter."""
        return COVERAGE * self.scatter * math.sqrt(self.of_gauge + self.of_thermometer)

    def budget(self) -> list[dict[str, object]]:
        """The parts of the uncertainty; their squares add up to its square."""
        known = self.of_gauge + self.of_thermometer
        beyond = known * (self.scatter * self.scatter - 1.0)
        parts = [("gauge", self.of_gauge), ("temperature", self.of_thermometer)]
        parts.append(("scatter", beyond))
        return [
            {"part": part, "uncertainty_pa": COVERAGE * math.sqrt(square)} for part, square in parts
        ]

    def leak_pa_m3_s(self) -> float:
        """Gas lost, as pressure times volume at 20 degrees C; negative for a gain.

        Formula     (V / M) (rho1 - rho2) / dt R 293.15 K                            [A]
        Returns     leak rate                                                        [Pa m3/s]
        Source A    mass balance with the ideal gas as unit of quantity (H)
        """
        end = self.circuit.content_kg_m3(self.end_pa, temperature_c=self.last.temperature_c)
        lost_kg = self.circuit.volume_m3 * (self.content_kg_m3 - end)
        return lost_kg * nitrogen.OWN_CONSTANT_J_KG_K * REFERENCE_K / self.held_s

    def _fit(self) -> None:
        """Least squares over the reduced pressures, each weighted by what is known of it.

        With two readings the line goes through both and the uncertainty is that of `band_pa`.
        """
        reduced = [self.reduced_pa(one) for one in self.readings]
        self.start_pa = self.end_pa = reduced[0]
        if len(reduced) == 1:
            self.of_gauge = 2.0 * self.gauge_pa * self.gauge_pa
            self.of_thermometer = 2.0 * self.thermometer_pa * self.thermometer_pa
            return
        gauges = [self._of_gauge(one) for one in self.readings]
        thermometers = [self._of_thermometer(one) for one in self.readings]
        weights = [1.0 / (one + other) for one, other in zip(gauges, thermometers)]
        times = [one.t_s - self.first.t_s for one in self.readings]
        middle_s = _mean(times, weights=weights)
        middle_pa = _mean(reduced, weights=weights)
        spread = _total([w * (t - middle_s) * (t - middle_s) for w, t in zip(weights, times)])
        # What each reading adds to the fall over the hold.
        shares = [w * (t - middle_s) / spread * self.held_s for w, t in zip(weights, times)]
        fall_pa = _total([share * (pa - middle_pa) for share, pa in zip(shares, reduced)])
        self.start_pa = middle_pa - fall_pa * middle_s / self.held_s
        self.end_pa = self.start_pa + fall_pa
        self.of_gauge = _total([share * share * one for share, one in zip(shares, gauges)])
        self.of_thermometer = _total([s * s * one for s, one in zip(shares, thermometers)])
        self._widen(reduced, weights=weights, times=times)

    def _widen(self, reduced: list[float], *, weights: list[float], times: list[float]) -> None:
        """Readings that scatter more than the instruments explain make the doubt larger.

        Formula     sqrt(sum w (p - line)^2 / (n - 2)), never below 1                [A]
        Source A    Birge ratio of a weighted least squares fit (H)
        """
        freedom = len(reduced) - 2
        if freedom < 1:
            return
        slope = self.residual_pa() / self.held_s
        misses = [pa - self.start_pa - slope * t for pa, t in zip(reduced, times)]
        square = _total([w * miss * miss for w, miss in zip(weights, misses)]) / freedom
        self.scatter = max(1.0, math.sqrt(square))

    def _of_gauge(self, reading: hold_readings.Reading) -> float:
        k = self.last.kelvin / reading.kelvin
        return k * k * self.gauge_pa * self.gauge_pa

    def _of_thermometer(self, reading: hold_readings.Reading) -> float:
        """Readings that share an error weigh together no more than one of them."""
        near_s = min(SAME_ERROR_S, self.held_s / 2.0)
        sharing = len([one for one in self.readings if abs(one.t_s - reading.t_s) < near_s])
        k = self.last.kelvin / reading.kelvin
        return k * k * self.thermometer_pa * self.thermometer_pa * sharing


def _total(values: list[float]) -> float:
    """One after the other: `sum` adds differently in newer versions of Python."""
    total = 0.0
    for value in values:
        total += value
    return total


def _mean(values: list[float], *, weights: list[float]) -> float:
    return _total([w * value for w, value in zip(weights, values)]) / _total(weights)
