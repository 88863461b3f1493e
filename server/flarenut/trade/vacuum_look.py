"""What the curve of a standing vacuum looks like: which shape, and why it is called so."""

import math

from . import vacuum_shapes, verdicts

TOO_FEW = "too_few"
# So many time constants after which a curve that levels off has done so to 5 % (H).
LEVELLED = 3.0
# By so much must a plateau above water fit better: noise alone does it once in 150 times (H).
FAR_BETTER = 6.0
# A climb counts beyond so many times the scatter; noise alone makes it rarely (H).
CLIMB = 4.0
CLIMBS = "curve_climbs_past_water"
TAKEN_FOR_SCORE = ["curve_is_a_line", "curve_levels_off", "curve_slows_down"]


class Look:
    """The shape of one standing vacuum."""

    def __init__(
        self, points: list[vacuum_shapes.Point], *, ceiling_pa: float, resolution_pa: float
    ) -> None:
        self.points = points
        self.ceiling_pa = ceiling_pa
        self.line = vacuum_shapes.straight(points)
        self.end = points[len(points) // 2 :]
        self.end_line = vacuum_shapes.straight(self.end)
        self.shapes: vacuum_shapes.Shapes | None = None
        self.curve = self.line
        self.shape = TOO_FEW
        self.code = "curve_too_few_readings"
        if len(points) >= vacuum_shapes.LEAST_READINGS:
            self.shapes = vacuum_shapes.Shapes(
                points, ceiling_pa=ceiling_pa, resolution_pa=resolution_pa
            )
            self._name(self.shapes)

    def slope_pa_s(self) -> float:
        """Rise by time that a leak could make up.

        The straight line where the readings show no bend, the later half of them where they climb
        past water; else the end of the curve, which is the most that a leak can be.
        """
        if self.code == CLIMBS:
            return self.end_line.rise
        if self.curve.shape in (vacuum_shapes.MOISTURE, vacuum_shapes.OUTGASSING):
            return self.curve.end_slope_pa_s(self.points[-1].t_s)
        return self.line.rise

    def plateau_pa(self) -> float | None:
        """Where the curve levels off; None where it does not."""
        has_plateau = self.code in ("curve_levels_off", "curve_levels_off_above_water")
        return self.curve.plateau_pa() if has_plateau else None

    def rise_pa(self) -> float:
        """From start to end of the curve; negative for a fall."""
        return self.curve.at_pa(self.points[-1].t_s) - self.curve.at_pa(self.points[0].t_s)

    def may_fall(self) -> bool:
        """Whether a falling line says more than a level one; of too few nobody can say that not."""
        if self.shapes is None:
            return self.line.rise < 0.0
        level = self.shapes.level
        return self.line.rise < 0.0 and level.aicc - self.shapes.line.aicc > vacuum_shapes.ALIKE

    def fitted(self) -> list[dict[str, object]]:
        """The curve at the readings."""
        if len(self.points) < 2:  # noqa: PLR2004 -- no curve goes through one reading.
            return []
        return [{"t_s": one.t_s, "fitted_pa": self.curve.at_pa(one.t_s)} for one in self.points]

    def fits(self) -> list[dict[str, object]]:
        """The four curves with their scores."""
        if self.shapes is None:
            return []
        return [one.described() for one in self.shapes.curves]

    def reasons(self, *, volume_m3: float) -> list[dict[str, object]]:
        """What the curve looks like, and which others would do as well."""
        seen = verdicts.reason(
            self.code,
            reading_count=len(self.points),
            least_count=vacuum_shapes.LEAST_READINGS,
            pressure_pa=self.curve.base_pa,
            rise_pa=self.rise_pa(),
            leak_pa_m3_s=volume_m3 * self.slope_pa_s(),
            plateau_pa=self.plateau_pa(),
            water_saturation_pa=self.ceiling_pa,
        )
        found = [seen]
        found.extend(self._rivals())
        return found

    def _name(self, shapes: vacuum_shapes.Shapes) -> None:
        """A curve that levels off above the ceiling is taken where it fits far better up there."""
        last_s = self.points[-1].t_s
        free = shapes.free
        self.curve = shapes.taken
        is_far_better = shapes.taken.aicc - free.aicc > FAR_BETTER
        if is_far_better and free.rise > 0.0 and free.at_pa(last_s) > self.ceiling_pa:
            self.curve = free
        self.shape = self.curve.shape
        is_over = self.curve.at_pa(last_s) > self.ceiling_pa
        if self.shape == vacuum_shapes.STEADY:
            self.code = "curve_falls" if self.may_fall() else "curve_is_steady"
        elif is_over and self.curve is free and self._has_levelled(free):
            self.shape = vacuum_shapes.OUTGASSING
            self.code = "curve_levels_off_above_water"
        elif is_over and self.curve.at_pa(0.0) < self.ceiling_pa:
            self.shape = vacuum_shapes.LEAK
            self.code = CLIMBS
        elif self.shape == vacuum_shapes.LEAK:
            self.code = "curve_is_a_line"
        elif self.shape == vacuum_shapes.MOISTURE:
            self.code = "curve_levels_off"
        else:
            self.code = "curve_slows_down"

    def _has_levelled(self, curve: vacuum_shapes.Curve) -> bool:
        """Whether the later half of the readings climbs no more than the curve there does."""
        start_s = self.end[0].t_s
        last_s = self.end[-1].t_s
        beyond_pa = self.end_line.rise * (last_s - start_s) - curve.at_pa(last_s)
        beyond_pa += curve.at_pa(start_s)
        scatter_pa = math.sqrt(self.end_line.squares / (len(self.end) - 2))
        return last_s > LEVELLED * curve.time_s and beyond_pa <= CLIMB * scatter_pa

    def _rivals(self) -> list[dict[str, object]]:
        """Other curves that do as well, where the shape was taken for its score.

        Beside a steady pressure none is named: some leak is always too small to be seen.
        """
        if self.shapes is None or self.code not in TAKEN_FOR_SCORE:
            return []
        return [
            verdicts.reason(one.shape + "_fits_as_well", aicc_difference=one.aicc - self.curve.aicc)
            for one in self.shapes.curves[1:]
            if one.shape != self.shape and one.aicc < self.curve.aicc + self._reach(one)
        ]

    def _reach(self, other: vacuum_shapes.Curve) -> float:
        """How much worse another curve may score and still be named.

        Two that bend are told apart by how they bend and by nothing else, so noise decides sooner.
        """
        bends = (vacuum_shapes.MOISTURE, vacuum_shapes.OUTGASSING)
        is_like = self.shape in bends and other.shape in bends
        return FAR_BETTER if is_like else vacuum_shapes.ALIKE
