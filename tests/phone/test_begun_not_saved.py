"""Half of an issue or of an answer, left behind: every start says so, until it is saved or emptied."""

import json
from functools import partial
from typing import Any

from demo_seed.people import BEN
from deploy.screens import Places
from playwright.sync_api import Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.looking import look_at
from tests.phone.phone import Phone
from tests.phone.server_process import Server
from tests.phone.the_visit import take_photo

BEGUN = "Begun, not saved"
ONE_IS_BEGUN = "1 issue or answer is begun and not saved."
WORDS = "oil at the flare"


def test_a_half_written_issue_is_told_at_the_start_at_its_unit_and_before_one_leaves(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    page, places = ben.page, Places.on(own_demo.origin)
    ben.go(f"{places.job}/log?unit={places.units['L2-11']}")
    page.get_by_label("In your words").fill(WORDS)
    _turn_back_from_the_gallery(ben)
    take_photo(page)
    ben.wait_for_drafts(partial(_are_kept, photos=1))

    ben.go("/")
    expect(page.get_by_role("heading", name=BEGUN)).to_be_visible()
    expect(page.get_by_role("link", name="Issue at L2-11")).to_contain_text("1 photo")
    look_at(page)
    ben.go(f"{places.job}/leave")
    page.get_by_role("button", name="Close visit").tap()
    expect(page.get_by_role("dialog")).to_contain_text(ONE_IS_BEGUN)
    look_at(page)
    ben.go("/you")
    page.get_by_role("button", name="Sign out").tap()
    expect(page.get_by_role("dialog")).to_contain_text(ONE_IS_BEGUN)
    expect(page.get_by_role("dialog")).not_to_contain_text("Everything is sent")
    look_at(page)
    ben.go(f"{places.job}/unit/{places.units['L2-11']}")
    look_at(page)
    page.get_by_role("link", name="Issue at L2-11").tap()

    expect(page.get_by_label("In your words")).to_have_value(WORDS)
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_role("button", name="Save issue").tap()
    expect(page.get_by_role("heading", name="Issue saved")).to_be_visible()
    ben.go("/")
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    expect(page.get_by_role("heading", name=BEGUN)).to_have_count(0)


def test_a_link_that_is_tapped_again_after_the_camera_leads_to_the_issue_and_later_starts_tell_of_it(
    own_demo: Server, open_device: OpenDevice
) -> None:
    kim = open_device("kim", origin=own_demo.origin, has_app=True)
    page = kim.page
    secret = json.loads((own_demo.data / "demo.json").read_text())["link_secret"]
    kim.go(f"/answer#{secret}")
    page.get_by_role("link", name="Flare").first.click()
    page.get_by_role("textbox", name="Words").fill(WORDS)
    kim.wait_for_drafts(partial(_are_kept, photos=0))
    _end_behind_the_gallery(page)

    kim.go(f"/answer#{secret}")
    expect(page.get_by_role("heading", name="Your answer")).to_be_visible()
    expect(page.get_by_text("The phone closed the app while the camera was open.")).to_be_visible()
    expect(page.get_by_role("textbox", name="Words")).to_have_value(WORDS)
    kim.wait_for_rows("intents", lambda rows: rows == [])
    page.goto("about:blank")
    kim.go(f"/answer#{secret}")

    expect(page.get_by_role("heading", name=BEGUN)).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="On issue").click()
    expect(page.get_by_role("textbox", name="Words")).to_have_value(WORDS)


def _are_kept(drafts: list[Any], *, photos: int) -> bool:
    is_typed = any(draft.get("words") == WORDS for draft in drafts)
    return is_typed and sum(len(draft.get("photos", ())) for draft in drafts) == photos


def _turn_back_from_the_gallery(phone: Phone) -> None:
    """Then nothing is there to come back to."""
    page = phone.page
    with page.expect_file_chooser():
        page.get_by_role("button", name="Gallery").click()
    phone.wait_for_rows("intents", lambda rows: len(rows) == 1)
    page.locator("input[type=file]").last.dispatch_event("cancel")
    phone.wait_for_rows("intents", lambda rows: rows == [])


def _end_behind_the_gallery(page: Page) -> None:
    with page.expect_file_chooser():
        page.get_by_role("button", name="Gallery").click()
    page.goto("about:blank")
