"""The barometer that belongs to an altitude."""

from . import ranges, same_digits, saturation, verdicts

NAME = "barometer"
WHAT = "Pressure of the air at an altitude, by the standard atmosphere"

SEA_LEVEL_PA = 101325.0  # US Standard Atmosphere 1976 (S).
SEA_LEVEL_K = 288.15  # US Standard Atmosphere 1976 (S).
LAPSE_K_M = 0.0065  # US Standard Atmosphere 1976, to 11 km (S).
EARTH_M = 6356766.0  # Radius of the earth in US Standard Atmosphere 1976 (S).
# g0 M / (R* L) with 9.80665 m/s2, 0.0289644 kg/mol and 8.31432 J/(mol K) of that publication (S).
EXPONENT = 9.80665 * 0.0289644 / (8.31432 * LAPSE_K_M)

_LOWEST_PA = 50000.0  # About 5,500 m, above any site of this trade (P).
_HIGHEST_PA = 110000.0  # Above the highest ever measured at sea level (M).
_LOWEST_M = -500.0  # Below the lowest dry land (M).
_HIGHEST_M = 5500.0  # Where the standard atmosphere comes to the lowest barometer above.

INPUTS = [("altitude_m", "m", True, "above sea level, -500 to 5500")]
OUTPUTS = [
    ("barometer_pa", "Pa", "of the standard atmosphere; weather moves it by a few per cent"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "none"),
]


def barometer(data: dict[str, object]) -> dict[str, object]:
    """Pressure of the standard atmosphere at an altitude."""
    pressure_pa = _at_altitude(data)
    return {
        "barometer_pa": pressure_pa,
        "reasons": about(data, pressure_pa=pressure_pa),
        "cautions": [],
    }


def read(data: dict[str, object]) -> float:
    """The pressure of the air: as read on a barometer, or that of the altitude."""
    saturation.only_one_of(data, "barometer_pa", other="altitude_m")
    if data.get("barometer_pa") is None:
        return _at_altitude(data)
    return ranges.number(data, "barometer_pa", low=_LOWEST_PA, high=_HIGHEST_PA, unit="Pa")


def about(data: dict[str, object], *, pressure_pa: float) -> list[dict[str, object]]:
    """A reason that tells when the barometer was not read."""
    altitude_m = data.get("altitude_m")
    if altitude_m is None:
        return []
    return [
        verdicts.reason("barometer_from_altitude", altitude_m=altitude_m, barometer_pa=pressure_pa)
    ]


def barometer_pa(altitude_m: float) -> float:
    """Pressure of the air at an altitude.

    Valid for   the lowest layer, up to 11,000 m
    Formula     101325 (1 - 0.0065 h / 288.15)^5.25588, h = r z / (r + z)            [A]
    Inputs      altitude_m               z, above sea level                          [m]
    Returns     pressure                                                             [Pa]
    Source A    US Standard Atmosphere 1976 (S)
    """
    height_m = EARTH_M * altitude_m / (EARTH_M + altitude_m)
    return SEA_LEVEL_PA * same_digits.power(
        1.0 - LAPSE_K_M * height_m / SEA_LEVEL_K, exponent=EXPONENT
    )


def _at_altitude(data: dict[str, object]) -> float:
    return barometer_pa(ranges.number(data, "altitude_m", low=_LOWEST_M, high=_HIGHEST_M, unit="m"))
