"""Failure case 9 of sync: page, then whole browser, killed within 50 ms of "Saved", and with the camera open."""

import os
import time
from collections import Counter
from contextlib import suppress
from typing import Any

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Error, Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.killing import browser_of, end_at_once, page_of
from tests.phone.looking import look_at
from tests.phone.phone import CAMERA_PHONE, COARSE_PHONE, NEWS_WITHIN_MS, Phone
from tests.phone.saving import save_issue, wait_for_saved
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

# `deploy/test --faults` asks for all of them; a kill takes some six seconds.
IS_FULL = os.environ.get("FLARENUT_FAULTS") == "full"
BROWSER_KILLS, PAGE_KILLS = (100, 20) if IS_FULL else (2, 1)
TRIES = 5
DELAYS_S = [tenth * 0.005 for tenth in range(11)]  # after "Saved": 0 to 50 ms
PHOTO_AT_EACH = 5 if IS_FULL else 2
UNIT = "L2-03"
# A killed browser leaves what it has written with the system, which writes it down by and by; a phone whose battery
# is pulled out does not. So it is asked of each transaction whether the disk had it before it was called complete.
NOTE_DURABILITY = """() => {
  const begin = IDBDatabase.prototype.transaction;
  window.durabilities = {};
  IDBDatabase.prototype.transaction = function (...asked) {
    const begun = begin.apply(this, asked);
    if (begun.mode === "readwrite") {
      for (const name of begun.objectStoreNames) {
        (window.durabilities[name] ??= []).push(begun.durability);
      }
    }
    return begun;
  };
}"""
WRITTEN_AT_A_SAVE = ("outbox", "overlay", "drafts", "uploads", "photos_full", "thumbs")


def test_case_09_the_whole_browser_is_killed_within_50_ms_of_saved_again_and_again_and_nothing_is_lost(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=COARSE_PHONE, signed_in=BEN)
    saved: list[str] = []
    where = _go_to_the_unit(ben, server=own_demo)
    look_at(ben.page)

    for number in range(1, BROWSER_KILLS + 1):
        saved.append(_write_one(ben.page, where=where, number=number))
        pids = browser_of(ben.profile)
        wait_for_saved(ben.page)
        time.sleep(DELAYS_S[number % len(DELAYS_S)])
        end_at_once(pids)
        _open_again(ben)
        _all_are_there(ben.page, where=where, saved=saved)
    look_at(ben.page)
    ben.find_signal()

    _the_server_has_each_once(own_demo, saved=saved)
    ben.go("/")
    expect(ben.page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=NEWS_WITHIN_MS)


def test_case_09_the_page_is_killed_within_50_ms_of_saved_again_and_again_and_nothing_is_lost(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=COARSE_PHONE, signed_in=BEN)
    page = ben.page
    saved: list[str] = []
    where = _go_to_the_unit(ben, server=own_demo)
    look_at(page)

    for number in range(1, PAGE_KILLS + 1):
        saved.append(_write_one(page, where=where, number=number))
        pids = page_of(ben.profile)
        assert pids
        wait_for_saved(page)
        time.sleep(DELAYS_S[number % len(DELAYS_S)])
        with page.expect_event("crash"):
            end_at_once(pids)
        page = _another_page(ben, instead_of=page)
        _all_are_there(page, where=where, saved=saved)
    look_at(page)
    ben.find_signal()

    _the_server_has_each_once(own_demo, saved=saved)


