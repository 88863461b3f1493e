"""Nitrogen as a real gas: pressure and density at a temperature, and the energy stored in it."""

from . import nitrogen_table, same_digits

KELVIN = 273.15
LOW_C = nitrogen_table.LOW_C
HIGH_C = nitrogen_table.HIGH_C
GAS_CONSTANT_J_MOL_K = nitrogen_table.GAS_CONSTANT_J_MOL_K
MOLAR_MASS_KG_MOL = nitrogen_table.MOLAR_MASS_KG_MOL
OWN_CONSTANT_J_KG_K = GAS_CONSTANT_J_MOL_K / MOLAR_MASS_KG_MOL
HEAT_RATIO = 1.4  # Of the heat capacities of a gas of two atoms, by theory (H).
# Each step leaves a fiftieth of the error: ten reach the last digit. Always all of them, so that
# both runtimes do the same.
STEPS = 12


def pressure_pa(density_kg_m3: float, *, temperature_c: float) -> float:
    """Absolute pressure of nitrogen.

    Valid for   -20 to 60 degrees C, up to 64 kg/m3 (4.6 MPa at -20 degrees C)
    Formula     rho R T (1 + rho B), B a Chebyshev series of rho and of 1 / T        [A]
    Inputs      density_kg_m3            rho                                         [kg/m3]
                temperature_c            T                                           [degC]
    Returns     pressure, within 1 Pa of the source                                  [Pa]
    Source A    CoolProp 8.0.0 (L), nitrogen_table.py
    """
    ideal_pa = density_kg_m3 * OWN_CONSTANT_J_KG_K * (temperature_c + KELVIN)
    return ideal_pa * _factor(density_kg_m3, series=_series_at(temperature_c))


def density_kg_m3(pressure_pa: float, *, temperature_c: float) -> float:
    """Density of nitrogen: the inverse of `pressure_pa`, by p / (R T) over the real-gas factor."""
    ideal_kg_m3 = pressure_pa / (OWN_CONSTANT_J_KG_K * (temperature_c + KELVIN))
    series = _series_at(temperature_c)
    density = ideal_kg_m3
    for _ in range(STEPS):
        density = ideal_kg_m3 / _factor(density, series=series)
    return density


def stored_energy_j(pressure_pa: float, *, volume_m3: float, barometer_pa: float) -> float:
    """Work that the gas can do when the circuit bursts.

    Valid for   a burst too quick for heat to flow; 0 at the barometer or below
    Formula     p V / (g - 1) * (1 - (p0 / p)^((g - 1) / g)), g = 1.4                [A]
    Inputs      pressure_pa              p, absolute                                 [Pa]
                volume_m3                V                                           [m3]
                barometer_pa             p0                                          [Pa]
    Returns     energy                                                               [J]
    Source A    isentropic expansion of an ideal gas (H)
    """
    if pressure_pa <= barometer_pa:
        return 0.0
    exponent = (HEAT_RATIO - 1.0) / HEAT_RATIO
    left = same_digits.power(barometer_pa / pressure_pa, exponent=exponent)
    return pressure_pa * volume_m3 / (HEAT_RATIO - 1.0) * (1.0 - left)


def _series_at(temperature_c: float) -> list[float]:
    """The series of the density at one temperature."""
    cold = 1.0 / (LOW_C + KELVIN)
    warm = 1.0 / (HIGH_C + KELVIN)
    x = (2.0 / (temperature_c + KELVIN) - cold - warm) / (warm - cold)
    return [_chebyshev(row, x=x) for row in nitrogen_table.BEYOND_IDEAL]


def _factor(density: float, *, series: list[float]) -> float:
    """Real over ideal pressure."""
    x = 2.0 * density / nitrogen_table.HIGHEST_KG_M3 - 1.0
    return 1.0 + density * _chebyshev(series, x=x)


def _chebyshev(curve: list[float], *, x: float) -> float:
    """A Chebyshev series at x, from its highest order down."""
    later = 0.0
    last = 0.0
    for index in range(len(curve) - 1, 0, -1):
        last, later = curve[index] + 2.0 * x * last - later, last
    return curve[0] + x * last - later
