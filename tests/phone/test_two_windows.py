"""One half-written entry that is open in two windows of a phone: neither window takes anything from the other."""

from demo_seed.people import BEN
from deploy.screens import Places
from playwright.sync_api import Locator, Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.looking import look_at
from tests.phone.phone import Phone
from tests.phone.photos import camera_photo
from tests.phone.server_process import Server
from tests.phone.the_visit import take_photo

WORDS = "oil at the flare"


def test_an_issue_that_is_open_in_two_windows_keeps_the_words_of_one_and_the_photos_of_both(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    one, other = _in_two_windows(ben, unit="L2-11", server=own_demo)
    _type(one)
    take_photo(one, content=camera_photo())

    take_photo(other, content=camera_photo())
    other.get_by_role("radio", name="Drain").tap()
    one.reload()

    expect(_photos(one)).to_have_count(2)
    expect(one.get_by_label("In your words")).to_have_value(WORDS)
    expect(one.get_by_role("radio", name="Drain")).to_be_checked()
    look_at(one)


def test_an_issue_that_was_saved_in_one_window_is_not_begun_once_more_in_the_other(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    one, other = _in_two_windows(ben, unit="L2-12", server=own_demo)
    _type(one)
    take_photo(one, content=camera_photo())
    expect(_photos(other)).to_have_count(1)

    one.get_by_role("radio", name="Drain").tap()
    one.get_by_role("button", name="Save issue").tap()
    expect(one.get_by_role("heading", name="Issue saved")).to_be_visible()

    expect(_photos(other)).to_have_count(0)
    expect(other.get_by_label("In your words")).to_have_value("")
    other.get_by_role("radio", name="No power").tap()
    one.goto(other.url)
    expect(one.get_by_role("radio", name="No power")).to_be_checked()
    expect(one.get_by_label("In your words")).to_have_value("")
    expect(_photos(one)).to_have_count(0)
    look_at(one)


def _in_two_windows(ben: Phone, *, unit: str, server: Server) -> tuple[Page, Page]:
    places = Places.on(server.origin)
    other = ben.context.new_page()
    for window in (ben.page, other):
        window.goto(f"{server.origin}{places.job}/log?unit={places.units[unit]}")
        expect(window.get_by_role("heading", name=f"Issue at {unit}")).to_be_visible()
    return ben.page, other


def _type(window: Page) -> None:
    window.get_by_label("In your words").fill(WORDS)


def _photos(window: Page) -> Locator:
    return window.get_by_role("button", name="Remove photo")
