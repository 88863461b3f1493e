"""Failure case 14 of sync: a device a year ahead, then an hour back; the end of summer time; clocks hours apart."""

from datetime import UTC, datetime, timedelta
from typing import Any

from demo_seed.calendar import wire_time
from demo_seed.people import ANA, BEN, DEE
from deploy.screens import Places
from playwright.sync_api import Page, expect

from tests.phone import holding
from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.looking import MOUSE_PX, look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
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


def test_case_14_a_history_stays_in_order_and_ben_may_prove_though_the_office_is_three_hours_slow(
    own_demo: Server, open_device: OpenDevice, open_desk: OpenDevice
) -> None:
    places, ana, ben = _who(own_demo)
    issue, job = places.issues["no_power"], places.job.removeprefix("/job/")
    _put_dee_on(ana, job=job)
    ben.say("issue.answer", job=job, entity=issue, fixed=True, words="The breaker was open.")
    desk = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    desk.page.clock.install()
    desk.page.clock.set_system_time(NOW - timedelta(hours=3))

    _send_back(desk, address=places.issue("no_power"))
    _history_begins(desk.page, "Sent back by Ana Example", "Answered by Ben Sample")
    look_at(desk.page, least_px=MOUSE_PX)
    ana.wait_for("issue", lambda rows: any(row["id"] == issue and row["state"] == "sent_back" for row in rows))
    dee = ServerView(own_demo.origin, person=DEE)
    dee.say("issue.answer", job=job, entity=issue, fixed=True, words="A loose core, too.")

    phone = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    phone.go(places.issue("no_power"))
    _history_begins(phone.page, "Answered by Dee Specimen", "Sent back by Ana Example", "Answered by Ben Sample")
    look_at(phone.page)
    phone.page.get_by_role("button", name="Prove it").tap()
    phone.page.get_by_label("What you saw or measured").fill("Lit.")
    phone.page.get_by_role("button", name="It is proved").tap()
    ana.wait_for("issue", lambda rows: any(row["id"] == issue and row["state"] == "proved" for row in rows))


def test_case_14_the_hold_begun_last_is_the_current_one_though_its_phone_is_three_hours_slow(
    own_demo: Server, open_device: OpenDevice
) -> None:
    _, _, view = _who(own_demo)
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    slow = open_device("ben_slow", origin=own_demo.origin, has_app=True)
    sign_in(slow, person=BEN)
    wait_until_offline_ready(slow)
    holding.set_clock(ben, at=NOW)
    holding.set_clock(slow, at=NOW - timedelta(hours=3))
    for phone in (ben, slow):
        holding.open_check(phone.page, origin=phone.origin, name="Pressure hold", system="S1")

    slow.lose_signal()
    _begin_a_hold(ben, gauge="550")
    view.wait_for("reading", lambda rows: len(_holds(rows)) == 1)
    _begin_a_hold(slow, gauge="540")
    slow.find_signal()
    view.wait_for("reading", lambda rows: len(_holds(rows)) == 2)

    for phone in (slow, ben):
        holding.open_check(phone.page, origin=phone.origin, name="Pressure hold", system="S1")
        expect(phone.page.get_by_text("One earlier hold here")).to_be_visible(timeout=NEWS_WITHIN_MS)
        readings = phone.page.locator("section").filter(has=phone.page.get_by_role("heading", name="1 reading"))
        expect(readings).to_contain_text("540")
        look_at(phone.page)


def test_case_14_what_was_measured_before_a_visit_was_closed_is_taken_though_the_closing_phone_is_two_hours_slow(
    own_demo: Server, open_device: OpenDevice
) -> None:
    places, ana, other = _who(own_demo)
    job = places.job.removeprefix("/job/")
    [visit] = [row["id"] for row in other.rows("visit") if row["job_id"] == job and row["state"] == "planned"]
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    ben.go(f"{places.job}/checks")
    expect(ben.page.get_by_role("heading", name="Checks", level=1)).to_be_visible()
    wait_until_offline_ready(ben)

    ben.lose_signal()
    _read_the_altitude(ben)
    look_at(ben.page)
    other.say("visit.close", job=job, entity=visit, summary=None, note="", clock=NOW - timedelta(hours=2))
    ben.find_signal()

    [reading] = ana.wait_for("reading", lambda rows: bool(_barometers(rows)))[-1:]
    assert [row["visit_id"] for row in _barometers([reading])] == [visit]
    ben.go("/attention")
    expect(ben.page.get_by_text("Nothing needs your attention.")).to_be_visible()


def _who(server: Server) -> tuple[Places, ServerView, ServerView]:
    """Where things are, and Ana and Ben on devices of their own."""
    return Places.on(server.origin), *(ServerView(server.origin, person=person) for person in (ANA, BEN))


def _put_dee_on(ana: ServerView, *, job: str) -> None:
    dee_id = next(row["person_id"] for row in ana.rows("visit") if row["person_name"] == DEE.name)
    plan = {"purpose": "follow_up", "starts_at": wire_time(NOW), "planned_s": 7200, "note": ""}
    ana.say("visit.plan", job=job, person_id=dee_id, **plan)


def _send_back(desk: Phone, *, address: str) -> None:
    page = desk.page
    desk.go(address)
    expect(page.get_by_text("Answered by Ben Sample")).to_be_visible(timeout=NEWS_WITHIN_MS)
    page.get_by_role("button", name="Send back").click()
    page.get_by_label("What is still not right").fill("Dark again.")
    page.get_by_role("dialog").get_by_role("button", name="Send back").click()
    expect(page.get_by_role("dialog")).to_have_count(0)


def _history_begins(page: Page, *lines: str) -> None:
    """What came last first."""
    for place, line in enumerate(lines):
        item = page.locator("ol.history").get_by_role("listitem").nth(place)
        expect(item).to_contain_text(line, timeout=NEWS_WITHIN_MS)


def _begin_a_hold(phone: Phone, *, gauge: str) -> None:
    holding.type_a_pressure_hold(phone.page)
    holding.fill(phone.page, {"Gauge pressure": gauge})
    holding.begin(phone.page)


def _holds(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [row for row in rows if row["calculation"] == "pressure_hold"]


def _read_the_altitude(ben: Phone) -> None:
    ben.page.get_by_role("link", name="Barometer from altitude").first.click()
    ben.page.get_by_label("Altitude").fill("600")
    ben.page.get_by_role("button", name="Save reading").tap()
    expect(ben.page.get_by_text("Saved on this phone.").first).to_be_visible()


def _barometers(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [row for row in rows if row["calculation"] == "barometer"]
