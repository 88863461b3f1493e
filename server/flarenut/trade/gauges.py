"""Superheat and subcooling: what a gauge and a sensor on one line say together."""

from . import barometer, ranges, refrigerants, saturation, verdicts

SUPERHEAT = "superheat"
SUPERHEAT_WHAT = "Superheat of a vapour line, from the dew point at the local barometer"
SUBCOOLING = "subcooling"
SUBCOOLING_WHAT = "Subcooling of a liquid line, from the bubble point at the local barometer"

COLDEST_LINE_C = -80.0  # Colder than any line of this trade (P).
HOTTEST_LINE_C = 200.0  # Hotter than any discharge line of this trade (P).

GAUGE_INPUTS = [
    ("refrigerant", "", True, "R-410A, R-32, R-454B, R-407C or R-134a"),
    ("gauge_pa", "Pa", True, "above the barometer; its saturation within -60 to 65 degrees C"),
    ("barometer_pa", "Pa", False, "this or altitude_m, 50000 to 110000"),
    ("altitude_m", "m", False, "this or barometer_pa; then the standard atmosphere is taken"),
    ("line_c", "degC", True, "of the line at the gauge, -80 to 200"),
]
GAUGE_OUTPUTS = [
    ("saturation_c", "degC", "dew point for superheat, bubble point for subcooling"),
    ("pressure_pa", "Pa", "absolute: gauge plus barometer"),
    ("barometer_pa", "Pa", "as given, or of the standard atmosphere at that altitude"),
    ("glide_k", "K", "dew point minus bubble point at this pressure"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "codes of the cautions that go with the task"),
]
SUPERHEAT_INPUTS = GAUGE_INPUTS
SUPERHEAT_OWN_OUTPUTS = [("superheat_k", "K", "line minus dew point, signed")]
SUPERHEAT_OUTPUTS = SUPERHEAT_OWN_OUTPUTS + GAUGE_OUTPUTS
SUBCOOLING_INPUTS = GAUGE_INPUTS
SUBCOOLING_OWN_OUTPUTS = [("subcooling_k", "K", "bubble point minus line, signed")]
SUBCOOLING_OUTPUTS = SUBCOOLING_OWN_OUTPUTS + GAUGE_OUTPUTS


class _Gauge:
    """What a gauge and a sensor on one line say."""

    def __init__(self, data: dict[str, object]) -> None:
        self.refrigerant = refrigerants.named(data)
        self.barometer_pa = barometer.read(data)
        self.about_barometer = barometer.about(data, pressure_pa=self.barometer_pa)
        low = self.refrigerant.lowest_pa() - self.barometer_pa
        high = self.refrigerant.highest_pa() - self.barometer_pa
        gauge_pa = ranges.number(data, "gauge_pa", low=low, high=high, unit="Pa")
        self.line_c = ranges.number(
            data, "line_c", low=COLDEST_LINE_C, high=HOTTEST_LINE_C, unit="degC"
        )
        # Taking the barometer off and adding it again may leave the tables by the last digit.
        pressure_pa = max(gauge_pa + self.barometer_pa, self.refrigerant.lowest_pa())
        self.pressure_pa = min(pressure_pa, self.refrigerant.highest_pa())
        self.dew_c = self.refrigerant.dew_c(self.pressure_pa)
        self.bubble_c = self.refrigerant.bubble_c(self.pressure_pa)

    def described(self, *, saturation_c: float, first: dict[str, object]) -> dict[str, object]:
        """The outputs that superheat and subcooling have in common."""
        glide_k = self.dew_c - self.bubble_c
        reasons = [first]
        reasons.extend(self.about_barometer)
        reasons.extend(saturation.about_glide(glide_k))
        reasons.extend(self.refrigerant.about())
        return {
            "saturation_c": saturation_c,
            "pressure_pa": self.pressure_pa,
            "barometer_pa": self.barometer_pa,
            "glide_k": glide_k,
            "reasons": reasons,
            "cautions": _cautions(self.refrigerant),
        }


def superheat(data: dict[str, object]) -> dict[str, object]:
    """How much warmer a vapour line is than the dew point.

    Formula     line_c - dew_c(gauge_pa + barometer_pa)
    Inputs      line_c                   of the line at the gauge                    [degC]
                gauge_pa, barometer_pa   pressure above and of the air               [Pa]
    Returns     superheat, negative when the line reads colder than the dew point    [K]
    """
    gauge = _Gauge(data)
    superheat_k = gauge.line_c - gauge.dew_c
    code = "superheat_from_dew" if superheat_k > 0.0 else "no_superheat"
    first = verdicts.reason(code, superheat_k=superheat_k, saturation_c=gauge.dew_c)
    result = gauge.described(saturation_c=gauge.dew_c, first=first)
    result["superheat_k"] = superheat_k
    return result


def subcooling(data: dict[str, object]) -> dict[str, object]:
    """How much colder a liquid line is than the bubble point.

    Formula     bubble_c(gauge_pa + barometer_pa) - line_c
    Inputs      line_c                   of the line at the gauge                    [degC]
                gauge_pa, barometer_pa   pressure above and of the air               [Pa]
    Returns     subcooling, negative when the line reads warmer than the bubble point [K]
    """
    gauge = _Gauge(data)
    subcooling_k = gauge.bubble_c - gauge.line_c
    code = "subcooling_from_bubble" if subcooling_k > 0.0 else "no_subcooling"
    first = verdicts.reason(code, subcooling_k=subcooling_k, saturation_c=gauge.bubble_c)
    result = gauge.described(saturation_c=gauge.bubble_c, first=first)
    result["subcooling_k"] = subcooling_k
    return result


def _cautions(refrigerant: refrigerants.Refrigerant) -> list[str]:
    codes = ["caution.sanity_figure", "caution.refrigerant_handling"]
    if refrigerant.is_flammable:
        codes.append("caution.flammable_refrigerant")
    return codes
