"""Saturation of a refrigerant: bubble and dew point, density of the liquid."""

from . import ranges, refrigerants, verdicts

NAME = "saturation"
WHAT = "Bubble and dew point of a refrigerant, and the density of its liquid"

NOTICEABLE_GLIDE_K = 0.5  # A smaller glide disappears in a clamp-on sensor's error (P).

INPUTS = [
    ("refrigerant", "", True, "R-410A, R-32, R-454B, R-407C or R-134a"),
    ("pressure_pa", "Pa", False, "absolute; this or temperature_c, within the tables' -60 to 65"),
    ("temperature_c", "degC", False, "this or pressure_pa, -60 to 65"),
]
OUTPUTS = [
    ("bubble_c", "degC", "where the liquid begins to boil; null when a temperature is given"),
    ("dew_c", "degC", "where the vapour begins to condense; null when a temperature is given"),
    ("glide_k", "K", "dew_c minus bubble_c; null when a temperature is given"),
    ("bubble_pa", "Pa", "absolute; null when a pressure is given"),
    ("dew_pa", "Pa", "absolute; null when a pressure is given"),
    ("liquid_density_kg_m3", "kg/m3", "of the liquid at its bubble point"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def saturation(data: dict[str, object]) -> dict[str, object]:
    """Bubble and dew temperature of a pressure, or pressures of a temperature."""
    refrigerant = refrigerants.named(data)
    only_one_of(data, "pressure_pa", other="temperature_c")
    if data.get("pressure_pa") is None:
        return _at_temperature(data, refrigerant=refrigerant)
    return _at_pressure(data, refrigerant=refrigerant)


def only_one_of(data: dict[str, object], name: str, *, other: str) -> None:
    """Two ways to say one thing: one must be used, and only one."""
    if data.get(name) is not None and data.get(other) is not None:
        raise ranges.contradictory(other, message="give " + name + " or " + other + ", not both")
    if data.get(name) is None and data.get(other) is None:
        raise ranges.InputError(
            "missing", field=name, message=name + " is missing; " + other + " will do as well"
        )


def about_glide(glide_k: float) -> list[dict[str, object]]:
    """A reason that tells of a glide that matters."""
    if glide_k < NOTICEABLE_GLIDE_K:
        return []
    return [verdicts.reason("blend_has_glide", glide_k=glide_k)]


def _at_pressure(
    data: dict[str, object], *, refrigerant: refrigerants.Refrigerant
) -> dict[str, object]:
    pressure_pa = ranges.number(
        data,
        "pressure_pa",
        low=refrigerant.lowest_pa(),
        high=refrigerant.highest_pa(),
        unit="Pa",
    )
    bubble_c = refrigerant.bubble_c(pressure_pa)
    dew_c = refrigerant.dew_c(pressure_pa)
    return {
        "bubble_c": bubble_c,
        "dew_c": dew_c,
        "glide_k": dew_c - bubble_c,
        "bubble_pa": None,
        "dew_pa": None,
        "liquid_density_kg_m3": refrigerant.liquid_density_kg_m3(bubble_c),
        "reasons": about_glide(dew_c - bubble_c) + refrigerant.about(),
        "cautions": [],
    }


def _at_temperature(
    data: dict[str, object], *, refrigerant: refrigerants.Refrigerant
) -> dict[str, object]:
    temperature_c = ranges.number(
        data, "temperature_c", low=refrigerants.LOW_C, high=refrigerants.HIGH_C, unit="degC"
    )
    return {
        "bubble_c": None,
        "dew_c": None,
        "glide_k": None,
        "bubble_pa": refrigerant.bubble_pa(temperature_c),
        "dew_pa": refrigerant.dew_pa(temperature_c),
        "liquid_density_kg_m3": refrigerant.liquid_density_kg_m3(temperature_c),
        "reasons": refrigerant.about(),
        "cautions": [],
    }
