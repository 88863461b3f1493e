"""The readings of a standing vacuum, and what is asked of it."""

from . import limits, ranges, vacuum_shapes, water

LOWEST_PA = 0.01  # Below what gauges of this trade resolve (P).
HIGHEST_PA = 110000.0  # Above the highest barometer ever measured at sea level (M).
LATEST_S = 1e10  # Seconds since 1970 fit, milliseconds do not.
MOST_READINGS = 500  # More than one a quarter of an hour for five days (P).
COLDEST_C = -40.0
HOTTEST_C = 60.0
MONTH_S = 2592000.0
USUAL_RESOLUTION_PA = 0.133322  # One micron, the smallest step of usual gauges (P).


class Asked:
    """The circuit, and the limits that it is to keep."""

    def __init__(self, data: dict[str, object]) -> None:
        self.volume_m3 = ranges.number(data, "volume_m3", low=0.0001, high=100.0, unit="m3")
        coldest_c = ranges.number(data, "coldest_c", low=COLDEST_C, high=HOTTEST_C, unit="degC")
        self.ceiling_pa = water.saturation_pa(coldest_c)
        self.limit = _pressure(data, "limit")
        self.hold = _hold(data, like=self.limit)
        self.pump_down: limits.Limit | None = None
        if data.get("pump_down_pa") is not None:
            self.pump_down = _pressure(data, "pump_down")
        self.resolution_pa = ranges.number_or(
            data,
            "gauge_resolution_pa",
            default=USUAL_RESOLUTION_PA,
            low=0.001,
            high=1000.0,
            unit="Pa",
        )


def read(data: dict[str, object]) -> list[vacuum_shapes.Point]:
    """The readings, their time counted from the first."""
    rows = ranges.records(data, "readings")
    if not rows:
        raise ranges.missing("readings[0]")
    if len(rows) > MOST_READINGS:
        raise ranges.out_of_range("readings", low=1, high=MOST_READINGS, unit="readings")
    read_at_s: list[float] = []
    points: list[vacuum_shapes.Point] = []
    for index, row in enumerate(rows):
        where = ranges.place("readings", index=index) + "."
        t_s = ranges.number(row, "t_s", low=-LATEST_S, high=LATEST_S, unit="s", where=where)
        pressure_pa = ranges.number(
            row, "pressure_pa", low=LOWEST_PA, high=HIGHEST_PA, unit="Pa", where=where
        )
        if read_at_s and t_s <= read_at_s[-1]:
            message = "each reading must be later than the one before"
            raise ranges.contradictory(where + "t_s", message=message)
        read_at_s.append(t_s)
        points.append(vacuum_shapes.Point(t_s - read_at_s[0], pressure_pa=pressure_pa))
    return points


def _pressure(data: dict[str, object], name: str) -> limits.Limit:
    value = ranges.number(data, name + "_pa", low=1.0, high=10000.0, unit="Pa")
    return limits.given(data, name, value=value, unit="Pa")


def _hold(data: dict[str, object], *, like: limits.Limit) -> limits.Limit:
    """The time that is asked for; a document that gives a limit gives the time as well."""
    value = ranges.number(data, "hold_s", low=60.0, high=MONTH_S, unit="s")
    if data.get("hold_source") is None:
        return limits.Limit(value, unit="s", source=like.source, mark=like.mark)
    return limits.given(data, "hold", value=value, unit="s")
