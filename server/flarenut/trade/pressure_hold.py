"""A pressure hold with nitrogen: what temperature explains of its fall, and what is a leak."""

from . import hold_doubts, hold_line, hold_readings, limits, nitrogen, ranges, verdicts

NAME = "pressure_hold"
WHAT = "Pressure hold with dry nitrogen: expected pressure, uncertainty, leak, verdict"

UFGS = "UFGS 15652A"
USUAL_HOLD_S = 86400.0  # 24 h, UFGS 15652A (S).
USUAL_GAUGE_PA = 3792116.5  # 550 psig, last stage for this class (P): the nameplate decides.

CAUTIONS = [
    "caution.stored_energy",
    "caution.never_tighten_under_pressure",
    "caution.no_oxygen_or_air",
    "caution.regulator_with_relief",
    "caution.nitrogen_displaces_air",
    "caution.venting_refrigerant",
]

INPUTS = [
    ("readings[].t_s", "s", True, "from any start, each later than the one before; 1 to 500"),
    ("readings[].gauge_pa", "Pa", True, "above the barometer, 0 to 4.5e6"),
    ("readings[].temperature_c", "degC", True, "of the pipe, -20 to 60"),
    ("readings[].barometer_pa", "Pa", False, "with all readings or none (101325), 50000 to 110000"),
    ("volume_m3", "m3", True, "of the circuit, 0.0001 to 100"),
    ("gauge_resolution_pa", "Pa", True, "smallest step of the gauge, 0 to 100000"),
    ("temperature_uncertainty_k", "K", True, "one standard uncertainty, 0 to 10"),
    ("leak_to_exclude_pa_m3_s", "Pa m3/s", True, "1e-9 to 10"),
    ("copper_growth", "", False, "true: the volume grows with temperature; false when absent"),
    ("filled_t_s", "s", False, "end of filling; the first 10 min after it do not count (P)"),
    ("barometer_uncertainty_pa", "Pa", False, "one standard uncertainty, 0 when absent, to 5000"),
    ("barometer_limit_pa", "Pa", False, "how far it may move, 1000 when absent (P), 10 to 10000"),
    ("barometer_limit_source", "", False, "where that limit comes from"),
    ("barometer_limit_mark", "", False, "S, L, H, P or M"),
    ("hold_s", "s", False, "hold asked for, 600 to 2592000"),
    ("hold_source", "", False, "where that limit comes from"),
    ("hold_mark", "", False, "S, L, H, P or M"),
    ("test_gauge_pa", "Pa", False, "pressure asked for, 0 to 4.5e6"),
    ("test_gauge_source", "", False, "where that limit comes from"),
    ("test_gauge_mark", "", False, "S, L, H, P or M"),
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
    ("curve[].used", "", "false for a reading too soon after filling"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]

PASSES = "hold_proves_tight"
FAILS = "hold_lost_gas"
BEGUN = "hold_just_begun"
TOO_LITTLE = "hold_proves_too_little"
GAINED = "hold_gained_gas"
REMAINS = "doubt_remains"
OUTWEIGHS = "doubt_outweighs"

NEXT = {
    FAILS: ["next.find_the_leak", "next.hold_again_after_repair"],
    BEGUN: ["next.hold_longer"],
    TOO_LITTLE: ["next.hold_longer"],
    GAINED: ["next.look_for_gas_coming_in"],
}


class _Hold:
    """A hold as it was read."""

    def __init__(self, data: dict[str, object]) -> None:
        self.readings = hold_readings.read(data)
        filled_s = hold_readings.filled_s(data, first_s=self.readings[0].t_s)
        self.left_out = hold_readings.leave_out_early(self.readings, filled_s=filled_s)
        used = [one for one in self.readings if one.is_used]
        self.circuit = hold_readings.circuit(data, first_c=used[0].temperature_c)
        instruments = hold_readings.Instruments(data)
        self.to_exclude_pa_m3_s = ranges.number(
            data, "leak_to_exclude_pa_m3_s", low=1e-9, high=10.0, unit="Pa m3/s"
        )
        self.line = hold_line.Line(used, circuit=self.circuit, instruments=instruments)
        self.doubts = hold_doubts.Doubts(
            data, line=self.line, filled_s=filled_s, resolution_pa=instruments.resolution_pa
        )
        self.has_barometer = _has_barometer(data)
        self.critical_drop_pa = (
            self.to_exclude_pa_m3_s * self.line.held_s / self.circuit.volume_m3
        )
        self.code = self._code()

    def hold_needed_s(self, uncertainty_pa: float) -> float:
        """Hold over which the leak to exclude makes a drop as large as the uncertainty."""
        return uncertainty_pa * self.circuit.volume_m3 / self.to_exclude_pa_m3_s

    def hold_left_s(self) -> float | None:
        """Until a reading could settle it, if the pressure does as it did so far."""
        if self.code in (FAILS, GAINED, OUTWEIGHS):
            return None
        drop_pa = max(0.0, -self.line.residual_pa())
        needed_s = self.hold_needed_s(self.line.uncertainty_pa() + drop_pa)
        return max(0.0, max(needed_s, self.doubts.least_hold_s()) - self.line.held_s)

    def _code(self) -> str:
        if self.line.held_s == 0.0:
            return BEGUN
        return judged(
            self.line.residual_pa(),
            uncertainty_pa=self.line.uncertainty_pa(),
            critical_drop_pa=self.critical_drop_pa,
            has_doubts=bool(self.doubts.found),
            doubt_pa=self.doubts.explained_pa(),
        )


def pressure_hold(data: dict[str, object]) -> dict[str, object]:
    """Verdict on a pressure hold, from all its readings."""
    hold = _Hold(data)
    line = hold.line
    uncertainty_pa = line.uncertainty_pa()
    is_begun = hold.code == BEGUN
    seen = None if is_begun else uncertainty_pa * hold.circuit.volume_m3 / line.held_s
    expected_pa = line.expected_pa(line.last)
    return {
        "expected_gauge_pa": expected_pa - line.last.barometer_pa,
        "expected_ideal_gauge_pa": _ideal_pa(line) - line.last.barometer_pa,
        "residual_pa": None if is_begun else line.residual_pa(),
        "uncertainty_pa": uncertainty_pa,
        "budget": line.budget(),
        "critical_drop_pa": hold.critical_drop_pa,
        "leak_pa_m3_s": None if is_begun else line.leak_pa_m3_s(),
        "smallest_leak_seen_pa_m3_s": seen,
        "held_s": line.held_s,
        "hold_needed_s": hold.hold_needed_s(uncertainty_pa),
        "hold_left_s": hold.hold_left_s(),
        "stored_energy_j": _stored_energy_j(hold),
        "curve": [_curve_row(one, line=line) for one in hold.readings],
        "verdict": _verdict(hold.code),
        "reasons": _reasons(hold, seen=seen),
        "next": NEXT.get(hold.code, []) + hold.doubts.todo(),
        "cautions": list(CAUTIONS),
    }


def judged(
    residual_pa: float,
    *,
    uncertainty_pa: float,
    critical_drop_pa: float,
    has_doubts: bool,
    doubt_pa: float | None,
) -> str:
    """What a residual says: the code of the verdict's reason.

    Valid for   two readings or more
    Formula     fail if e < -U; pass if |e| <= U and U - e <= dP of the leak to exclude; else
                unclear. Doubts keep a pass unclear, and a fail where they explain the drop.
    Inputs      residual_pa              e, measured minus expected                  [Pa]
                uncertainty_pa           U                                           [Pa]
                critical_drop_pa         dP                                          [Pa]
                doubt_pa                 what doubts explain; None: nobody knows     [Pa]
    Returns     code
    """
    if residual_pa > uncertainty_pa:
        return GAINED
    if residual_pa < -uncertainty_pa:
        if doubt_pa is None or residual_pa >= -(uncertainty_pa + doubt_pa):
            return OUTWEIGHS
        return FAILS
    if uncertainty_pa - residual_pa > critical_drop_pa:
        return TOO_LITTLE
    return REMAINS if has_doubts else PASSES


def _verdict(code: str) -> str:
    if code == PASSES:
        return verdicts.PASS
    return verdicts.FAIL if code == FAILS else verdicts.UNCLEAR


def _has_barometer(data: dict[str, object]) -> bool:
    return ranges.records(data, "readings")[0].get("barometer_pa") is not None


def _ideal_pa(line: hold_line.Line) -> float:
    """Absolute pressure expected at the last reading by the ideal gas."""
    start_pa = line.expected_pa(line.first)
    growth = line.circuit.growth(line.last.temperature_c)
    return start_pa * line.last.kelvin / line.first.kelvin / growth


def _stored_energy_j(hold: _Hold) -> float:
    highest = hold.readings[0]
    for one in hold.readings:
        if one.gauge_pa > highest.gauge_pa:
            highest = one
    return nitrogen.stored_energy_j(
        highest.pressure_pa, volume_m3=hold.circuit.volume_m3, barometer_pa=highest.barometer_pa
    )


def _curve_row(reading: hold_readings.Reading, *, line: hold_line.Line) -> dict[str, object]:
    return {
        "t_s": reading.t_s,
        "expected_gauge_pa": line.expected_pa(reading) - reading.barometer_pa,
        "band_pa": line.band_pa(reading),
        "measured_gauge_pa": reading.gauge_pa,
        "reduced_gauge_pa": line.reduced_pa(reading) - line.last.barometer_pa,
        "used": reading.is_used,
    }


def _reasons(hold: _Hold, *, seen: float | None) -> list[dict[str, object]]:
    reasons = [_first_reason(hold, seen=seen)]
    reasons.extend([one.reason for one in hold.doubts.found])
    if not hold.has_barometer:
        barometer_pa = hold_readings.SEA_LEVEL_PA
        reasons.append(verdicts.reason("barometer_not_measured", barometer_pa=barometer_pa))
    if hold.left_out:
        reasons.append(verdicts.reason("early_readings_left_out", left_out_count=hold.left_out))
    if hold.line.scatter > 1.0:
        reasons.append(verdicts.reason("readings_scatter", scatter=hold.line.scatter))
    if hold.circuit.copper_1_k > 0.0:
        reasons.append(_about_copper(hold.line))
    return reasons + _about_usual(hold)


def _first_reason(hold: _Hold, *, seen: float | None) -> dict[str, object]:
    line = hold.line
    if hold.code == BEGUN:
        return verdicts.reason(BEGUN, hold_needed_s=hold.hold_needed_s(line.uncertainty_pa()))
    values: dict[str, object] = {
        "residual_pa": line.residual_pa(),
        "uncertainty_pa": line.uncertainty_pa(),
    }
    if hold.code == FAILS:
        values["leak_pa_m3_s"] = line.leak_pa_m3_s()
    if hold.code == OUTWEIGHS:
        values["doubt_pa"] = hold.doubts.explained_pa()
    if hold.code in (PASSES, TOO_LITTLE):
        values["critical_drop_pa"] = hold.critical_drop_pa
        values["leak_to_exclude_pa_m3_s"] = hold.to_exclude_pa_m3_s
        values["smallest_leak_seen_pa_m3_s"] = seen
        values["hold_left_s"] = hold.hold_left_s()
    return {"code": hold.code, "values": values}


def _about_copper(line: hold_line.Line) -> dict[str, object]:
    still_pa = nitrogen.pressure_pa(line.content_kg_m3, temperature_c=line.last.temperature_c)
    return verdicts.reason(
        "copper_growth_counted",
        growth_pa=line.expected_pa(line.last) - still_pa,
        source=hold_readings.COPPER_SOURCE,
        mark=verdicts.READ_IN_SOURCE,
    )


def _about_usual(hold: _Hold) -> list[dict[str, object]]:
    """What is usual and was not reached; it decides nothing."""
    found = []
    line = hold.line
    day = limits.Limit(USUAL_HOLD_S, unit="s", source=UFGS, mark=verdicts.READ_IN_SOURCE)
    if hold.code == PASSES and line.held_s < day.value and hold.doubts.asked_hold is None:
        found.append(day.compared("held_shorter_than_usual", value=line.held_s))
    usual = limits.usual(USUAL_GAUGE_PA, unit="Pa")
    is_low = line.first.gauge_pa + hold.doubts.half_step_pa < usual.value
    if is_low and hold.doubts.asked_gauge is None:
        found.append(usual.compared("below_usual_pressure", value=line.first.gauge_pa))
    return found
