"""Pressure at which water boils off and ice turns to vapour: the most that moisture can reach."""

import math

from . import same_digits

KELVIN = 273.15
TRIPLE_K = 273.16  # Above it water, below it ice; IAPWS R14-08 (S, as in iapws 1.5.5).
TRIPLE_PA = 611.657  # Below it, 4,588 micron, water cannot stay liquid; IAPWS R14-08 (S).
# Factors of IAPWS-IF97, region 4, equation 30 (S, as in iapws 1.5.5).
OVER_WATER = [
    1167.0521452767,
    -724213.16703206,
    -17.073846940092,
    12020.82470247,
    -3232555.0322333,
    14.91510861353,
    -4823.2657361591,
    405113.40542057,
    -0.23855557567849,
    650.17534844798,
]
# Powers of T / TRIPLE_K and their factors, of IAPWS R14-08 (S, as in iapws 1.5.5).
OVER_ICE = [
    (0.00333333333, -21.2144006),
    (1.20666667, 27.3203819),
    (1.70333333, -6.1059813),
]


def saturation_pa(temperature_c: float) -> float:
    """Vapour pressure over water, and over ice below 0.01 degrees C.

    Valid for   -50 to 100 degrees C
    Formula     (2 C / (sqrt(B^2 - 4 A C) - B))^4 MPa over water, with A, B and C
                quadratic in T + n9 / (T - n10)                                      [A]
                ln(p / pt) = Tt / T sum a (T / Tt)^b over ice                        [B]
    Inputs      temperature_c            T, of the coldest wet spot                  [degC]
    Returns     pressure                                                             [Pa]
    Source A    IAPWS R7-97, W. Wagner and others 2000
    Source B    IAPWS R14-08, W. Wagner and others 2011
    """
    kelvin = temperature_c + KELVIN
    if kelvin < TRIPLE_K:
        return TRIPLE_PA * same_digits.exp(_ice_series(kelvin / TRIPLE_K) * TRIPLE_K / kelvin)
    n = OVER_WATER
    x = kelvin + n[8] / (kelvin - n[9])
    a = x * x + n[0] * x + n[1]
    b = n[2] * x * x + n[3] * x + n[4]
    c = n[5] * x * x + n[6] * x + n[7]
    root = 2.0 * c / (math.sqrt(b * b - 4.0 * a * c) - b)
    return 1000000.0 * root * root * root * root


def _ice_series(ratio: float) -> float:
    """`log` gives both runtimes the same digits, `pow` does not."""
    logarithm = math.log(ratio)
    total = 0.0
    for power, factor in OVER_ICE:
        total += factor * same_digits.exp(power * logarithm)
    return total
