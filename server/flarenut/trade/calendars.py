"""Shift windows in the site's own time, and work that only goes on inside them.

The engine reads no clock and knows no zone names: the caller gives the offset from UTC
and the moments it changes, so that a night with a change of clocks comes out right.
"""

from . import ranges

DAY_S = 86400
HOUR_S = 3600
LONGEST_OFFSET_S = 64800  # Real offsets stay within 14 h; 18 h is the limit of ISO 8601 uses (M).
LATEST_S = 253402300800.0  # The year 10000: beyond it the input is not in seconds.
SHORTEST_SHIFT_S = 1800  # Below half an hour a day nothing here can be planned (P).
# Past this many days of looking ahead the plan is worthless; it also bounds the loops.
FARTHEST_DAYS = 20000
# A free week and the night shift of the day before are inside it.
DAYS_TO_FIND_A_SHIFT = 16
FIRST_YEAR = 1970
LAST_YEAR = 9999
FEBRUARY = 2
DAYS_OF_MONTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
PARTS_OF_A_DATE = 3
TWO_DIGITS = 2

INPUTS = [
    ("zone.utc_offset_s", "s", True, "local time minus UTC before the first change"),
    ("zone.changes", "", False, "list of {at_s, utc_offset_s}, earliest first"),
]


class Calendar:
    """When people work on one site."""

    def __init__(
        self,
        *,
        start_s: int,
        end_s: int,
        days: list[int],
        utc_offset_s: int,
        changes: list[tuple[float, int]],
    ) -> None:
        self.start_s = start_s
        # A night shift ends on the next local day.
        self.end_s = end_s if end_s > start_s else end_s + DAY_S
        self.days = days
        self.utc_offset_s = utc_offset_s
        self.changes = changes
        self._windows: dict[int, tuple[float, float] | None] = {}

    def offset_at(self, at_s: float) -> int:
        """Local time minus UTC at a moment, in seconds."""
        offset = self.utc_offset_s
        for change_s, changed in self.changes:
            if at_s >= change_s:
                offset = changed
        return offset

    def day_of(self, at_s: float) -> int:
        """The local day of a moment, counted from 1970-01-01."""
        return int((at_s + self.offset_at(at_s)) // DAY_S)

    def utc_of(self, *, day: int, local_s: int) -> float:
        """The moment of a local time; in the hour that occurs twice, the first of the two."""
        local = float(day * DAY_S + local_s)
        before = local - self.offset_at(local - LONGEST_OFFSET_S)
        return local - self.offset_at(before)

    def window(self, day: int) -> tuple[float, float] | None:
        """Start and end of the shift that begins on a local day, or None on a free day."""
        if day not in self._windows:
            weekday = (day + 3) % 7 + 1  # ISO: Monday is 1; 1970-01-01 was a Thursday.
            found = None
            if weekday in self.days:
                found = (
                    self.utc_of(day=day, local_s=self.start_s),
                    self.utc_of(day=day, local_s=self.end_s),
                )
            self._windows[day] = found
        return self._windows[day]

    def shift_end_on(self, day: int) -> float:
        """The end of the shift on a local day, also when that day is a free one."""
        return self.utc_of(day=day, local_s=self.end_s)

    def next_open(self, at_s: float) -> float:
        """The first moment at or after `at_s` at which people work."""
        first = self.day_of(at_s) - 1
        for day in range(first, first + FARTHEST_DAYS):
            window = self.window(day)
            if window is not None and window[1] > at_s:
                return max(window[0], at_s)
        raise _too_far()

    def finish(self, at_s: float, *, work_s: float) -> float:
        """When work that stops at each shift's end is finished."""
        first = self.day_of(at_s) - 1
        left = work_s
        for day in range(first, first + FARTHEST_DAYS):
            window = self.window(day)
            if window is None or window[1] <= at_s:
                continue
            start = max(window[0], at_s)
            if left <= window[1] - start:
                return start + left
            left -= window[1] - start
        raise _too_far()

    def first_fit(self, at_s: float, *, work_s: float) -> float:
        """The first start at which work fits in one shift; else the first whole shift."""
        first = self.day_of(at_s) - 1
        whole = None
        for day in range(first, first + DAYS_TO_FIND_A_SHIFT):
            window = self.window(day)
            if window is None or window[1] <= at_s:
                continue
            start = max(window[0], at_s)
            if window[1] - start >= work_s:
                return start
            if whole is None and window[0] >= at_s:
                whole = window[0]
        if whole is None:
            raise _too_far()
        return whole

    def shift_length_s(self) -> float:
        """Hours of a shift by the wall clock, in seconds."""
        return float(self.end_s - self.start_s)


def read(shift: dict[str, object], *, zone: dict[str, object], where: str = "shift.") -> Calendar:
    """A calendar from `{shift_start, shift_end, shift_days}` and `{utc_offset_s, changes}`."""
    start_s = clock_s(shift, "shift_start", where=where)
    end_s = clock_s(shift, "shift_end", where=where)
    length = (end_s - start_s) % DAY_S
    if length < SHORTEST_SHIFT_S and end_s - start_s != DAY_S:
        raise ranges.contradictory(
            where + "shift_end", message="the shift is shorter than half an hour"
        )
    return Calendar(
        start_s=start_s,
        end_s=end_s,
        days=_days(shift, where=where),
        utc_offset_s=_offset(zone, where="zone."),
        changes=_changes(zone),
    )


def clock_s(row: dict[str, object], name: str, *, where: str = "") -> int:
    """Seconds after local midnight of a text such as 07:00; 24:00 is the end of the day."""
    value = ranges.text(row, name, where=where)
    hours, colon, rest = value.partition(":")
    minutes = rest.partition(":")[0]
    if colon == "" or not (_is_two_digits(hours) and _is_two_digits(minutes)):
        raise ranges.wrong_kind(where + name, wanted="a time such as 07:00")
    seconds = int(hours) * HOUR_S + int(minutes) * 60
    if int(minutes) * 60 >= HOUR_S or seconds > DAY_S:
        raise ranges.out_of_range(where + name, low=0, high=24, unit="h")
    return seconds


def day_of_date(row: dict[str, object], name: str, *, where: str = "") -> int:
    """The day, counted from 1970-01-01, of a date such as 2026-11-25.

    Formula     days of a proleptic Gregorian date, years counted from March      [A]
    Source A    arithmetic of the calendar (H), checked against the standard library
    """
    value = ranges.text(row, name, where=where)
    parts = value.split("-")
    if len(parts) != PARTS_OF_A_DATE or not all(part.isdigit() for part in parts):
        raise ranges.wrong_kind(where + name, wanted="a date such as 2026-11-25")
    year, month, day = [int(part) for part in parts]
    if year < FIRST_YEAR or year > LAST_YEAR:
        raise ranges.out_of_range(where + name, low=FIRST_YEAR, high=LAST_YEAR, unit="year")
    if not 1 <= month <= len(DAYS_OF_MONTHS) or not 1 <= day <= _month_days(year, month=month):
        raise ranges.wrong_kind(where + name, wanted="a day of the calendar")
    shifted = year - 1 if month <= FEBRUARY else year
    of_year = (153 * ((month + 9) % 12) + 2) // 5 + day - 1
    return 365 * shifted + shifted // 4 - shifted // 100 + shifted // 400 + of_year - 719468


def _month_days(year: int, *, month: int) -> int:
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return DAYS_OF_MONTHS[month - 1] + (1 if leap and month == FEBRUARY else 0)


def _is_two_digits(part: str) -> bool:
    return len(part) == TWO_DIGITS and part.isdigit()


def _days(shift: dict[str, object], *, where: str) -> list[int]:
    value = shift.get("shift_days")
    field = where + "shift_days"
    if value is None:
        raise ranges.missing(field)
    if not isinstance(value, list) or len(value) == 0:
        raise ranges.wrong_kind(field, wanted="a list with at least one day, Monday is 1")
    days: list[int] = []
    for index, day in enumerate(value):
        name = ranges.place(field, index=index)
        days.append(ranges.whole({name: day}, name, low=1, high=7, unit="ISO weekday"))
    return days


def _offset(row: dict[str, object], *, where: str) -> int:
    limit = LONGEST_OFFSET_S
    return ranges.whole(row, "utc_offset_s", low=-limit, high=limit, unit="s", where=where)


def _changes(zone: dict[str, object]) -> list[tuple[float, int]]:
    changes: list[tuple[float, int]] = []
    for index, row in enumerate(ranges.records_or_none(zone, "changes", where="zone.")):
        where = ranges.place("zone.changes", index=index) + "."
        at_s = ranges.number(row, "at_s", low=0.0, high=LATEST_S, unit="s", where=where)
        if changes and at_s <= changes[-1][0]:
            raise ranges.contradictory(where + "at_s", message="changes must be earliest first")
        changes.append((at_s, _offset(row, where=where)))
    return changes


def _too_far() -> ranges.InputError:
    return ranges.contradictory(
        "duration_s", message="with these shifts the work would take more than fifty years"
    )
