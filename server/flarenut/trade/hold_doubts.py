"""What keeps a pressure hold from being judged, however good its figures."""

from . import hold_line, hold_readings, limits, ranges

FURTHEST_K = 11.0  # About 20 degrees F: beyond it the thermometer may not show the gas (P).
USUAL_BAROMETER_PA = 1000.0  # A passing front; the gauge moves with it one to one (P).
MONTH_S = 2592000.0


class Doubt:
    """One reason to doubt, and the drop it could explain; None where nobody knows."""

    def __init__(
        self, reason: dict[str, object], *, explains_pa: float | None, todo: str
    ) -> None:
        self.reason = reason
        self.explains_pa = explains_pa
        self.todo = todo


class Doubts:
    """All doubts about one hold."""

    def __init__(
        self,
        data: dict[str, object],
        *,
        line: hold_line.Line,
        filled_s: float | None,
        resolution_pa: float,
    ) -> None:
        self.line = line
        self.half_step_pa = resolution_pa / 2.0
        self.asked_hold = _asked(data, "hold", unit="s", low=600.0, high=MONTH_S)
        highest_pa = hold_readings.HIGHEST_GAUGE_PA
        self.asked_gauge = _asked(data, "test_gauge", unit="Pa", low=0.0, high=highest_pa)
        asked = _asked(data, "barometer_limit", unit="Pa", low=10.0, high=10000.0)
        self.barometer = asked or limits.usual(USUAL_BAROMETER_PA, unit="Pa")
        self.found: list[Doubt] = []
        self._of_filling(filled_s)
        self._of_temperature()
        self._of_barometer()
        self._of_what_was_asked()

    def explained_pa(self) -> float | None:
        """The drop that all of them together could explain; None where nobody knows."""
        total = 0.0
        for one in self.found:
            if one.explains_pa is None:
                return None
            total += one.explains_pa
        return total

    def least_hold_s(self) -> float:
        """The shortest hold that can be judged at all."""
        asked_s = 0.0 if self.asked_hold is None else self.asked_hold.value
        return max(asked_s, hold_readings.SETTLING_S)

    def todo(self) -> list[str]:
        """What would end each of them."""
        return [one.todo for one in self.found]

    def _of_filling(self, filled_s: float | None) -> None:
        """Where nobody said when filling ended, it was at the first reading or before."""
        settling = hold_readings.settling()
        after_s = self.line.held_s if filled_s is None else self.line.first.t_s - filled_s
        if after_s >= settling.value or (filled_s is None and after_s == 0.0):
            return
        reason = settling.compared("too_soon_after_filling", value=after_s)
        self._add(reason, explains_pa=None, todo="next.read_again_when_settled")

    def _of_temperature(self) -> None:
        limit = limits.usual(FURTHEST_K, unit="K")
        moved_k = _span([one.temperature_c for one in self.line.readings])
        if moved_k <= limit.value:
            return
        explains_pa = self.line.first.pressure_pa / self.line.first.kelvin * moved_k
        reason = limit.compared("temperature_moved", value=moved_k)
        self._add(reason, explains_pa=explains_pa, todo="next.read_at_like_temperature")

    def _of_barometer(self) -> None:
        moved_pa = _span([one.barometer_pa for one in self.line.readings])
        if moved_pa <= self.barometer.value:
            return
        reason = self.barometer.compared("barometer_moved", value=moved_pa)
        self._add(reason, explains_pa=moved_pa, todo="next.read_when_barometer_is_back")

    def _of_what_was_asked(self) -> None:
        """A hold that fell short of what was asked for proves less, but a leak is a leak."""
        held_s = self.line.held_s
        if self.asked_hold is not None and 0.0 < held_s < self.asked_hold.value:
            reason = self.asked_hold.compared("held_shorter_than_asked", value=held_s)
            self._add(reason, explains_pa=0.0, todo="next.hold_longer")
        gauge_pa = self.line.first.gauge_pa
        if self.asked_gauge is not None and gauge_pa + self.half_step_pa < self.asked_gauge.value:
            reason = self.asked_gauge.compared("below_asked_pressure", value=gauge_pa)
            self._add(reason, explains_pa=0.0, todo="next.fill_to_test_pressure")

    def _add(self, reason: dict[str, object], *, explains_pa: float | None, todo: str) -> None:
        self.found.append(Doubt(reason, explains_pa=explains_pa, todo=todo))


def _asked(
    data: dict[str, object], name: str, *, unit: str, low: float, high: float
) -> limits.Limit | None:
    """A limit of the sheet, or None where there is none."""
    field = name + ("_s" if unit == "s" else "_pa")
    if data.get(field) is None:
        return None
    value = ranges.number(data, field, low=low, high=high, unit=unit)
    return limits.given(data, name, value=value, unit=unit)


def _span(values: list[float]) -> float:
    return max(values) - min(values)
