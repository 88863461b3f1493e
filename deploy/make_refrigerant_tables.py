"""Writes server/flarenut/trade/refrigerant_tables.py from CoolProp.

A curve is a Chebyshev series through values of the library at the nodes of the series: the
logarithm of the saturation pressure over temperature, and the density of the saturated liquid
over the cube root of the distance to the critical point, which straightens the curve there.

    python deploy/make_refrigerant_tables.py            writes the file
    python deploy/make_refrigerant_tables.py --print    prints it, for the test that compares
"""

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import CoolProp
from CoolProp.CoolProp import QT_INPUTS, AbstractState, PyGuessesStructure, iDmolar

TABLES = Path(__file__).resolve().parents[1] / "server" / "flarenut" / "trade" / "refrigerant_tables.py"

LOW_C, HIGH_C = -60.0, 65.0
KELVIN = 273.15
NODES = 24  # More than coefficients, so that what is cut off does not fold back into them.
COEFFICIENTS = 10  # Errors of 0.0002 K and 0.0001 %: far inside what is asked for, and still small.
SAME = 1e-9  # Bubble and dew curves that differ less, in ln(Pa), are those of a pure fluid.
LIQUID, VAPOUR = 0, 1  # Vapour quality at the bubble point and at the dew point.


class Fluid(NamedTuple):
    """A refrigerant by its name here and in the library.

    The critical temperature only shapes the coordinate of the density.
    """

    name: str
    in_library: str
    critical_k: float


# R-410A and R-407C by their own equations for the blend; R-454B has none and is mixed from its parts.
FLUIDS = [
    Fluid("R-410A", in_library="R410A", critical_k=344.494),
    Fluid("R-32", in_library="R32", critical_k=351.255),
    Fluid("R-454B", in_library="R454B.mix", critical_k=351.43),
    Fluid("R-407C", in_library="R407C", critical_k=359.345),
    Fluid("R-134a", in_library="R134a", critical_k=374.212),
]

HEAD = '''"""Saturation of refrigerants, written by deploy/make_refrigerant_tables.py; never edit it by hand.

Source: CoolProp {version}, default equations of state, {low:g} to {high:g} deg C. Each row: name, temperature
of the density's coordinate [K], then Chebyshev coefficients of ln(bubble pressure / Pa), of
ln(dew pressure / Pa) (none: a pure fluid, the same as bubble), of the liquid's density [kg/m3].
"""

LOW_C = {low}
HIGH_C = {high}

# fmt: off
TABLES = [
'''


class Saturation(NamedTuple):
    """What the library says of one saturated state."""

    pressure_pa: float
    density_kg_m3: float


def saturations(fluid: Fluid, *, quality: int, kelvins: list[float]) -> list[Saturation]:
    """The saturated states at rising temperatures.

    For mixtures the library loses its way near the critical point unless each state is
    looked for beside the one before it.
    """
    state = AbstractState("HEOS", fluid.in_library)
    guesses: Any = None
    found = []
    for kelvin in kelvins:
        if guesses is None:
            state.update(QT_INPUTS, quality, kelvin)
        else:
            state.update_with_guesses(QT_INPUTS, quality, kelvin, guesses)
        guesses = _guesses(state) if fluid.in_library.endswith(".mix") else None
        found.append(Saturation(state.p(), state.rhomass()))
    return found


def _guesses(state: Any) -> Any:
    guesses = PyGuessesStructure()
    guesses.T = state.T()
    guesses.p = state.p()
    guesses.rhomolar_liq = state.saturated_liquid_keyed_output(iDmolar)
    guesses.rhomolar_vap = state.saturated_vapor_keyed_output(iDmolar)
    guesses.x = state.mole_fractions_liquid()
    guesses.y = state.mole_fractions_vapor()
    return guesses


def _nodes() -> list[float]:
    """The nodes from -1 to 1, rising."""
    return [-math.cos(math.pi * (at + 0.5) / NODES) for at in range(NODES)]


def _coefficients(values: list[float]) -> list[float]:
    """The Chebyshev series through values at the nodes, cut off."""
    found = []
    for order in range(COEFFICIENTS):
        products = [value * math.cos(order * math.acos(node)) for value, node in zip(values, _nodes(), strict=True)]
        found.append((1 if order == 0 else 2) / NODES * math.fsum(products))
    return found


def _pressure_curve(fluid: Fluid, *, quality: int) -> list[float]:
    low, high = LOW_C + KELVIN, HIGH_C + KELVIN
    kelvins = [(low + high) / 2 + (high - low) / 2 * node for node in _nodes()]
    states = saturations(fluid, quality=quality, kelvins=kelvins)
    return _coefficients([math.log(state.pressure_pa) for state in states])


def _density_curve(fluid: Fluid) -> list[float]:
    cold, warm = (_root(fluid, kelvin=celsius + KELVIN) for celsius in (LOW_C, HIGH_C))
    roots = [(cold + warm) / 2 + (warm - cold) / 2 * node for node in _nodes()]
    kelvins = [fluid.critical_k * (1 - root**3) for root in roots]
    states = saturations(fluid, quality=LIQUID, kelvins=kelvins)
    return _coefficients([state.density_kg_m3 for state in states])


def _root(fluid: Fluid, *, kelvin: float) -> float:
    return math.cbrt(1 - kelvin / fluid.critical_k)


def _row(fluid: Fluid) -> str:
    bubble = _pressure_curve(fluid, quality=LIQUID)
    dew = _pressure_curve(fluid, quality=VAPOUR)
    is_pure = max(abs(one - other) for one, other in zip(bubble, dew, strict=True)) < SAME
    curves = [
        _written(bubble, digits=9),
        "[]" if is_pure else _written(dew, digits=9),
        _written(_density_curve(fluid), digits=6),
    ]
    lines = [f'    "{fluid.name}", {fluid.critical_k},', *(f"     {curve}," for curve in curves)]
    return "    (" + "\n".join(lines).lstrip() + "\n    ),\n"


def _written(coefficients: list[float], *, digits: int) -> str:
    return "[" + ", ".join(f"{value:.{digits}f}" for value in coefficients) + "]"


def written() -> str:
    """The whole file."""
    if not CoolProp.__version__.startswith("8.0.0"):
        sys.exit(f"the tables come from CoolProp 8.0.0, this is {CoolProp.__version__}")
    head = HEAD.format(version=CoolProp.__version__, low=LOW_C, high=HIGH_C)
    return head + "".join(_row(fluid) for fluid in FLUIDS) + "]\n# fmt: on\n"


def main() -> None:
    """Write the file, or print it."""
    write: Callable[[str], Any] = sys.stdout.write if sys.argv[1:] == ["--print"] else TABLES.write_text
    write(written())


if __name__ == "__main__":
    main()
