"""The readings of a pressure hold, and what each says of the gas in the circuit."""

from . import limits, nitrogen, ranges

SEA_LEVEL_PA = 101325.0  # Assumed where no barometer was read: US Standard Atmosphere 1976 (S).
HIGHEST_GAUGE_PA = 4.5e6  # Above the test pressure of any circuit of this trade (P).
LOWEST_BAROMETER_PA = 50000.0  # About 5,500 m, above any site of this trade (P).
HIGHEST_BAROMETER_PA = 110000.0  # Above the highest ever measured at sea level (M).
LATEST_S = 1e10  # Seconds since 1970 fit, milliseconds do not.
MOST_READINGS = 500  # More than one a quarter of an hour for five days (P).
SETTLING_S = 600.0  # Gas and pipe come to one temperature after filling (P).

# Of pure copper at 20 degrees C (S, amesweb.info); NIST StRD Hahn1, certified values, 16.61 at
# 20 degrees C and 16.1 to 17.0 over -20 to 60 (S).
COPPER_1_K = 16.5e-6
COPPER_SOURCE = "pure copper at 20 degrees C"


class Reading:
    """One look at gauge, thermometer and barometer."""

    def __init__(
        self, t_s: float, *, gauge_pa: float, temperature_c: float, barometer_pa: float
    ) -> None:
        self.t_s = t_s
        self.gauge_pa = gauge_pa
        self.temperature_c = temperature_c
        self.barometer_pa = barometer_pa
        self.pressure_pa = gauge_pa + barometer_pa
        self.kelvin = temperature_c + nitrogen.KELVIN
        self.is_used = True


class Circuit:
    """The copper around the gas; its volume is that at the first reading."""

    def __init__(self, volume_m3: float, *, first_c: float, copper_1_k: float) -> None:
        self.volume_m3 = volume_m3
        self.first_c = first_c
        self.copper_1_k = copper_1_k

    def growth(self, temperature_c: float) -> float:
        """Volume over that at the first reading.

        Valid for   -20 to 60 degrees C; for drops of less than 200 kPa, whose effect on the
                    volume of copper tube (at most 2e-10 for each Pa, H) is left out
        Formula     1 + 3 a (T - T1)                                                 [A]
        Inputs      temperature_c            T, of the tube                          [degC]
        Returns     growth, 1 where the copper is not counted                        [-]
        Source A    a body that grows alike in three directions (H)
        """
        return 1.0 + 3.0 * self.copper_1_k * (temperature_c - self.first_c)

    def content_kg_m3(self, pressure_pa: float, *, temperature_c: float) -> float:
        """Mass of gas by volume at the first reading: constant while the circuit is tight."""
        density = nitrogen.density_kg_m3(pressure_pa, temperature_c=temperature_c)
        return density * self.growth(temperature_c)

    def pressure_pa(self, content_kg_m3: float, *, temperature_c: float) -> float:
        """Absolute pressure of that mass at a temperature."""
        density = content_kg_m3 / self.growth(temperature_c)
        return nitrogen.pressure_pa(density, temperature_c=temperature_c)

    def moved_pa(self, reading: Reading, *, temperature_c: float) -> float:
        """Absolute pressure that a reading would have shown at another temperature."""
        content = self.content_kg_m3(reading.pressure_pa, temperature_c=reading.temperature_c)
        return self.pressure_pa(content, temperature_c=temperature_c)


class Instruments:
    """What gauge, thermometer and barometer can tell apart."""

    def __init__(self, data: dict[str, object]) -> None:
        self.resolution_pa = ranges.number(
            data, "gauge_resolution_pa", low=0.0, high=100000.0, unit="Pa"
        )
        self.temperature_k = ranges.number(
            data, "temperature_uncertainty_k", low=0.0, high=10.0, unit="K"
        )
        self.barometer_pa = ranges.number_or(
            data, "barometer_uncertainty_pa", default=0.0, low=0.0, high=5000.0, unit="Pa"
        )
        if self.resolution_pa == 0.0 and self.temperature_k == 0.0:
            raise ranges.contradictory(
                "gauge_resolution_pa", message="gauge and thermometer cannot both be perfect"
            )


def read(data: dict[str, object]) -> list[Reading]:
    """The readings, in the order of time; early ones are marked as not used."""
    rows = ranges.records(data, "readings")
    if not rows:
        raise ranges.missing("readings[0]")
    if len(rows) > MOST_READINGS:
        raise ranges.out_of_range("readings", low=1, high=MOST_READINGS, unit="readings")
    readings: list[Reading] = []
    for index, row in enumerate(rows):
        where = ranges.place("readings", index=index) + "."
        readings.append(_read_one(row, has_barometer=_has_barometer(rows[0]), where=where))
        if index > 0 and readings[index].t_s <= readings[index - 1].t_s:
            message = "each reading must be later than the one before"
            raise ranges.contradictory(where + "t_s", message=message)
    return readings


def circuit(data: dict[str, object], *, first_c: float) -> Circuit:
    """The circuit with its volume, its copper counted or not."""
    volume_m3 = ranges.number(data, "volume_m3", low=0.0001, high=100.0, unit="m3")
    counted = data.get("copper_growth")
    if counted is not None and not isinstance(counted, bool):
        raise ranges.not_a_choice("copper_growth", choices=["true", "false"])
    return Circuit(volume_m3, first_c=first_c, copper_1_k=COPPER_1_K if counted else 0.0)


def filled_s(data: dict[str, object], *, first_s: float) -> float | None:
    """When filling ended, on the clock of the readings; None where nobody said."""
    if data.get("filled_t_s") is None:
        return None
    return ranges.number(data, "filled_t_s", low=-LATEST_S, high=first_s, unit="s")


def leave_out_early(readings: list[Reading], *, filled_s: float | None) -> int:
    """Marks readings made while the gas was settling, where two later ones are there."""
    if filled_s is None:
        return 0
    early = [one for one in readings if one.t_s - filled_s < SETTLING_S]
    if len(readings) - len(early) < 2:  # noqa: PLR2004 -- a line needs two points.
        return 0
    for one in early:
        one.is_used = False
    return len(early)


def settling() -> limits.Limit:
    """How long after filling a reading begins to count."""
    return limits.usual(SETTLING_S, unit="s")


def _has_barometer(row: dict[str, object]) -> bool:
    return row.get("barometer_pa") is not None


def _read_one(row: dict[str, object], *, has_barometer: bool, where: str) -> Reading:
    if _has_barometer(row) and not has_barometer:
        message = "a barometer goes with every reading or with none"
        raise ranges.contradictory(where + "barometer_pa", message=message)
    barometer_pa = SEA_LEVEL_PA
    if has_barometer:
        barometer_pa = ranges.number(
            row,
            "barometer_pa",
            low=LOWEST_BAROMETER_PA,
            high=HIGHEST_BAROMETER_PA,
            unit="Pa",
            where=where,
        )
    return Reading(
        ranges.number(row, "t_s", low=-LATEST_S, high=LATEST_S, unit="s", where=where),
        gauge_pa=ranges.number(
            row, "gauge_pa", low=0.0, high=HIGHEST_GAUGE_PA, unit="Pa", where=where
        ),
        temperature_c=ranges.number(
            row,
            "temperature_c",
            low=nitrogen.LOW_C,
            high=nitrogen.HIGH_C,
            unit="degC",
            where=where,
        ),
        barometer_pa=barometer_pa,
    )
