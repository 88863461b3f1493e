"""The nitrogen of the engine against that of the library, on a dense grid."""

import functools
import importlib.util
from pathlib import Path
from types import ModuleType

import pytest
from CoolProp.CoolProp import PT_INPUTS, AbstractState, DmassT_INPUTS
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import nitrogen
from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import ROOT, SOURCES

KELVIN = 273.15
SEA_LEVEL_PA = 101325
# Every 50 kPa from 0 to 4.5 MPa(g), every 5 K from -20 to 60 degrees C, at both ends of a hold.
GAUGES_PA = range(0, 4_500_001, 50_000)
TEMPERATURES_C = range(-20, 61, 5)
ALLOWED_PA = 350


@functools.cache
def maker() -> ModuleType:
    """The script that writes the table."""
    path: Path = ROOT / "deploy" / "make_nitrogen.py"
    spec = importlib.util.spec_from_file_location("make_nitrogen", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@functools.cache
def worst_error_pa() -> tuple[int, float]:
    """Cases, and the largest error of an expected pressure whose both ends are on the grid."""
    state = AbstractState("HEOS", "Nitrogen")
    cases, worst = 0, 0.0
    for gauge_pa in GAUGES_PA:
        for first_c in TEMPERATURES_C:
            pressure_pa = gauge_pa + SEA_LEVEL_PA
            state.update(PT_INPUTS, pressure_pa, first_c + KELVIN)
            library = state.rhomass()
            ours = nitrogen.density_kg_m3(pressure_pa, temperature_c=first_c)
            for last_c in TEMPERATURES_C:
                state.update(DmassT_INPUTS, library, last_c + KELVIN)
                error_pa = abs(nitrogen.pressure_pa(ours, temperature_c=last_c) - state.p())
                cases, worst = cases + 1, max(worst, error_pa)
    return cases, worst


def library_checks() -> list[Check]:
    """All pairs of temperatures at every pressure."""
    cases, worst = worst_error_pa()
    what = "expected pressure, 0 to 4.5 MPa(g), -20 to 60 degC"
    return [Check("pressure_hold", what, cases, worst, "Pa", ALLOWED_PA, "CoolProp 8.0.0", "L")]


def test_the_expected_pressure_stays_with_the_library_between_any_two_temperatures() -> None:
    (check,) = library_checks()

    assert check.cases == 91 * 17 * 17
    assert check.holds()
    assert check.worst_error < 1, "far inside what is allowed, so that published checks come out to the last digit"


def test_the_table_is_what_the_script_writes() -> None:
    assert (SOURCES / "nitrogen_table.py").read_text() == maker().written()


@RANDOM
@given(st.floats(50_000, 4_610_000), st.floats(-20, 60))
def test_density_and_pressure_are_inverse(pressure_pa: float, temperature_c: float) -> None:
    density = nitrogen.density_kg_m3(pressure_pa, temperature_c=temperature_c)

    assert nitrogen.pressure_pa(density, temperature_c=temperature_c) == pytest.approx(pressure_pa, rel=1e-14)


@RANDOM
@given(st.floats(0.5, 62), st.floats(-20, 59), st.floats(0.001, 1))
def test_warmer_and_denser_gas_presses_harder(density: float, temperature_c: float, more: float) -> None:
    pressure_pa = nitrogen.pressure_pa(density, temperature_c=temperature_c)

    assert nitrogen.pressure_pa(density, temperature_c=temperature_c + more) > pressure_pa
    assert nitrogen.pressure_pa(density + more, temperature_c=temperature_c) > pressure_pa


def test_gas_at_the_pressure_of_the_air_stores_nothing_and_more_gas_stores_more() -> None:
    stored = [
        nitrogen.stored_energy_j(pressure_pa, volume_m3=0.06, barometer_pa=SEA_LEVEL_PA)
        for pressure_pa in (SEA_LEVEL_PA, 1_000_000, 4_000_000)
    ]

    assert stored[0] == 0
    assert stored == sorted(stored)
