"""Pressure holds for tests: readings of a circuit of 60 L, and what the library says of its gas."""

from typing import Any

from CoolProp.CoolProp import PropsSI

from flarenut.trade import units

PSI = units.PSI_PA
SEA_LEVEL_PA = 101325
KELVIN = 273.15
HOUR_S = 3600
RESOLUTION_PA = 700
THERMOMETER_K = 0.2
VOLUME_M3 = 0.06


def reading(hours: float, gauge_pa: float, temperature_c: float = 20, **more: Any) -> dict[str, Any]:
    return {
        "t_s": hours * HOUR_S,
        "gauge_pa": gauge_pa,
        "temperature_c": temperature_c,
        "barometer_pa": SEA_LEVEL_PA,
        **more,
    }


def a_hold(*readings: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {
        "readings": list(readings),
        "volume_m3": VOLUME_M3,
        "gauge_resolution_pa": RESOLUTION_PA,
        "temperature_uncertainty_k": THERMOMETER_K,
        "leak_to_exclude_pa_m3_s": 0.01,
        **more,
    }


def library_gauge_pa(gauge_pa: float, *, from_c: float, to_c: float, kept: float = 1) -> float:
    """By the library: that gas at another temperature, a share of it kept."""
    density = PropsSI("D", "P", gauge_pa + SEA_LEVEL_PA, "T", from_c + KELVIN, "Nitrogen")
    return float(PropsSI("P", "D", density * kept, "T", to_c + KELVIN, "Nitrogen")) - SEA_LEVEL_PA


def a_tight_day(*looks: tuple[float, float], **more: Any) -> list[dict[str, Any]]:
    """Hours and temperatures of one tight circuit, filled to 550 psig at 21 degrees C."""
    return [reading(h, library_gauge_pa(550 * PSI, from_c=21, to_c=celsius), celsius, **more) for h, celsius in looks]


def codes_of(result: dict[str, Any]) -> list[str]:
    return [reason["code"] for reason in result["reasons"]]
