"""Failure case 14 of sync: a device a year ahead, then an hour back; the night on which summer time ends."""

from datetime import UTC, datetime, timedelta
from typing import Any

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.phone import NEWS_WITHIN_MS
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

NOW = datetime.now(UTC)
# In the order in which the issues are written; by none of these clocks is it this order.
CLOCKS = {
    "With the clock a year ahead": NOW + timedelta(days=365),
    "With the clock an hour back": NOW - timedelta(hours=1),
    # Published by the IANA: in Chicago 2026-11-01 has the hour from 1 to 2 twice, at 6 and at 7 UTC.
    "In the first of two equal hours": datetime(2026, 11, 1, 6, 30, tzinfo=UTC),
    "In the second of two equal hours": datetime(2026, 11, 1, 7, 15, tzinfo=UTC),
    "With the clock right": NOW,
}


def test_case_14_a_device_a_year_ahead_then_an_hour_back_then_at_the_end_of_summer_time_loses_and_mixes_up_nothing(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    places = Places.on(own_demo.origin)
    page = ben.page
    ben.go("/")
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    ben.lose_signal()
    page.clock.install()

    for words, at in CLOCKS.items():
        page.clock.set_system_time(at)
        assert abs(page.evaluate("() => Date.now()") / 1000 - at.timestamp()) < 60
        _raise(page, address=f"{ben.origin}{places.job}/log?unit={places.units['L2-03']}", words=words)
    look_at(page)
    ben.find_signal()

    view = ServerView(own_demo.origin, person=ANA)
    rows = view.wait_for("issue", lambda rows: {row["words"] for row in rows} >= set(CLOCKS))
    raised = sorted((row for row in rows if row["words"] in CLOCKS), key=_number)
    assert [row["words"] for row in raised] == list(CLOCKS)  # numbered as written, whatever the clock said
    ben.go("/")
    expect(page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=NEWS_WITHIN_MS)


def _number(issue: dict[str, Any]) -> int:
    return int(issue["number"])


def _raise(page: Page, *, address: str, words: str) -> None:
    page.goto(address)
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_label("In your words").fill(words)
    save_issue(page)
