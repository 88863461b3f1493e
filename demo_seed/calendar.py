"""The demo's days are counted from the day it is loaded, so that the story never ages."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

# The sites lie where people are at work at the moment: the first of these whose clock says so.
ZONES = ("America/Chicago", "Europe/London", "Asia/Dubai", "Asia/Tokyo", "Pacific/Auckland", "Pacific/Honolulu")
AT_WORK = range(8, 15)  # [h] well inside the shift
SHIFT = {"shift_start": "07:00", "shift_end": "15:30", "shift_days": [1, 2, 3, 4, 5]}
SHIFT_S = int(timedelta(hours=8, minutes=30).total_seconds())
SATURDAY = 6


class Calendar:
    """Working days before and after the day on which the story is told."""

    def __init__(self, now: datetime) -> None:
        clocks = [now.astimezone(ZoneInfo(name)) for name in ZONES]
        self.now = next((clock for clock in clocks if clock.hour in AT_WORK), clocks[0])

    def workday(self, count: int, clock: str = "07:00") -> datetime:
        """That many working days after today, or before it when negative, at that hour on site."""
        day, step = self.now.date(), timedelta(days=1 if count > 0 else -1)
        for _ in range(abs(count)):
            day += step
            while day.isoweekday() >= SATURDAY:
                day += step
        return datetime.combine(day, time.fromisoformat(clock), self.now.tzinfo)


def wire_time(moment: datetime) -> str:
    """As every time travels: UTC, milliseconds, Z."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def wire_day(moment: datetime) -> str:
    """The calendar day on site; the moment is in the zone of the site."""
    return moment.date().isoformat()
