"""Moist air: water, heat and volume for each kilogram of dry air."""

import math

from . import same_digits

KELVIN = 273.15
TRIPLE_C = 0.01
# Constants of ln p in T: -1st to highest power, and ln T last; ASHRAE Fundamentals 2017, chapter 1,
# equations 5 and 6 (L, as in PsychroLib 2.5.0).
OVER_ICE = [
    -5674.5359,
    6.3925247,
    -9.677843e-3,
    6.2215701e-7,
    2.0747825e-9,
    -9.484024e-13,
    4.1635019,
]
OVER_WATER = [-5800.2206, 1.3914993, -4.8640239e-2, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673]
DRY_AIR_J_KG_K = 287.042  # Gas constant of dry air, ASHRAE Fundamentals 2017 (L, PsychroLib).


def saturation_pa(temperature_c: float) -> float:
    """Vapour pressure over water, over ice below 0.01 degrees, as the handbook of moist air has it.

    Valid for   -60 to 100
    Formula     ln p = c0 / T + c1 + c2 T + c3 T^2 + c4 T^3 + c5 T^4 + c6 ln T       [A]
    Inputs      temperature_c            T (in K)                                    [degC]
    Returns     pressure                                                             [Pa]
    Source A    ASHRAE Fundamentals 2017, chapter 1, equations 5 and 6; within 0.03 % of IAPWS
                (water.py), which the vacuum uses: here the handbook's heat and water belong to it
    """
    kelvin = temperature_c + KELVIN
    constants = OVER_ICE if temperature_c < TRIPLE_C else OVER_WATER
    total = constants[6] * math.log(kelvin)
    power = 1.0 / kelvin
    for constant in constants[:6]:
        total += constant * power
        power *= kelvin
    return same_digits.exp(total)


def humidity_kg_kg(dry_bulb_c: float, *, wet_bulb_c: float, barometer_pa: float) -> float:
    """Water in the air by its wet bulb; negative where no air has so low a wet bulb.

    Valid for   a wet bulb of -60 to 70; below 0 over ice, from there on over water
    Formula     ((2501 - 2.326 t*) ws - 1.006 (t - t*)) / (2501 + 1.86 t - 4.186 t*),
                ws = 0.621945 p / (b - p); over ice with 2830, 0.24 and 2.1          [A]
    Inputs      dry_bulb_c, wet_bulb_c   t and t*                                    [degC]
                barometer_pa             b, of the air                               [Pa]
    Returns     water by dry air                                                     [kg/kg]
    Source A    ASHRAE Fundamentals 2017, chapter 1, equations 20, 33 and 35; against
                PsychroLib 2.5.0 (L)
    """
    vapour_pa = saturation_pa(wet_bulb_c)
    saturated = 0.621945 * vapour_pa / (barometer_pa - vapour_pa)
    heat, less, liquid = (2501.0, 2.326, 4.186) if wet_bulb_c >= 0.0 else (2830.0, 0.24, 2.1)
    taken_up = 1.006 * (dry_bulb_c - wet_bulb_c)
    return ((heat - less * wet_bulb_c) * saturated - taken_up) / (
        heat + 1.86 * dry_bulb_c - liquid * wet_bulb_c
    )


def enthalpy_j_kg(dry_bulb_c: float, *, humidity: float) -> float:
    """Heat in the air, from dry air and liquid water at 0 degrees.

    Formula     1000 (1.006 t + w (2501 + 1.86 t))                                   [A]
    Inputs      dry_bulb_c, humidity     t and w                                     [degC, kg/kg]
    Returns     enthalpy by dry air                                                  [J/kg]
    Source A    ASHRAE Fundamentals 2017, chapter 1, equation 30; against PsychroLib 2.5.0 (L)
    """
    return 1000.0 * (1.006 * dry_bulb_c + humidity * (2501.0 + 1.86 * dry_bulb_c))


def volume_m3_kg(dry_bulb_c: float, *, humidity: float, barometer_pa: float) -> float:
    """Room that a kilogram of dry air takes, with the water in it.

    Formula     287.042 T (1 + 1.607858 w) / b                                       [A]
    Inputs      dry_bulb_c, humidity     T (in K) and w                              [degC, kg/kg]
                barometer_pa             b, of the air                               [Pa]
    Returns     volume by dry air                                                    [m3/kg]
    Source A    ASHRAE Fundamentals 2017, chapter 1, equation 26; against PsychroLib 2.5.0 (L)
    """
    return DRY_AIR_J_KG_K * (dry_bulb_c + KELVIN) * (1.0 + 1.607858 * humidity) / barometer_pa
