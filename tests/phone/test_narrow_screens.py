"""The narrowest phone and the largest text: tabs in one row, units whole, and the state of sync in sight."""

import pytest
from demo_seed.people import BEN
from deploy.screens import Places, settle, type_the_air
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import NARROWEST_PX, look_at
from tests.phone.phone import Phone
from tests.phone.server_process import Server

WIDTHS_PX = (NARROWEST_PX, 360, 375, 393, 412)  # of the phones of these years
LINES = """(selector) => [...document.querySelectorAll(selector)].map((one) => {
  const range = document.createRange();
  range.selectNodeContents(one);
  return new Set([...range.getClientRects()].map((box) => Math.round(box.top))).size;
})"""


@pytest.fixture
def ben(demo: Server, open_device: OpenDevice) -> Phone:
    phone = open_device("ben", origin=demo.origin, signed_in=BEN)
    phone.go(Places.on(demo.origin).job)
    settle(phone.page)
    look_at(phone.page)
    phone.page.set_viewport_size({"width": NARROWEST_PX, "height": 720})
    return phone


@pytest.mark.parametrize("mode", ["day", "sun"])
def test_the_five_places_of_a_job_stand_in_one_row(demo: Server, ben: Phone, mode: str) -> None:
    ben.go(f"{Places.on(demo.origin).job}/round")
    settle(ben.page)
    ben.page.evaluate("(mode) => { document.documentElement.dataset.mode = mode }", mode)

    tabs = ben.page.get_by_role("navigation", name="Parts of this job").get_by_role("link")

    assert tabs.count() == 5
    for width in WIDTHS_PX:
        ben.page.set_viewport_size({"width": width, "height": 720})
        boxes = [tab.bounding_box() for tab in tabs.all()]
        assert len({box["y"] for box in boxes if box}) == 1, f"{width} px"
        assert all(box and box["height"] >= 56 and box["width"] >= 44 for box in boxes), f"{width} px"


def test_a_unit_is_not_parted_where_there_is_no_room(demo: Server, ben: Phone) -> None:
    places = Places.on(demo.origin)
    ben.go(f"{places.job}/check/air_side?unit={places.units['L1-03']}")
    settle(ben.page)
    type_the_air(ben.page)
    ben.page.evaluate("() => { document.documentElement.style.fontSize = '200%' }")

    units = ben.page.locator(".figures .figure-unit")

    assert "Btu/h" in units.all_inner_texts()
    assert set(ben.page.evaluate(LINES, ".figures .figure-unit")) == {1}


def test_checks_say_whether_work_waits_to_be_sent(demo: Server, ben: Phone) -> None:
    places = Places.on(demo.origin)
    wait_until_offline_ready(ben)
    ben.lose_signal()

    for path in (f"supply/{places.units['M3']}", f"check/air_side?unit={places.units['L1-03']}"):
        ben.go(f"{places.job}/{path}")
        settle(ben.page)

        expect(ben.page.get_by_text("No signal. Everything is kept on this phone.")).to_be_in_viewport()
    ben.go(f"{places.job}/checks")
    ben.page.get_by_role("link", name="Standing vacuum").first.click()
    expect(ben.page.get_by_text("No signal. Everything is kept on this phone.")).to_be_in_viewport()
