"""Units of the trade in SI. The engine computes in SI; people and tests read in these."""

from . import ranges

# NIST SP 811, 2008 edition (M): the inch, the foot and the avoirdupois pound of 1959 and the
# standard acceleration are exact, and so is all that follows from them.
INCH_M = 0.0254
FOOT_M = 0.3048
POUND_KG = 0.45359237
OUNCE_KG = POUND_KG / 16.0
GRAVITY_M_S2 = 9.80665
CUBIC_FOOT_M3 = FOOT_M * FOOT_M * FOOT_M
PSI_PA = POUND_KG * GRAVITY_M_S2 / (INCH_M * INCH_M)
ATMOSPHERE_PA = 101325.0
# A thousandth of a torr, 101325 / 760 Pa exactly. The column of mercury by its conventional
# density, 133.322387 Pa, differs by 1 part in 7 million.
MICRON_PA = ATMOSPHERE_PA / 760.0 / 1000.0
INCH_OF_MERCURY_PA = 3386.389  # At 0 degrees C; not exact.
# International table; that of one hour, 1055.05585262 J, is exact.
BTU_PER_HOUR_W = 1055.05585262 / 3600.0
TON_OF_REFRIGERATION_W = 12000.0 * BTU_PER_HOUR_W

FAHRENHEIT_AT_0_C = 32.0
FAHRENHEIT_PER_K = 1.8

# Unit, unit in SI (degrees Celsius for temperatures), factor; SI value = (value - zero) * factor.
UNITS = [
    ("psi", "Pa", PSI_PA),
    ("kPa", "Pa", 1000.0),
    ("bar", "Pa", 100000.0),
    ("micron", "Pa", MICRON_PA),
    ("inHg", "Pa", INCH_OF_MERCURY_PA),
    ("degF", "degC", 1.0 / FAHRENHEIT_PER_K),
    ("degF difference", "K", 1.0 / FAHRENHEIT_PER_K),
    ("in", "m", INCH_M),
    ("ft", "m", FOOT_M),
    ("mm", "m", 0.001),
    ("ft3", "m3", CUBIC_FOOT_M3),
    ("L", "m3", 0.001),
    ("lb", "kg", POUND_KG),
    ("oz", "kg", OUNCE_KG),
    ("oz/ft", "kg/m", OUNCE_KG / FOOT_M),
    ("lb/1000 ft3", "kg/m3", POUND_KG / (1000.0 * CUBIC_FOOT_M3)),
    ("cfm", "m3/s", CUBIC_FOOT_M3 / 60.0),
    ("Btu/h", "W", BTU_PER_HOUR_W),
    ("ton", "W", TON_OF_REFRIGERATION_W),
    ("min", "s", 60.0),
    ("h", "s", 3600.0),
]


def to_si(value: float, *, unit: str) -> float:
    """A value in a unit of the trade, in SI; a temperature in degrees Celsius."""
    return (value - _zero(unit)) * _factor(unit)


def from_si(value: float, *, unit: str) -> float:
    """A value in SI, in a unit of the trade."""
    return value / _factor(unit) + _zero(unit)


def si_of(unit: str) -> str:
    """The SI unit that a unit of the trade becomes."""
    return _row(unit)[1]


def _factor(unit: str) -> float:
    return _row(unit)[2]


def _zero(unit: str) -> float:
    return FAHRENHEIT_AT_0_C if unit == "degF" else 0.0


def _row(unit: str) -> tuple[str, str, float]:
    for row in UNITS:
        if row[0] == unit:
            return row
    raise ranges.not_a_choice("unit", choices=[row[0] for row in UNITS])
