"""Shift windows against the time zones of the standard library."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import calendars
from tests.trade.jobs import zone_of
from tests.trade.random_graphs import RANDOM

ZONES = ["America/New_York", "Europe/Madrid", "Australia/Adelaide", "Asia/Kolkata"]
EPOCH = date(1970, 1, 1)


def a_calendar(zone: str, **shift: object) -> calendars.Calendar:
    usual = {"shift_start": "07:00", "shift_end": "15:30", "shift_days": [1, 2, 3, 4, 5]}
    return calendars.read({**usual, **shift}, zone=zone_of(zone))


@RANDOM
@given(st.sampled_from(ZONES), st.dates(date(2026, 1, 2), date(2027, 12, 1)))
def test_a_shift_starts_and_ends_at_its_local_time(zone: str, day: date) -> None:
    calendar = a_calendar(zone)

    window = calendar.window((day - EPOCH).days)

    if day.isoweekday() > 5:
        assert window is None
    else:
        assert window is not None
        for at_s, hour, minute in [(window[0], 7, 0), (window[1], 15, 30)]:
            local = datetime.fromtimestamp(at_s, UTC).astimezone(ZoneInfo(zone))
            assert (local.date(), local.hour, local.minute) == (day, hour, minute)


@RANDOM
@given(
    st.sampled_from(ZONES),
    st.integers(1_767_600_000, 1_820_000_000),
    st.integers(0, 200 * 60),
    st.integers(0, 200 * 60),
)
def test_work_in_two_parts_ends_when_it_ends_in_one(zone: str, now: int, first_min: int, second_min: int) -> None:
    calendar = a_calendar(zone)

    between = calendar.finish(float(now), work_s=first_min * 60.0)

    assert calendar.finish(between, work_s=second_min * 60.0) == calendar.finish(
        float(now), work_s=(first_min + second_min) * 60.0
    )


@RANDOM
@given(st.dates(date(1970, 1, 1), date(2199, 12, 31)))
def test_a_date_is_counted_as_the_standard_library_counts_it(day: date) -> None:
    assert calendars.day_of_date({"on": day.isoformat()}, "on") == (day - EPOCH).days


@pytest.mark.parametrize(
    ("zone", "night"),
    [
        ("America/New_York", "2026-11-01"),
        ("America/New_York", "2026-03-08"),
        ("Europe/Madrid", "2026-10-25"),
        ("Australia/Adelaide", "2026-04-05"),
    ],
)
def test_a_night_shift_over_a_change_of_clocks_has_the_hours_that_pass(zone: str, night: str) -> None:
    calendar = a_calendar(zone, shift_start="22:00", shift_end="06:00", shift_days=[1, 2, 3, 4, 5, 6, 7])
    before = date.fromisoformat(night) - timedelta(days=1)

    window = calendar.window((before - EPOCH).days)

    assert window is not None
    start = datetime.combine(before, datetime.min.time()).replace(hour=22, tzinfo=ZoneInfo(zone))
    end = datetime.fromisoformat(night).replace(hour=6, tzinfo=ZoneInfo(zone))
    assert window == (start.timestamp(), end.timestamp())
    assert window[1] - window[0] != 8 * 3600


def test_a_shift_that_ends_in_the_hour_that_occurs_twice_ends_in_the_first_of_the_two() -> None:
    calendar = a_calendar("America/New_York", shift_end="01:30", shift_days=[6])

    window = calendar.window((date(2026, 10, 31) - EPOCH).days)

    assert window is not None
    assert window[1] == datetime(2026, 11, 1, 5, 30, tzinfo=UTC).timestamp()
