"""How sure the return plan is: the same on every device, told no finer than it is known."""

import re
import time
from datetime import datetime
from zoneinfo import ZoneInfo

from demo_seed.people import ANA
from deploy.screens import Places
from playwright.sync_api import Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in
from tests.phone.looking import MOUSE_PX, look_at
from tests.phone.server_process import Server

CHANCE_WITHIN_MS = 30_000
ZONE = "America/Chicago"


def _told(page: Page) -> list[str]:
    """The words below each line: one is worked out after the other, and again when news comes in."""
    return sorted(page.locator(".board-sure").all_inner_texts())


def _is_on_the_board(page: Page) -> None:
    expect(page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    expect(page.get_by_text("8 in 10 chances by").first).to_be_visible(timeout=CHANCE_WITHIN_MS)


def _until_both_tell_the_same(one: Page, other: Page) -> list[str]:
    until = time.monotonic() + CHANCE_WITHIN_MS / 1000
    while (told := _told(one)) != _told(other) or any("Working out" in words for words in told):
        assert time.monotonic() < until, (told, _told(other))
        one.wait_for_timeout(100)
    return told


def _day_of_the_clinic(page: Page) -> str:
    line = page.get_by_role("listitem").filter(has_text="Tern Lane Clinic").locator(".board-sure")
    told = line.filter(has_text="8 in 10 chances by").inner_text()  # waits while it is worked out anew
    return re.findall(r"8 in 10 chances by ([^,]+)", told)[0]


def test_two_devices_show_the_same_day_with_8_chances_in_10(
    demo: Server, open_desk: OpenDevice, open_device: OpenDevice
) -> None:
    desk, phone = (
        open_desk("desk", origin=demo.origin, signed_in=ANA),
        open_device("phone", origin=demo.origin, has_app=True),
    )

    desk.go("/")
    sign_in(phone, person=ANA)
    for device in (desk, phone):
        _is_on_the_board(device.page)

    at_the_desk = _until_both_tell_the_same(desk.page, phone.page)

    assert len(at_the_desk) > 1
    # A day and no hour: a chance is not known that well.
    assert not any(re.search(r"\d:\d", words) for words in at_the_desk)
    day = _day_of_the_clinic(desk.page)
    desk.page.get_by_role("link", name="Tern Lane Clinic", exact=True).click()
    expect(desk.page.get_by_text(f"8 in 10 chances by {day}.", exact=False).first).to_be_visible()
    desk.page.get_by_text("How sure is that?").click()
    expect(desk.page.get_by_text("500 runs of the plan")).to_contain_text("common practice")
    expect(desk.page.get_by_text("good to 5 in 100 either way")).to_be_visible()
    look_at(desk.page, least_px=MOUSE_PX)
    look_at(phone.page)


def test_whoever_books_sees_the_chance_at_the_proposed_hour_and_at_their_own(
    demo: Server, open_desk: OpenDevice
) -> None:
    ana = open_desk("ana", origin=demo.origin, signed_in=ANA)
    page = ana.page
    ana.go(f"{Places.on(demo.origin).job}/book")

    expect(page.get_by_text(re.compile(r"^About \d in 10 chances that the site is ready"))).to_be_visible(
        timeout=CHANCE_WITHIN_MS
    )
    expect(page.get_by_text("The hour chosen here")).to_have_count(0)
    page.get_by_label("Day", exact=True).fill(datetime.now(ZoneInfo(ZONE)).date().isoformat())

    expect(page.get_by_text("The hour chosen here: Less than 1 in 10 chances")).to_be_visible(timeout=CHANCE_WITHIN_MS)
    look_at(page, least_px=MOUSE_PX)
