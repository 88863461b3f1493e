"""Refrigerant that the liquid lines take beyond what the outdoor module came with."""

from . import charge_lines, limits, ranges, refrigerants, verdicts

NAME = "extra_charge"
WHAT = "Additional refrigerant for the liquid lines, and how it stands to the maker's factors"

USUAL_LIQUID_C = 40.0  # Of the liquid line in cooling (P).
COLDEST_LIQUID_C = -20.0
HOTTEST_LIQUID_C = 60.0
# The trade's usual R-410A factors lie 12 to 22 % above liquid at 40 degrees C (H); a larger
# difference is more likely a wrong size, length or table than a habit of a maker (P).
EXPECTED_DIFFERENCE_PCT = 25.0

INPUTS = [
    ("refrigerant", "", True, "R-410A, R-32, R-454B, R-407C or R-134a"),
    ("liquid_c", "degC", False, "of the liquid, 40 when absent (P), -20 to 60"),
    ("lines", "", True, "liquid lines only, in order from the outdoor module, 1 to 500"),
    ("lines[].size", "", False, "a size of tube_sizes; beside a diameter any other name"),
    ("lines[].inner_diameter_m", "m", False, "instead of such a size, 0.001 to 0.2"),
    ("lines[].outer_diameter_m", "m", False, "with wall_m instead of inner_diameter_m"),
    ("lines[].wall_m", "m", False, "with outer_diameter_m; metric walls differ"),
    ("lines[].length_m", "m", True, "0 to 2000"),
    ("included_length_m", "m", False, "charged already, 0 when absent; off the first lines"),
    ("factors_kg_m", "kg/m", False, "{size: kg/m} of the maker, by 3/8 coil or just 3/8"),
]
OUTPUTS = [
    ("volume_m3", "m3", "inside the lines beyond the included length"),
    ("mass_kg", "kg", "that volume full of liquid"),
    ("liquid_density_kg_m3", "kg/m3", "of the saturated liquid at liquid_c"),
    ("charged_length_m", "m", "of the lines beyond the included length"),
    ("lines", "", "list of {size, inner_diameter_m, length_m, charged_length_m, kg_m, ...}"),
    ("lines[].charged_length_m", "m", "what of it lies beyond the included length"),
    ("lines[].volume_m3", "m3", "of that length"),
    ("lines[].mass_kg", "kg", "what this line adds"),
    ("lines[].mass_kg_m", "kg/m", "what a metre of it holds"),
    ("lines[].factor_kg_m", "kg/m", "of the maker; null when not given"),
    ("lines[].factor_mass_kg", "kg", "what this line adds by the maker; null when not given"),
    ("factor_mass_kg", "kg", "by the maker's factors; null when one is missing"),
    ("difference_kg", "kg", "mass_kg minus factor_mass_kg; null when a factor is missing"),
    ("difference_pct", "%", "difference of factor_mass_kg; null also when that is 0"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def extra_charge(data: dict[str, object]) -> dict[str, object]:
    """What the liquid lines take, line by line, against the maker's factors if given."""
    refrigerant = refrigerants.named(data)
    liquid_c = ranges.number_or(
        data,
        "liquid_c",
        default=USUAL_LIQUID_C,
        low=COLDEST_LIQUID_C,
        high=HOTTEST_LIQUID_C,
        unit="degC",
    )
    lines = charge_lines.read(data)
    about_included = _take_off_included(data, lines=lines)
    has_factors = charge_lines.read_factors(data, lines=lines)
    density = refrigerant.liquid_density_kg_m3(liquid_c)
    for line in lines:
        line.mass_kg_m = charge_lines.bore_m2(line.inner_diameter_m) * density
    volume_m3 = charge_lines.total([line.volume_m3() for line in lines])
    result, about_factors = _compared(lines, mass_kg=volume_m3 * density, has_factors=has_factors)
    first = verdicts.reason("liquid_lines_only", liquid_c=liquid_c, liquid_density_kg_m3=density)
    result["volume_m3"] = volume_m3
    result["mass_kg"] = volume_m3 * density
    result["liquid_density_kg_m3"] = density
    result["charged_length_m"] = charge_lines.total([line.charged_m for line in lines])
    result["lines"] = [line.described() for line in lines]
    about_included.insert(0, first)
    result["reasons"] = about_included + refrigerant.about() + about_factors
    result["cautions"] = _cautions(refrigerant)
    return result


def _take_off_included(
    data: dict[str, object], *, lines: list[charge_lines.Line]
) -> list[dict[str, object]]:
    """The included length comes off the lines in their order, from the outdoor module on.

    Which lines the works charge covers decides the mass where sizes differ, so it is told.
    """
    included_m = ranges.number_or(
        data, "included_length_m", default=0.0, low=0.0, high=charge_lines.LONGEST_M, unit="m"
    )
    if included_m == 0.0:
        return []
    taken_m = charge_lines.take_off(lines, included_m=included_m)
    is_nothing_left = all(line.charged_m == 0.0 for line in lines)
    code = "all_within_included" if is_nothing_left else "included_off_first_lines"
    return [verdicts.reason(code, included_length_m=included_m, taken_length_m=taken_m)]


def _compared(
    lines: list[charge_lines.Line], *, mass_kg: float, has_factors: bool
) -> tuple[dict[str, object], list[dict[str, object]]]:
    """The charge against that by the maker's factors, and why."""
    masses = [line.factor_mass_kg() for line in lines]
    known = [mass for mass in masses if mass is not None]
    nothing: dict[str, object] = {
        "factor_mass_kg": None,
        "difference_kg": None,
        "difference_pct": None,
    }
    if not has_factors:
        return nothing, [verdicts.reason("no_factors_given")]
    if len(known) < len(masses):
        at = [index for index, mass in enumerate(masses) if mass is None]
        sizes = [lines[index].size for index in at]
        return nothing, [verdicts.reason("factor_missing", sizes=sizes, lines=at)]
    factor_mass_kg = charge_lines.total(known)
    difference_kg = mass_kg - factor_mass_kg
    pct = None if factor_mass_kg == 0.0 else 100.0 * difference_kg / factor_mass_kg
    differences: dict[str, object] = {
        "factor_mass_kg": factor_mass_kg,
        "difference_kg": difference_kg,
        "difference_pct": pct,
    }
    return differences, _about_difference(pct, difference_kg=difference_kg)


def _about_difference(pct: float | None, *, difference_kg: float) -> list[dict[str, object]]:
    if pct is None:
        return []
    is_usual = abs(pct) <= EXPECTED_DIFFERENCE_PCT
    return [
        verdicts.reason(
            "factors_differ_as_usual" if is_usual else "factors_differ_too_much",
            difference_kg=difference_kg,
            difference_pct=pct,
            limit=EXPECTED_DIFFERENCE_PCT,
            unit="%",
            source=limits.COMMON,
            mark=verdicts.COMMON_PRACTICE,
        )
    ]


def _cautions(refrigerant: refrigerants.Refrigerant) -> list[str]:
    codes = ["caution.makers_charge_table", "caution.weigh_in", "caution.overcharge"]
    if refrigerant.is_blend:
        codes.append("caution.charge_as_liquid")
    if refrigerant.is_flammable:
        codes.append("caution.flammable_refrigerant")
    codes.append("caution.refrigerant_handling")
    return codes
