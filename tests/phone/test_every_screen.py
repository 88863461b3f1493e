"""Every screen of the demo in day, dark and sun mode: axe, targets, and 320 pixels wide."""

import json

from demo_seed.people import ANA, BEN
from deploy.screens import Places, Shot, contractor_shots, desk_shots, settle, technician_shots
from playwright.sync_api import Locator, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in
from tests.phone.looking import GLOVE_PX, MOUSE_PX, look_at, look_at_contrast
from tests.phone.phone import Phone
from tests.phone.server_process import Server


def _look_at_each(phone: Phone, *, shots: list[Shot], least_px: int) -> None:
    for shot in shots:
        phone.turn_to(shot.path)
        settle(phone.page)
        shot.then(phone.page)
        look_at(phone.page, least_px=least_px)
        for mode in ("dark", "sun"):
            look_at_contrast(phone.page, mode=mode)


def test_the_technicians_screens_can_be_read_and_pressed_by_anyone(demo: Server, open_device: OpenDevice) -> None:
    ben = open_device("ben", origin=demo.origin, has_app=True)
    ben.go("/sign-in")
    _look_at_each(ben, shots=[Shot("sign-in", "/sign-in")], least_px=GLOVE_PX)

    sign_in(ben, person=BEN)
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()

    _look_at_each(ben, shots=technician_shots(Places.on(demo.origin)), least_px=GLOVE_PX)


def test_the_contractors_screens_can_be_read_and_pressed_by_anyone(demo: Server, open_device: OpenDevice) -> None:
    kim = open_device("kim", origin=demo.origin, has_app=True)
    secret = json.loads((demo.data / "demo.json").read_text())["link_secret"]

    kim.go(f"/answer#{secret}")
    expect(kim.page.get_by_role("heading", name="Before the return")).to_be_visible()

    _look_at_each(kim, shots=contractor_shots(Places.on(demo.origin)), least_px=GLOVE_PX)


def test_the_dispatchers_screens_can_be_read_and_pressed_by_anyone(demo: Server, open_desk: OpenDevice) -> None:
    ana = open_desk("ana", origin=demo.origin, signed_in=ANA)
    ana.go("/")
    expect(ana.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    _is_one_line(ana.page.get_by_role("searchbox"), ana.page.get_by_role("link", name="New job"))

    _look_at_each(ana, shots=desk_shots(Places.on(demo.origin)), least_px=MOUSE_PX)


def _is_one_line(first: Locator, last: Locator) -> None:
    """At the width of a desk the head of the board leaves the room to the board."""
    tops = [place["y"] for place in (first.bounding_box(), last.bounding_box()) if place]
    assert len(set(tops)) == 1, tops
