"""The barometer that belongs to an altitude."""

from . import same_digits

SEA_LEVEL_PA = 101325.0  # US Standard Atmosphere 1976 (S).
SEA_LEVEL_K = 288.15  # US Standard Atmosphere 1976 (S).
LAPSE_K_M = 0.0065  # US Standard Atmosphere 1976, to 11 km (S).
EARTH_M = 6356766.0  # Radius of the earth in US Standard Atmosphere 1976 (S).
# g0 M / (R* L) with 9.80665 m/s2, 0.0289644 kg/mol and 8.31432 J/(mol K) of that publication (S).
EXPONENT = 9.80665 * 0.0289644 / (8.31432 * LAPSE_K_M)


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
