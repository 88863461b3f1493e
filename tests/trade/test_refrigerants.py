"""The curves of the refrigerants, against the library that they were made from."""

import functools
import importlib.util
import math
import re
from types import ModuleType
from typing import Any, NamedTuple

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import assume, given
from hypothesis import strategies as st

from flarenut.trade import refrigerant_tables, refrigerants
from tests.trade.checks import Check
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import ROOT, SOURCES, on_the_phone, packed, result_of

KELVIN = 273.15
# Every tenth of a degree over the whole range of the tables.
GRID_C = [refrigerants.LOW_C + step / 10 for step in range(round((refrigerants.HIGH_C - refrigerants.LOW_C) * 10) + 1)]
ALLOWED_K = 0.05
ALLOWED_PCT = 0.1
SOURCE = "CoolProp 8.0.0"

NUMBER = r"-?\d+\.\d+"
names = st.sampled_from(refrigerants.NAMES)
celsius = st.floats(refrigerants.LOW_C, refrigerants.HIGH_C)


class Error(NamedTuple):
    """The farthest that the curves of one refrigerant are from the library."""

    bubble_k: float
    dew_k: float
    density_pct: float


@functools.cache
def maker() -> ModuleType:
    """The script that writes the tables."""
    path = ROOT / "deploy" / "make_refrigerant_tables.py"
    spec = importlib.util.spec_from_file_location("make_refrigerant_tables", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@functools.cache
def worst(name: str) -> Error:
    """Over the dense grid, in both directions of the curves."""
    fluid = next(one for one in maker().FLUIDS if one.name == name)
    kelvins = [at_c + KELVIN for at_c in GRID_C]
    liquid = maker().saturations(fluid, quality=maker().LIQUID, kelvins=kelvins)
    vapour = maker().saturations(fluid, quality=maker().VAPOUR, kelvins=kelvins)
    here = refrigerants.named({"refrigerant": name})
    rows = list(zip(GRID_C, liquid, vapour, strict=True))
    return Error(
        bubble_k=max(abs(here.bubble_c(at.pressure_pa) - at_c) for at_c, at, _ in rows),
        dew_k=max(abs(here.dew_c(at.pressure_pa) - at_c) for at_c, _, at in rows),
        density_pct=max(100 * abs(here.liquid_density_kg_m3(at_c) / at.density_kg_m3 - 1) for at_c, at, _ in rows),
    )


def library_checks() -> list[Check]:
    """Each curve of each refrigerant over the whole range."""
    return [check for name in refrigerants.NAMES for check in checks_of(name)]


def checks_of(name: str) -> list[Check]:
    found = worst(name)
    return [
        _check(f"{name} bubble point, -60 to 65 degC", found.bubble_k, unit="K", allowed=ALLOWED_K),
        _check(f"{name} dew point, -60 to 65 degC", found.dew_k, unit="K", allowed=ALLOWED_K),
        _check(f"{name} liquid density, -60 to 65 degC", found.density_pct, unit="%", allowed=ALLOWED_PCT),
    ]


def _check(what: str, error: float, *, unit: str, allowed: float) -> Check:
    return Check("saturation", what, len(GRID_C), error, unit, allowed, SOURCE, "L")


@pytest.mark.parametrize("name", refrigerants.NAMES)
@pytest.mark.parametrize("curve", ["bubble point", "dew point", "liquid density"])
def test_a_curve_stays_with_the_library_over_its_whole_range(name: str, curve: str) -> None:
    [check] = [one for one in checks_of(name) if curve in one.what]

    assert check.cases == 1251
    assert check.holds(), check


@pytest.mark.parametrize("fluid", maker().FLUIDS, ids=lambda fluid: fluid.name)
def test_the_library_says_the_same_when_asked_for_one_state_alone(fluid: Any) -> None:
    # Between 55 and 65 degrees the library finds no state of the mixture without a neighbour's help.
    grid = GRID_C[: 1251 if fluid.in_library != "R454B.mix" else 1151 : 50]
    for quality in (maker().LIQUID, maker().VAPOUR):
        beside = maker().saturations(fluid, quality=quality, kelvins=[at_c + KELVIN for at_c in grid])

        alone = [PropsSI("P", "T", at_c + KELVIN, "Q", quality, "HEOS::" + fluid.in_library) for at_c in grid]

        assert [state.pressure_pa for state in beside] == pytest.approx(alone, rel=1e-7)


def test_the_table_in_the_engine_is_the_one_that_the_script_writes() -> None:
    again = maker().written()
    shipped = (SOURCES / "refrigerant_tables.py").read_text()

    # Another processor may round the last digit of a coefficient differently.
    assert re.sub(NUMBER, "0", again) == re.sub(NUMBER, "0", shipped)
    assert [float(text) for text in re.findall(NUMBER, again)] == pytest.approx(
        [float(text) for text in re.findall(NUMBER, shipped)], rel=0, abs=2e-6
    )
    assert "never edit it by hand" in shipped
    assert "CoolProp 8.0.0" in shipped


def test_the_tables_take_at_most_12_kb_on_the_phone() -> None:
    assert (packed() / "refrigerant_tables.py").stat().st_size <= 12 * 1024


def test_the_range_reaches_from_minus_40_to_60_degrees() -> None:
    assert refrigerant_tables.LOW_C <= -40
    assert refrigerant_tables.HIGH_C >= 60
    assert refrigerants.NAMES == ["R-410A", "R-32", "R-454B", "R-407C", "R-134a"]


@RANDOM
@given(names, celsius, st.floats(0.001, 20))
def test_warmer_means_a_higher_pressure_and_a_lighter_liquid(name: str, at_c: float, warmer_k: float) -> None:
    cold = result_of("saturation", {"refrigerant": name, "temperature_c": at_c})
    warm_c = min(at_c + warmer_k, refrigerants.HIGH_C)
    assume(warm_c - at_c > 0.0005)
    warm = result_of("saturation", {"refrigerant": name, "temperature_c": warm_c})

    assert warm["bubble_pa"] > cold["bubble_pa"]
    assert warm["dew_pa"] > cold["dew_pa"]
    assert warm["liquid_density_kg_m3"] < cold["liquid_density_kg_m3"]


@RANDOM
@given(names, celsius)
def test_the_temperature_of_a_pressure_leads_back_to_it(name: str, at_c: float) -> None:
    refrigerant = refrigerants.named({"refrigerant": name})

    assert refrigerant.bubble_c(refrigerant.bubble_pa(at_c)) == pytest.approx(at_c, abs=1e-9)
    assert refrigerant.dew_c(refrigerant.dew_pa(at_c)) == pytest.approx(at_c, abs=1e-9)


@RANDOM
@given(names, celsius)
def test_a_liquid_boils_at_no_lower_pressure_than_its_vapour_condenses(name: str, at_c: float) -> None:
    result = result_of("saturation", {"refrigerant": name, "temperature_c": at_c})

    assert result["bubble_pa"] >= result["dew_pa"]


@pytest.mark.parametrize("name", refrigerants.NAMES)
def test_the_phone_finds_the_same_digits_over_the_whole_range(name: str) -> None:
    refrigerant = refrigerants.named({"refrigerant": name})
    low, high = math.log(refrigerant.lowest_pa()), math.log(refrigerant.highest_pa())
    pressures = [
        refrigerant.lowest_pa(),
        *(math.exp(low + (high - low) * step / 40) for step in range(1, 40)),
        refrigerant.highest_pa(),
    ]
    calls: list[tuple[str, Any]] = [("saturation", {"refrigerant": name, "pressure_pa": at}) for at in pressures]

    phone = [answer["result"] for answer in on_the_phone(calls)]

    assert phone == [result_of(calculation, data) for calculation, data in calls]
