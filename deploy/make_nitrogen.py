"""Writes server/flarenut/trade/nitrogen_table.py from CoolProp.

What nitrogen has beyond the ideal gas, (p / (rho R T) - 1) / rho, is nearly flat over density and
temperature. It is written as a Chebyshev series of the density and of one over the temperature,
through values of the library at the nodes of the series.

    python deploy/make_nitrogen.py            writes the file
    python deploy/make_nitrogen.py --print    prints it, for the test that compares
"""

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import CoolProp
from CoolProp.CoolProp import AbstractState, DmassT_INPUTS

TABLE = Path(__file__).resolve().parents[1] / "server" / "flarenut" / "trade" / "nitrogen_table.py"

LOW_C, HIGH_C = -20.0, 60.0
KELVIN = 273.15
# 4.5 MPa and a high barometer at -20 deg C come to 62.6 kg/m3; growth of the copper is in the rest.
HIGHEST_KG_M3 = 64.0
NODES = 16  # More than coefficients, so that what is cut off does not fold back into them.
OF_DENSITY, OF_TEMPERATURE = 4, 5  # Errors below 1 Pa; one less of either makes several Pa.

HEAD = '''"""Nitrogen beyond the ideal gas, written by deploy/make_nitrogen.py; never edit it by hand.

Source: CoolProp {version}, {low:g} to {high:g} deg C, up to {densest:g} kg/m3. A row for each order of the
density's Chebyshev series [m3/kg]; in it the coefficients of that of one over the temperature.
"""

LOW_C = {low}
HIGH_C = {high}
HIGHEST_KG_M3 = {densest}
GAS_CONSTANT_J_MOL_K = {gas_constant}
MOLAR_MASS_KG_MOL = {molar_mass}

BEYOND_IDEAL = [
'''


def beyond_ideal(state: Any, *, density_kg_m3: float, kelvin: float) -> float:
    """What the library's nitrogen has beyond the ideal gas, for each kg/m3."""
    state.update(DmassT_INPUTS, density_kg_m3, kelvin)
    ideal_pa = density_kg_m3 * state.gas_constant() / state.molar_mass() * kelvin
    return float((state.p() / ideal_pa - 1) / density_kg_m3)


def _nodes() -> list[float]:
    return [math.cos(math.pi * (at + 0.5) / NODES) for at in range(NODES)]


def _weights(order: int) -> list[float]:
    """What each node adds to the coefficient of an order."""
    share = (1 if order == 0 else 2) / NODES
    return [share * math.cos(order * math.acos(node)) for node in _nodes()]


def _values() -> list[list[float]]:
    """At the nodes: a row for each density, in it a value for each temperature."""
    state = AbstractState("HEOS", "Nitrogen")
    cold, warm = 1 / (LOW_C + KELVIN), 1 / (HIGH_C + KELVIN)
    densities = [HIGHEST_KG_M3 / 2 * (1 + node) for node in _nodes()]
    kelvins = [2 / (cold + warm + (warm - cold) * node) for node in _nodes()]
    return [[beyond_ideal(state, density_kg_m3=density, kelvin=kelvin) for kelvin in kelvins] for density in densities]


def _coefficients() -> list[list[float]]:
    values = _values()
    return [
        [
            math.fsum(
                one * other * values[row][column]
                for row, one in enumerate(_weights(of_density))
                for column, other in enumerate(_weights(of_temperature))
            )
            for of_temperature in range(OF_TEMPERATURE)
        ]
        for of_density in range(OF_DENSITY)
    ]


def written() -> str:
    """The whole file."""
    if not CoolProp.__version__.startswith("8.0.0"):
        sys.exit(f"the table comes from CoolProp 8.0.0, this is {CoolProp.__version__}")
    state = AbstractState("HEOS", "Nitrogen")
    head = HEAD.format(
        version=CoolProp.__version__,
        low=LOW_C,
        high=HIGH_C,
        densest=HIGHEST_KG_M3,
        gas_constant=state.gas_constant(),
        molar_mass=state.molar_mass(),
    )
    rows = ["    [" + ", ".join(f"{value:.6e}" for value in row) + "],\n" for row in _coefficients()]
    return head + "".join(rows) + "]\n"


def main() -> None:
    """Write the file, or print it."""
    write: Callable[[str], Any] = sys.stdout.write if sys.argv[1:] == ["--print"] else TABLE.write_text
    write(written())


if __name__ == "__main__":
    main()
