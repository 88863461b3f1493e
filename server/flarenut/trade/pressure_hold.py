"""A pressure hold with nitrogen: what temperature explains of its fall, and what is a leak."""

from . import (
    hold_counted,
    hold_doubts,
    hold_jump,
    hold_line,
    hold_readings,
    limits,
    nitrogen,
    ranges,
    verdicts,
)
from .hold_doubts import Doubt
from .hold_line import Line
from .hold_readings import Reading

NAME = "pressure_hold"
WHAT = "Pressure hold with dry nitrogen: expected pressure, uncertainty, leak, verdict"

# 24 h before insulation, after a soap stage at 10 psig and steps of a tenth above 100 psig (S).
USUAL_HOLD = limits.Limit(86400.0, unit="s", source="UFGS 15652A", mark=verdicts.READ_IN_SOURCE)
# 550 psig, the last stage of this class (P); the nameplate decides.
USUAL_GAUGE = limits.usual(3792116.5, unit="Pa")

CAUTIONS = [
    "caution.stored_energy",
    "caution.never_tighten_under_pressure",
    "caution.no_oxygen_or_air",
    "caution.regulator_with_relief",
    "caution.nitrogen_displaces_air",
    "caution.venting_refrigerant",
]

INPUTS = [
    ("readings[].t_s", "s", True, "from any start, each 1 s later or more; 1 to 500"),
    ("readings[].gauge_pa", "Pa", True, "above the barometer, 0 to 4.5e6"),
    ("readings[].temperature_c", "degC", True, "of the pipe, -20 to 60"),
    ("readings[].barometer_pa", "Pa", False, "with all readings or none (101325), 50000 to 110000"),
    ("volume_m3", "m3", True, "of the circuit, 0.0001 to 100"),
    ("gauge_resolution_pa", "Pa", True, "smallest step of the gauge, 0 to 100000"),
    ("temperature_uncertainty_k", "K", True, "one standard uncertainty, 0 to 10"),
    ("leak_to_exclude_pa_m3_s", "Pa m3/s", True, "1e-9 to 10"),
    ("copper_growth", "", False, "true: the volume grows with temperature; false when absent"),
    ("filled_t_s", "s", False, "end of filling, on the clock of the readings"),
]
OUTPUTS = [
    ("expected_gauge_pa", "Pa", "at the last reading, had nothing been lost"),
    ("expected_ideal_gauge_pa", "Pa", "the same by the ideal gas, to compare"),
    ("residual_pa", "Pa", "fall of the line through all readings; null with one reading"),
    ("uncertainty_pa", "Pa", "of the residual, expanded, k = 2"),
    ("budget[].part", "", "gauge, temperature, scatter"),
    ("budget[].uncertainty_pa", "Pa", "expanded; squares add up to that of uncertainty_pa"),
    ("critical_drop_pa", "Pa", "drop that the leak to exclude would have made"),
    ("leak_pa_m3_s", "Pa m3/s", "gas lost, at 20 degrees C; null with one reading"),
    ("smallest_leak_seen_pa_m3_s", "Pa m3/s", "that this hold could show; null with one reading"),
    ("held_s", "s", "from the first to the last reading that counts"),
    ("hold_needed_s", "s", "hold that could exclude the leak, U V / Q"),
    ("hold_left_s", "s", "until a reading could settle it; null where time will not"),
    ("stored_energy_j", "J", "work the gas could do in a burst"),
    ("curve[].t_s", "s", "as given"),
    ("curve[].expected_gauge_pa", "Pa", "had nothing been lost"),
    ("curve[].band_pa", "Pa", "on either side of expected: one reading against the first"),
    ("curve[].measured_gauge_pa", "Pa", "as given"),
    ("curve[].reduced_gauge_pa", "Pa", "at temperature and barometer of the last reading"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]

PASSES = "hold_proves_tight"
FAILS = "hold_lost_gas"
BEGUN = "hold_just_begun"
TOO_LITTLE = "hold_proves_too_little"
DISAGREE = "hold_readings_disagree"
AT_ONCE = "hold_lost_at_once"
GAINED = "hold_gained_gas"
REMAINS = "doubt_remains"
OUTWEIGHS = "doubt_outweighs"

VERDICTS = {PASSES: verdicts.PASS, FAILS: verdicts.FAIL, AT_ONCE: verdicts.FAIL}
LONGER = "next.hold_longer"
# Beyond so many times what gauge and thermometer explain one reading is rather a slip, such as
# another unit, and no time that follows from such readings means anything (P).
SLIP_SCATTER = 10.0
NEXT = {
    FAILS: ["next.find_the_leak", "next.hold_again_after_repair"],
    AT_ONCE: ["next.find_the_leak", "next.hold_again_after_repair"],
    BEGUN: [LONGER],
    TOO_LITTLE: [LONGER],
    GAINED: ["next.look_for_gas_coming_in"],
}


def pressure_hold(data: dict[str, object]) -> dict[str, object]:
    """Verdict on a pressure hold, from all its readings."""
    readings = hold_readings.read(data)
    circuit = hold_readings.Circuit(data, first_c=readings[0].temperature_c)
    whole = hold_line.line_through(readings, circuit=circuit, data=data)
    leak = ranges.number(data, "leak_to_exclude_pa_m3_s", low=1e-9, high=10.0, unit="Pa m3/s")
    filled_t_s = hold_doubts.filled_at(data, first_s=whole.first.t_s)
    line, doubts = _without_doubt(whole, filled_t_s=filled_t_s)
    code = _code(line, leak_to_exclude=leak, doubts=doubts)
    if code == TOO_LITTLE and line.scatter > SLIP_SCATTER:
        code = _off_the_line(line, doubts=doubts)
    figures = _figures(line, leak_to_exclude=leak)
    figures["hold_left_s"] = _left_s(code, line=line, leak_to_exclude=leak, doubts=doubts)
    result = _shown(line, readings=readings)
    result.update(figures)
    figures["leak_to_exclude_pa_m3_s"] = leak
    figures["doubt_pa"] = hold_doubts.explained_pa(doubts)
    figures["scatter"] = line.scatter
    figures["lost_pa"] = hold_jump.lost_pa(line)
    reasons: list[dict[str, object]] = [{"code": code, "values": figures}]
    reasons.extend([one.reason for one in doubts])
    if len(line.readings) < len(readings):
        reasons.append(_left_out(line, readings=readings))
    result["verdict"] = VERDICTS.get(code, verdicts.UNCLEAR)
    result["reasons"] = reasons + _said(data, line=line, code=code, first=readings[0])
    result["next"] = _next(code, line=line, doubts=doubts)
    result["cautions"] = list(CAUTIONS)
    return result


def judged(
    residual_pa: float, *, uncertainty_pa: float, critical_drop_pa: float, doubts: list[Doubt]
) -> str:
    """What a residual says: the code of the verdict's reason.

    Valid for   two readings or more
    Formula     fail if e < -U; pass if |e| <= U and U - e <= dP; else unclear. Doubts keep a pass
                unclear, and a fail where they explain the drop.
    Inputs      residual_pa              e, measured minus expected                  [Pa]
                uncertainty_pa           U                                           [Pa]
                critical_drop_pa         dP, of the leak to exclude                  [Pa]
    Returns     code
    """
    if residual_pa > uncertainty_pa:
        return GAINED
    if residual_pa < -uncertainty_pa - hold_doubts.explained_pa(doubts):
        return FAILS
    if residual_pa < -uncertainty_pa:
        return OUTWEIGHS
    if uncertainty_pa - residual_pa > critical_drop_pa:
        return TOO_LITTLE
    return REMAINS if doubts else PASSES


def _without_doubt(whole: Line, *, filled_t_s: float | None) -> tuple[Line, list[Doubt]]:
    """Through readings that leave no doubt, if there are any; else through all, with the doubts."""
    begun_s = whole.first.t_s
    found = hold_doubts.doubts(whole, begun_s=begun_s, filled_t_s=filled_t_s)
    rest = hold_counted.without_doubt(whole, filled_t_s=filled_t_s) if found else None
    if rest is None:
        return whole, found
    return rest, hold_doubts.doubts(rest, begun_s=begun_s, filled_t_s=filled_t_s)


def _left_out(line: Line, *, readings: list[Reading]) -> dict[str, object]:
    count = len(readings) - len(line.readings)
    return verdicts.reason("readings_left_out", count=count, of=len(readings))


def _code(line: Line, *, leak_to_exclude: float, doubts: list[Doubt]) -> str:
    if line.held_s == 0.0:
        return BEGUN
    return judged(
        line.fall_pa(),
        uncertainty_pa=line.uncertainty_pa(),
        critical_drop_pa=leak_to_exclude * line.held_s / line.circuit.volume_m3,
        doubts=doubts,
    )


def _off_the_line(line: Line, *, doubts: list[Doubt]) -> str:
    """A burst is no straight line: its own scatter would hide it, and be told as no loss."""
    doubt_pa = hold_doubts.explained_pa(doubts)
    is_sure = hold_jump.lost_pa(line) > line.band_pa(line.last) + doubt_pa
    return AT_ONCE if is_sure else DISAGREE


def _figures(line: Line, *, leak_to_exclude: float) -> dict[str, object]:
    """The numbers that a verdict rests on; with one reading nothing has fallen yet."""
    volume_m3 = line.circuit.volume_m3
    uncertainty_pa = line.uncertainty_pa()
    has_fall = line.held_s > 0.0
    return {
        "residual_pa": line.fall_pa() if has_fall else None,
        "uncertainty_pa": uncertainty_pa,
        "critical_drop_pa": leak_to_exclude * line.held_s / volume_m3,
        "leak_pa_m3_s": line.leak_pa_m3_s() if has_fall else None,
        "smallest_leak_seen_pa_m3_s": (
            uncertainty_pa * volume_m3 / line.held_s if has_fall else None
        ),
        "held_s": line.held_s,
        "hold_needed_s": uncertainty_pa * volume_m3 / leak_to_exclude,
    }


def _left_s(code: str, *, line: Line, leak_to_exclude: float, doubts: list[Doubt]) -> float | None:
    """Until a reading could settle it, if the pressure does as it did so far."""
    if code in (FAILS, AT_ONCE, GAINED) or line.scatter > SLIP_SCATTER:
        return None
    for one in doubts:
        if one.anew_s is not None and one.anew_s > 0.0:
            return one.anew_s
        if one.anew_s is not None:
            return line.band_pa(line.last) * line.circuit.volume_m3 / leak_to_exclude
    if code == OUTWEIGHS:
        return None
    missing_pa = line.uncertainty_pa() + max(0.0, -line.fall_pa())
    needed_s = missing_pa * line.circuit.volume_m3 / leak_to_exclude
    return max(0.0, max(needed_s, hold_doubts.SETTLING_S) - line.held_s)


def _shown(line: Line, *, readings: list[Reading]) -> dict[str, object]:
    """What a screen draws and compares."""
    last = line.last
    grown = line.circuit.growth(last.temperature_c) / line.circuit.growth(line.first.temperature_c)
    ideal_pa = line.expected_pa(line.first) * last.kelvin / line.first.kelvin
    highest = line.first
    for one in readings:
        if one.gauge_pa > highest.gauge_pa:
            highest = one
    return {
        "expected_gauge_pa": line.start_pa - last.barometer_pa,
        "expected_ideal_gauge_pa": ideal_pa / grown - last.barometer_pa,
        "budget": line.budget(),
        "stored_energy_j": nitrogen.stored_energy_j(
            highest.pressure_pa,
            volume_m3=line.circuit.volume_m3,
            barometer_pa=highest.barometer_pa,
        ),
        "curve": [
            {
                "t_s": one.t_s,
                "expected_gauge_pa": line.expected_pa(one) - one.barometer_pa,
                "band_pa": line.band_pa(one),
                "measured_gauge_pa": one.gauge_pa,
                "reduced_gauge_pa": line.reduced_pa(one) - last.barometer_pa,
            }
            for one in readings
        ],
    }


def _said(
    data: dict[str, object], *, line: Line, code: str, first: Reading
) -> list[dict[str, object]]:
    """What a reader must know and what is usual; none of it decides."""
    found = []
    if not hold_readings.has_barometer(ranges.records(data, "readings")[0]):
        assumed_pa = hold_readings.SEA_LEVEL_PA
        found.append(verdicts.reason("barometer_not_measured", barometer_pa=assumed_pa))
    if line.scatter > 1.0 and code not in (DISAGREE, AT_ONCE):
        how = "readings_disagree" if line.scatter > SLIP_SCATTER else "readings_scatter"
        found.append(verdicts.reason(how, scatter=line.scatter))
    if line.circuit.grows:
        growth_pa = line.start_pa - line.still_pa()
        found.append(verdicts.reason("copper_growth_counted", growth_pa=growth_pa))
    if code == PASSES and line.held_s < USUAL_HOLD.value:
        found.append(USUAL_HOLD.compared("held_shorter_than_usual", value=line.held_s))
    if first.gauge_pa < USUAL_GAUGE.value:
        found.append(USUAL_GAUGE.compared("below_usual_pressure", value=first.gauge_pa))
    return found


def _next(code: str, *, line: Line, doubts: list[Doubt]) -> list[str]:
    todo = list(NEXT.get(code, []))
    if line.scatter > SLIP_SCATTER:
        todo = ["next.look_for_a_slip"] + [one for one in todo if one != LONGER]
    todo.extend([one.todo for one in doubts if one.todo not in todo])
    return todo
