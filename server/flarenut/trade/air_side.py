"""Capacity of a unit from the air before and after it."""

import math

from . import barometer, limits, moist_air, ranges, verdicts

NAME = "air_side"
WHAT = "Capacity of a unit on its air side, and how well that is known"

_COLDEST_C = -30.0  # Colder than air that such a unit draws or blows (P).
_HOTTEST_C = 60.0  # Hotter than air that such a unit draws or blows (P).
_LEAST_M3_S = 0.001  # Less than any unit moves (P).
_MOST_M3_S = 50.0  # More than any unit moves (P).
_USUAL_K = 0.25  # Standard uncertainty of a good probe, its wick kept wet (P).
_USUAL_PCT = 5.0  # Standard uncertainty of a flow hood or a traverse with care (P).

INPUTS = [
    ("return_db_c", "degC", True, "dry bulb before the unit, -30 to 60"),
    ("return_wb_c", "degC", True, "wet bulb before the unit, not above the dry bulb"),
    ("supply_db_c", "degC", True, "dry bulb after the unit, -30 to 60"),
    ("supply_wb_c", "degC", False, "wet bulb after the unit; may be absent when it heats"),
    ("flow_m3_s", "m3/s", True, "of air, 0.001 to 50"),
    ("flow_at", "", True, "where the flow was measured: supply or return"),
    ("barometer_pa", "Pa", False, "this or altitude_m, 50000 to 110000"),
    ("altitude_m", "m", False, "this or barometer_pa; then the standard atmosphere is taken"),
    ("temperature_uncertainty_k", "K", False, "standard, of dry bulbs; 0.25 when absent (P)"),
    ("wet_bulb_uncertainty_k", "K", False, "standard, of wet bulbs; that of dry bulbs when absent"),
    ("flow_uncertainty_pct", "%", False, "standard, of the flow; 5 when absent (P)"),
]
OUTPUTS = [
    ("total_w", "W", "heat taken from the air, negative when the unit heats"),
    ("sensible_w", "W", "the part that changes the temperature, signed likewise"),
    ("shr", "", "sensible_w by total_w; null when heating or when total_w is not above 0"),
    ("condensate_kg_s", "kg/s", "water taken from the air; 0 when it takes none"),
    ("uncertainty_w", "W", "standard uncertainty of total_w"),
    ("uncertainty_pct", "%", "of total_w; null when that is 0"),
    ("split_k", "K", "return minus supply, dry bulbs"),
    ("air_kg_s", "kg/s", "dry air"),
    ("barometer_pa", "Pa", "as given, or of the standard atmosphere at that altitude"),
    ("return_humidity_kg_kg", "kg/kg", "water by dry air before the unit"),
    ("supply_humidity_kg_kg", "kg/kg", "water by dry air after the unit"),
    ("reasons", "", "list of {code, values}"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


class _Air:
    """Both airs and the flow, dry bulbs first in `values`, then wet bulbs, then the flow."""

    def __init__(self, values: list[float], *, at: str, pressure_pa: float, heats: bool) -> None:
        return_c, supply_c, return_wb_c, supply_wb_c, flow_m3_s = values
        self.before = moist_air.humidity_kg_kg(
            return_c, wet_bulb_c=return_wb_c, barometer_pa=pressure_pa
        )
        self.after = self.before  # A coil that heats neither gives nor takes water.
        if not heats:
            self.after = moist_air.humidity_kg_kg(
                supply_c, wet_bulb_c=supply_wb_c, barometer_pa=pressure_pa
            )
        here_c, here = (supply_c, self.after) if at == "supply" else (return_c, self.before)
        self.kg_s = flow_m3_s / moist_air.volume_m3_kg(
            here_c, humidity=here, barometer_pa=pressure_pa
        )
        supply_j_kg = moist_air.enthalpy_j_kg(supply_c, humidity=self.after)
        self.total_w = self.kg_s * (
            moist_air.enthalpy_j_kg(return_c, humidity=self.before) - supply_j_kg
        )
        self.sensible_w = self.kg_s * (
            moist_air.enthalpy_j_kg(return_c, humidity=self.after) - supply_j_kg
        )


class _Measured:
    """What was read, and how well."""

    def __init__(self, data: dict[str, object]) -> None:
        self.at = ranges.choice(data, "flow_at", choices=["supply", "return"])
        self.pressure_pa = barometer.read(data)
        dry = [_read_bulb(data, "return_db_c"), _read_bulb(data, "supply_db_c")]
        self.split_k = dry[0] - dry[1]
        self.heats = self.split_k < 0.0
        wet = [self._read_wet_bulb(data, "return_wb_c", dry_bulb_c=dry[0]), 0.0]
        if not self.heats or data.get("supply_wb_c") is not None:
            wet[1] = self._read_wet_bulb(data, "supply_wb_c", dry_bulb_c=dry[1])
        self.is_below_freezing = min(wet) < 0.0
        flow_m3_s = ranges.number(data, "flow_m3_s", low=_LEAST_M3_S, high=_MOST_M3_S, unit="m3/s")
        self.values = dry + wet + [flow_m3_s]
        dry_k = _read_sensor(data, "temperature_uncertainty_k", default=_USUAL_K)
        wet_k = _read_sensor(data, "wet_bulb_uncertainty_k", default=dry_k)
        flow_pct = ranges.number_or(
            data, "flow_uncertainty_pct", default=_USUAL_PCT, low=0.0, high=100.0, unit="%"
        )
        self.steps = [dry_k, dry_k, wet_k, wet_k, flow_m3_s * flow_pct / 100.0]
        self.uncertainties: dict[str, object] = {
            "temperature_uncertainty_k": dry_k,
            "wet_bulb_uncertainty_k": wet_k,
            "flow_uncertainty_pct": flow_pct,
        }

    def air(self, values: list[float]) -> _Air:
        """The air of these values, be they as read or a little beside."""
        return _Air(values, at=self.at, pressure_pa=self.pressure_pa, heats=self.heats)

    def variances(self) -> list[float]:
        """What dry bulbs, wet bulbs and flow add to the variance of the total.

        Valid for   sensors that err independently of one another
        Formula     ((q(x + u) - q(x - u)) / 2)^2 for each                           [A]
        Returns     variances                                                        [W2]
        Source A    propagation of independent uncertainties after the GUM (S)
        """
        found = []
        for index, step in enumerate(self.steps):
            ends = []
            for end in (step, -step):
                beside = list(self.values)
                beside[index] += end
                ends.append(self.air(beside).total_w)
            found.append((ends[0] - ends[1]) * (ends[0] - ends[1]) / 4.0)
        return [found[0] + found[1], found[2] + found[3], found[4]]

    def _read_wet_bulb(self, data: dict[str, object], name: str, *, dry_bulb_c: float) -> float:
        wet_bulb_c = _read_bulb(data, name)
        if wet_bulb_c > dry_bulb_c:
            raise ranges.InputError(
                "contradictory",
                field=name,
                message=name + " is above its dry bulb",
                limits={"low": _COLDEST_C, "high": dry_bulb_c, "unit": "degC"},
            )
        humidity = moist_air.humidity_kg_kg(
            dry_bulb_c, wet_bulb_c=wet_bulb_c, barometer_pa=self.pressure_pa
        )
        if humidity < 0.0:
            raise ranges.contradictory(name, message=name + " is below that of dry air")
        return wet_bulb_c


def air_side(data: dict[str, object]) -> dict[str, object]:
    """Heat and water that a unit takes from the air; no verdict, as that takes the maker's table.

    Formula     Q / v (h1 - h2), v where Q was measured; sensible at the water after the unit [A]
    Inputs      return_, supply_         dry and wet bulbs                           [degC]
                flow_m3_s                Q                                           [m3/s]
                barometer_pa             of the air                                  [Pa]
    Returns     capacity; the heat that leaves with the water, 1 % at most, is left in [W]
    Source A    energy balance of the air (H); against PsychroLib 2.5.0 (L)
    """
    measured = _Measured(data)
    air = measured.air(measured.values)
    total_w = air.total_w
    variances = measured.variances()
    uncertainty_w = math.sqrt(variances[0] + variances[1] + variances[2])
    return {
        "total_w": total_w,
        "sensible_w": air.sensible_w,
        "shr": None if measured.heats or total_w <= 0.0 else air.sensible_w / total_w,
        "condensate_kg_s": max(0.0, air.kg_s * (air.before - air.after)),
        "uncertainty_w": uncertainty_w,
        "uncertainty_pct": 100.0 * uncertainty_w / abs(total_w) if total_w else None,
        "split_k": measured.split_k,
        "air_kg_s": air.kg_s,
        "barometer_pa": measured.pressure_pa,
        "return_humidity_kg_kg": air.before,
        "supply_humidity_kg_kg": air.after,
        "reasons": _about_uncertainty(data, measured=measured, variances=variances)
        + _about_air(measured, air=air, uncertainty_w=uncertainty_w)
        + barometer.about(data, pressure_pa=measured.pressure_pa),
        "cautions": ["caution.sanity_figure", "caution.moving_fan"],
    }


def _about_uncertainty(
    data: dict[str, object], *, measured: _Measured, variances: list[float]
) -> list[dict[str, object]]:
    found = [_common("air_split_not_judged", split_k=measured.split_k)]
    largest = max(variances)
    if largest > 0.0:
        codes = ["dry_bulb_decides", "wet_bulb_decides", "flow_decides"]
        found.append(
            verdicts.reason(
                codes[variances.index(largest)],
                contribution_w=math.sqrt(largest),
                share_pct=100.0 * largest / (variances[0] + variances[1] + variances[2]),
            )
        )
    taken = sorted([name for name in measured.uncertainties if data.get(name) is None])
    if taken:
        found.append(_common("usual_uncertainties", fields=taken, **measured.uncertainties))
    return found


def _about_air(measured: _Measured, *, air: _Air, uncertainty_w: float) -> list[dict[str, object]]:
    found = []
    if measured.heats:
        found.append(verdicts.reason("heating_sensible_only", split_k=measured.split_k))
    elif air.after >= air.before:
        found.append(
            verdicts.reason(
                "supply_no_drier",
                return_humidity_kg_kg=air.before,
                supply_humidity_kg_kg=air.after,
            )
        )
    if abs(air.total_w) < uncertainty_w:
        found.append(
            verdicts.reason(
                "result_below_uncertainty", total_w=air.total_w, uncertainty_w=uncertainty_w
            )
        )
    if measured.is_below_freezing:
        found.append(verdicts.reason("wet_bulb_below_freezing"))
    return found


def _common(code: str, **values: object) -> dict[str, object]:
    return verdicts.reason(code, source=limits.COMMON, mark=verdicts.COMMON_PRACTICE, **values)


def _read_bulb(data: dict[str, object], name: str) -> float:
    return ranges.number(data, name, low=_COLDEST_C, high=_HOTTEST_C, unit="degC")


def _read_sensor(data: dict[str, object], name: str, *, default: float) -> float:
    return ranges.number_or(data, name, default=default, low=0.0, high=10.0, unit="K")
