"""The standing vacuum: pumped down, shut off, and watched."""

from . import limits, vacuum_look, vacuum_readings, vacuum_shapes, verdicts, water

NAME = "vacuum_stand"
WHAT = "Standing vacuum against its limit, and what its curve looks like: leak, water, outgassing"

LATE_SHARE = 1.1  # A reading later than this no longer tells what was when time was up (P).
FALL_SHARE = 0.05  # Cooling by 15 K explains no more: the gas shrinks with its temperature (H).
WATER_SOURCE = "triple point of water, IAPWS"

CAUTIONS = [
    "caution.no_compressor_in_vacuum",
    "caution.no_winding_test_in_vacuum",
    "caution.pump_exhaust_flammable",
]
PUMP_DOWN = "next.pump_down_further"
# What would help, by shape.
REMEDIES = [
    (vacuum_shapes.LEAK, "next.find_the_leak_under_pressure"),
    (vacuum_shapes.MOISTURE, "next.break_with_nitrogen_and_warm"),
    (vacuum_shapes.OUTGASSING, "next.evacuate_longer"),
    (vacuum_shapes.STEADY, PUMP_DOWN),
    (vacuum_look.TOO_FEW, "next.take_six_readings"),
]

INPUTS = [
    ("readings", "", True, "1 to 500, the first when the pump was shut off"),
    ("readings[].t_s", "s", True, "from any start, later each time"),
    ("readings[].pressure_pa", "Pa", True, "absolute, 0.01 to 110000"),
    ("coldest_c", "degC", True, "of the coldest place of the circuit, -40 to 60"),
    ("volume_m3", "m3", True, "inside of all that stands, 0.0001 to 100"),
    ("limit_pa", "Pa", True, "not above, absolute, 1 to 10000; vacuum_limits offers some"),
    ("limit_source", "", False, "where that limit comes from"),
    ("limit_mark", "", False, "S, L, H, P or M"),
    ("hold_s", "s", True, "time that is asked for, 60 to 2592000"),
    ("hold_source", "", False, "where that time comes from; that of the limit when absent"),
    ("hold_mark", "", False, "S, L, H, P or M"),
    ("pump_down_pa", "Pa", False, "the first reading is to be at most this, 1 to 10000"),
    ("pump_down_source", "", False, "where that limit comes from"),
    ("pump_down_mark", "", False, "S, L, H, P or M"),
    ("gauge_resolution_pa", "Pa", False, "0.133322 when absent (P), 0.001 to 1000"),
]
OUTPUTS = [
    ("shape", "", "steady, leak, moisture, outgassing, too_few"),
    ("leak_pa_m3_s", "Pa m3/s", "rise by time and volume; where the curve bends at its end"),
    ("plateau_pa", "Pa", "where the curve levels off; null where it does not"),
    ("water_saturation_pa", "Pa", "the most that water can reach at the coldest place"),
    ("held_s", "s", "from the first to the last reading"),
    ("hold_left_s", "s", "until the time asked for is over; null after a fail"),
    ("pressure_at_hold_pa", "Pa", "of the curve when the time is over; null if too few"),
    ("curve", "", "list of {t_s, fitted_pa}, at the readings"),
    ("curve[].fitted_pa", "Pa", "on the curve that is taken"),
    ("fits", "", "list of {shape, aicc, parameters}, none if too few"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


class _Stand:
    """One standing vacuum: what was read, what its curve looks like, and how that is judged."""

    def __init__(self, data: dict[str, object]) -> None:
        self.points = vacuum_readings.read(data)
        self.asked = vacuum_readings.Asked(data)
        self.held_s = self.points[-1].t_s
        self.look = vacuum_look.Look(
            self.points,
            ceiling_pa=self.asked.ceiling_pa,
            resolution_pa=self.asked.resolution_pa,
        )
        self.verdict = verdicts.PASS
        self.reasons: list[dict[str, object]] = []
        self.todo: list[str] = []
        self._judge()

    def hold_left_s(self) -> float | None:
        """Until the time asked for is over."""
        if self.verdict == verdicts.FAIL:
            return None
        return max(0.0, self.asked.hold.value - self.held_s)

    def leak_pa_m3_s(self) -> float | None:
        """Gas that comes in, were the rise a leak.

        Formula     V dp/dt                                                          [A]
        Returns     leak rate; None with one reading                                 [Pa m3/s]
        Source A    the ideal gas at constant temperature (H)
        """
        if len(self.points) < 2:  # noqa: PLR2004 -- nothing rises over one reading.
            return None
        return self.asked.volume_m3 * self.look.slope_pa_s()

    def _judge(self) -> None:
        """The limit decides, over the time that is asked for; the curve says what to do."""
        in_time = self._in_time()
        last = in_time[-1]
        above = [one for one in in_time if one.pressure_pa > self.asked.limit.value]
        if not above:
            self._judge_doubts(in_time)
        elif last.pressure_pa <= self.asked.limit.value:
            self._unclear(
                self._against_limit("vacuum_above_and_back", point=above[0]), todo="next.read_again"
            )
        elif len(above) == 1 and last.t_s > self.asked.hold.value * LATE_SHARE:
            reason = self._against_limit("vacuum_over_limit_late", point=last)
            self._unclear(reason, todo="next.read_on_time")
        else:
            self.verdict = verdicts.FAIL
            self.reasons.append(self._against_limit("vacuum_over_limit", point=last))
            is_from_start = self.points[0].pressure_pa > self.asked.limit.value
            # No pump settles a leak: where the curve shows one, pumping alone would end here again.
            if not is_from_start or self.look.shape == vacuum_shapes.LEAK:
                self.todo.append(_remedy(self.look.shape))
            if is_from_start:
                self.todo.append(PUMP_DOWN)

    def _judge_doubts(self, in_time: list[vacuum_shapes.Point]) -> None:
        """Within the limit, but was it down, did it stand long enough, was the pump off?"""
        first_pa = self.points[0].pressure_pa
        if self.asked.pump_down is not None and first_pa > self.asked.pump_down.value:
            reason = self.asked.pump_down.compared("vacuum_not_pumped_down", value=first_pa)
            self._unclear(reason, todo=PUMP_DOWN)
        fall_pa = self._fall_pa()
        if fall_pa > 0.0:
            reason = verdicts.reason("vacuum_fell", fall_pa=fall_pa, pressure_pa=first_pa)
            self._unclear(reason, todo="next.shut_the_pump_off")
        if self.held_s < self.asked.hold.value:
            left_s = self.hold_left_s()
            reason = _compared(
                "vacuum_held_too_short", self.held_s, limit=self.asked.hold, hold_left_s=left_s
            )
            self._unclear(reason, todo="next.hold_longer")
            self._add_outlook()
        if self.verdict == verdicts.PASS:
            highest = in_time[0]
            for one in in_time:
                if one.pressure_pa > highest.pressure_pa:
                    highest = one
            self.reasons.append(self._against_limit("vacuum_stays_within", point=highest))
        self._add_warning()

    def _add_outlook(self) -> None:
        if self.look.shape == vacuum_look.TOO_FEW:
            self.todo.append("next.take_six_readings")
            return
        at_hold_pa = self.look.curve.at_pa(self.asked.hold.value)
        is_over = at_hold_pa > self.asked.limit.value
        self.reasons.append(
            verdicts.reason(
                "heading_over_limit" if is_over else "heading_within_limit",
                pressure_at_hold_pa=at_hold_pa,
            )
        )

    def _add_warning(self) -> None:
        """A curve that will not stay below its limit is worth a remedy even when time is over."""
        plateau_pa = self.look.plateau_pa()
        is_wet = plateau_pa is not None and plateau_pa > self.asked.limit.value
        if self.look.shape == vacuum_shapes.LEAK or is_wet:
            self.todo.append(_remedy(self.look.shape))

    def _in_time(self) -> list[vacuum_shapes.Point]:
        """The readings up to the first one at or after the time that is asked for."""
        found = []
        for one in self.points:
            found.append(one)
            if one.t_s >= self.asked.hold.value:
                break
        return found

    def _fall_pa(self) -> float:
        """How far it fell, where cooling does not explain it; else 0."""
        line = self.look.line
        fall_pa = -line.rise * self.held_s
        is_small = fall_pa <= FALL_SHARE * line.base_pa or fall_pa <= 3.0 * self.asked.resolution_pa
        if is_small or not self.look.may_fall():
            return 0.0
        return fall_pa

    def _against_limit(self, code: str, *, point: vacuum_shapes.Point) -> dict[str, object]:
        return _compared(
            code,
            point.pressure_pa,
            limit=self.asked.limit,
            t_s=point.t_s,
            hold_s=self.asked.hold.value,
        )

    def _unclear(self, reason: dict[str, object], *, todo: str) -> None:
        self.verdict = verdicts.UNCLEAR
        self.reasons.append(reason)
        self.todo.append(todo)


def vacuum_stand(data: dict[str, object]) -> dict[str, object]:
    """Verdict on a standing vacuum, and what its curve looks like."""
    stand = _Stand(data)
    look = stand.look
    has_shape = look.shape != vacuum_look.TOO_FEW
    return {
        "shape": look.shape,
        "leak_pa_m3_s": stand.leak_pa_m3_s(),
        "plateau_pa": look.plateau_pa(),
        "water_saturation_pa": stand.asked.ceiling_pa,
        "held_s": stand.held_s,
        "hold_left_s": stand.hold_left_s(),
        "pressure_at_hold_pa": look.curve.at_pa(stand.asked.hold.value) if has_shape else None,
        "curve": look.fitted(),
        "fits": look.fits(),
        "verdict": stand.verdict,
        "reasons": stand.reasons
        + look.reasons(volume_m3=stand.asked.volume_m3)
        + _about_ice(stand),
        "next": stand.todo,
        "cautions": list(CAUTIONS),
    }


def _about_ice(stand: _Stand) -> list[dict[str, object]]:
    """Water that lay in the circuit freezes, and ice gives off vapour too slowly to be seen."""
    lowest_pa = min([one.pressure_pa for one in stand.points])
    if lowest_pa >= water.TRIPLE_PA:
        return []
    return [
        verdicts.against_limit(
            "pooled_water_freezes",
            value=lowest_pa,
            limit=water.TRIPLE_PA,
            unit="Pa",
            source=WATER_SOURCE,
            mark=verdicts.READ_IN_SOURCE,
        )
    ]


def _compared(code: str, value: float, *, limit: limits.Limit, **more: object) -> dict[str, object]:
    """As the limit's own, with the times that its sentence tells."""
    return verdicts.reason(
        code,
        value=value,
        limit=limit.value,
        unit=limit.unit,
        source=limit.source,
        mark=limit.mark,
        **more,
    )


def _remedy(shape: str) -> str:
    return next(code for known, code in REMEDIES if known == shape)
