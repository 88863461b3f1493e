"""The readings of a pressure hold, and the circuit that holds the gas."""

from . import nitrogen, ranges

SEA_LEVEL_PA = 101325.0  # Assumed where no barometer was read: US Standard Atmosphere 1976 (S).
HIGHEST_GAUGE_PA = 4.5e6  # Above the test pressure of any circuit of this trade (P).
LOWEST_BAROMETER_PA = 50000.0  # About 5,500 m, above any site of this trade (P).
HIGHEST_BAROMETER_PA = 110000.0  # Above the highest ever measured at sea level (M).
LATEST_S = 1e10  # Seconds since 1970 fit, milliseconds do not.
NEXT_S = 1.0  # Nobody reads a gauge twice in a second (P).
MOST_READINGS = 500  # One a quarter of an hour for five days (P).

# Linear, of pure copper at 20 degrees C (S, a published table of materials). By the certified
# values of NIST StRD Hahn1 it is 16.6e-6 there, and 16.1e-6 to 17.0e-6 over -20 to 60 (S).
COPPER_1_K = 16.5e-6


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


class Circuit:
    """The copper around the gas; its volume is that at the first reading."""

    def __init__(self, data: dict[str, object], *, first_c: float) -> None:
        self.volume_m3 = ranges.number(data, "volume_m3", low=0.0001, high=100.0, unit="m3")
        self.first_c = first_c
        self.grows = ranges.yes(data, "copper_growth")

    def growth(self, temperature_c: float) -> float:
        """Volume over that at the first reading.

        Valid for   -20 to 60 degrees C. Pressure is left out: copper tube grows by at most 2e-10
                    for each Pa (H), which a drop of 200 kPa makes less than the gauge can show
        Formula     1 + 3 a (T - T1)                                                 [A]
        Inputs      temperature_c            T, of the tube                          [degC]
        Returns     growth, 1 where the copper is not counted                        [-]
        Source A    a body that grows alike in three directions (H)
        """
        if not self.grows:
            return 1.0
        return 1.0 + 3.0 * COPPER_1_K * (temperature_c - self.first_c)

    def moved_pa(self, pressure_pa: float, *, from_c: float, to_c: float) -> float:
        """Absolute pressure of the same gas at another temperature.

        Valid for   dry nitrogen, -20 to 60 degrees C, up to 4.6 MPa; no gas lost
        Formula     rho(P1, T1) V(T1) = rho(P2, T2) V(T2), solved for P2             [A]
        Inputs      pressure_pa              P1                                      [Pa]
                    from_c, to_c             T1, T2                                  [degC]
        Returns     pressure                                                         [Pa]
        Source A    conservation of mass (H)
        """
        density = nitrogen.density_kg_m3(pressure_pa, temperature_c=from_c)
        density = density * self.growth(from_c) / self.growth(to_c)
        return nitrogen.pressure_pa(density, temperature_c=to_c)


def read(data: dict[str, object]) -> list[Reading]:
    """The readings, in the order of time."""
    rows = ranges.records(data, "readings")
    if len(rows) < 1 or len(rows) > MOST_READINGS:
        raise ranges.out_of_range("readings", low=1, high=MOST_READINGS, unit="readings")
    readings: list[Reading] = []
    for index, row in enumerate(rows):
        where = ranges.place("readings", index=index) + "."
        readings.append(_read_one(row, like=rows[0], where=where))
        if index > 0 and readings[index].t_s < readings[index - 1].t_s + NEXT_S:
            message = "each reading must be at least 1 s later than the one before"
            raise ranges.contradictory(where + "t_s", message=message)
    return readings


def has_barometer(row: dict[str, object]) -> bool:
    """Whether the air was measured with a reading."""
    return row.get("barometer_pa") is not None


def _read_one(row: dict[str, object], *, like: dict[str, object], where: str) -> Reading:
    if has_barometer(row) and not has_barometer(like):
        message = "a barometer goes with every reading or with none"
        raise ranges.contradictory(where + "barometer_pa", message=message)
    barometer_pa = SEA_LEVEL_PA
    if has_barometer(like):
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