def test_case_09_the_browser_is_killed_with_the_camera_open_and_comes_back_to_what_was_typed(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    where = _go_to_the_unit(ben, server=own_demo)
    ben.page.goto(where)
    ben.page.get_by_role("radio", name="Drain").tap()
    ben.page.get_by_label("In your words").fill("Drips onto the desk")
    ben.wait_for_drafts(lambda drafts: any(draft.get("words") == "Drips onto the desk" for draft in drafts))
    ben.page.get_by_role("button", name="Take a photo").tap()
    camera = ben.page.get_by_role("dialog", name="Camera")
    expect(camera.get_by_role("button", name="Take the photo")).to_have_attribute("aria-disabled", "false")
    camera.get_by_role("button", name="Take the photo").tap()
    expect(camera.get_by_text("1 photo", exact=True)).to_be_visible()

    end_at_once(browser_of(ben.profile))
    _open_again(ben)
    ben.go("/")

    page = ben.page
    expect(page.get_by_text("The phone closed the app while the camera was open.")).to_be_visible()
    expect(page.get_by_label("In your words")).to_have_value("Drips onto the desk")
    expect(page.get_by_role("radio", name="Drain")).to_be_checked()
    expect(page.get_by_role("button", name="Remove photo 1")).to_be_visible()
    look_at(page)
    save_issue(page)
    ben.find_signal()
    _the_server_has_each_once(own_demo, saved=["Drips onto the desk"])


def test_case_09_what_is_saved_is_on_the_disk_before_it_is_called_saved(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=COARSE_PHONE, signed_in=BEN)
    where = _go_to_the_unit(ben, server=own_demo)
    look_at(ben.page)

    ben.page.add_init_script(f"({NOTE_DURABILITY})()")
    _write_one(ben.page, where=where, number=PHOTO_AT_EACH)
    wait_for_saved(ben.page)

    noted = ben.page.evaluate("window.durabilities")
    assert {name: set(noted.get(name, [])) for name in WRITTEN_AT_A_SAVE} == {
        name: {"strict"} for name in WRITTEN_AT_A_SAVE
    }


def _go_to_the_unit(ben: Phone, *, server: Server) -> str:
    """Ben, signed in since yesterday, has no signal; gives the address where an issue is logged at the unit."""
    places = Places.on(server.origin)
    ben.go("/")
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    ben.lose_signal()
    return f"{ben.origin}{places.job}/log?unit={places.units[UNIT]}"


def _write_one(page: Page, *, where: str, number: int) -> str:
    """Everything up to the word of the phone that it is saved."""
    words = f"Drips, place {number:03}"
    page.goto(where)
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_label("In your words").fill(words)
    if number % PHOTO_AT_EACH == 0:
        take_photo(page)
    page.get_by_role("button", name="Save issue").tap()
    return words


def _open_again(ben: Phone) -> None:
    ben.kill()  # what is left of it, if anything
    ben.open()
    ben.lose_signal()


def _another_page(ben: Phone, *, instead_of: Page) -> Page:
    """Chromium may hand it a process that it held ready and that was ended with the other."""
    for _again in range(TRIES - 1):
        with suppress(Error):
            return _opened(ben, instead_of=instead_of)
    return _opened(ben, instead_of=instead_of)


def _opened(ben: Phone, *, instead_of: Page) -> Page:
    page = ben.context.new_page()
    with suppress(Error):
        instead_of.close()
    return page


def _all_are_there(page: Page, *, where: str, saved: list[str]) -> None:
    """In the list of issues, each once."""
    page.goto(where.partition("/log")[0] + "/issues")
    expect(page.get_by_role("link", name=saved[-1])).to_be_visible()
    shown = page.locator("main").inner_text()
    assert [words for words in saved if shown.count(words) != 1] == []


def _the_server_has_each_once(server: Server, *, saved: list[str]) -> None:
    view = ServerView(server.origin, person=ANA)
    issues = view.wait_for("issue", lambda rows: set(saved) <= {row["words"] for row in rows})
    times = Counter(row["words"] for row in issues)
    assert {words: times[words] for words in saved} == dict.fromkeys(saved, 1)
    ids = {row["id"] for row in issues if row["words"] in saved and _has_photo(row["words"])}
    photos = view.wait_for("photo", lambda rows: {row["issue_id"] for row in rows if _is_stored(row)} >= ids)
    assert sorted(row["issue_id"] for row in photos if row["issue_id"] in ids) == sorted(ids)


def _is_stored(photo: dict[str, Any]) -> bool:
    return bool(photo["state"] == "stored")


def _has_photo(words: str) -> bool:
    number = words.rpartition(" ")[2]
    return not number.isdigit() or int(number) % PHOTO_AT_EACH == 0
