"""The count is short and there is no signal: the walk finds the units, and a second count settles the step."""

from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places, settle
from playwright.sync_api import Locator, Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at, look_at_contrast, look_at_large_text
from tests.phone.phone import Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    """At the clinic, with the line of steps on the screen; the server is down and the signal gone."""
    phone = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    phone.go(Places.on(own_demo.origin).job)
    settle(phone.page)
    wait_until_offline_ready(phone)
    own_demo.kill()
    phone.lose_signal()
    return phone


def test_a_short_count_is_walked_mended_and_counted_again(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    places = open_the_count(page)

    page.get_by_label("Units that answer").fill("22")
    page.get_by_role("radio", name="Which").check()
    page.get_by_role("button", name="B1-3 answers").click()
    expect(page.get_by_role("heading", name="Fail: units are missing")).to_be_visible()
    expect(suspects(page).first).to_contain_text("L1-03")
    expect(suspects(page).first).to_contain_text("its port does not answer")
    expect(page.get_by_role("status").filter(has_text="Next: L1-03")).to_be_visible()
    walk_the_round(page)
    log_it_in_one_press(page)
    page.goto(places)
    still_there_and_found(page)
    save(page)
    page.get_by_role("button", name="Take another").click()
    count_again(page)
    save(page)
    own_demo.start()
    ben.find_signal()

    the_server_agrees(ServerView(own_demo.origin, person=ANA))


def open_the_count(page: Page) -> str:
    """From the step of the line, as one gets there at work."""
    page.get_by_role("button", name="Count units and ports").first.click()
    page.get_by_role("dialog").get_by_role("link", name="Count units and ports").click()
    expect(page.get_by_text("24 indoor units on the sheet")).to_be_visible()
    look_at(page)
    return page.url


def suspects(page: Page, *, under: str = "Look here first") -> Locator:
    heading = page.get_by_role("heading", name=under, exact=True)
    return page.locator("section").filter(has=heading).last.locator(".suspect")


def found(page: Page) -> Locator:
    return suspects(page, under="Known not to answer")


def walk_the_round(page: Page) -> None:
    """A unit that runs is no suspect any more; one that stands still makes room for the next to look at."""
    for tag in ("L1-01", "L1-02", "L1-04"):
        page.get_by_role("button", name=f"{tag}: Running").click()
    page.get_by_role("button", name="L2-10: Not running").click()
    expect(suspects(page).first).to_contain_text("L1-03")
    expect(found(page)).to_have_count(1)
    expect(found(page)).to_contain_text("L2-10")
    expect(found(page)).to_contain_text("fan stands still")
    expect(page.get_by_text("Found so far: L2-10. Still to find: 1.")).to_be_visible()
    expect(page.get_by_text("4 of 24 looked at")).to_be_visible()
    look_at(page)
    look_at_large_text(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)


def log_it_in_one_press(page: Page) -> None:
    page.get_by_role("button", name="L2-10: Log: no power").click()
    expect(page.get_by_role("heading", name="Issue at L2-10")).to_be_visible()
    expect(page.get_by_text("No power", exact=True).first).to_be_visible()
    page.get_by_label("In your words").fill("Fan does not move")
    page.get_by_role("button", name="Save issue").click()
    expect(page.get_by_role("heading", name="Issue saved")).to_be_visible()


def still_there_and_found(page: Page) -> None:
    """What was pressed before the issue is still pressed; the issue itself now speaks against the unit."""
    expect(page.get_by_role("button", name="L2-10: Not running")).to_have_attribute("aria-pressed", "true")
    expect(found(page)).to_contain_text("no power seen")
    expect(found(page)).to_contain_text("Logged on this phone")
    page.get_by_role("button", name="L1-03: Not running").click()
    expect(page.get_by_text("All that are missing are found: L1-03, L2-10.")).to_be_visible()
    expect(page.get_by_text("Count again at the outdoor module.")).to_be_visible()


def count_again(page: Page) -> None:
    """All answer, yet the issue says that one has no power: somebody looks, and it runs."""
    page.get_by_label("Units that answer").fill("24")
    expect(page.get_by_role("heading", name="Unclear: right number, but not as on the sheet")).to_be_visible()
    page.get_by_role("button", name="L2-10: Running").click()
    expect(page.get_by_role("heading", name="Pass: all answer")).to_be_visible()


def save(page: Page) -> None:
    page.get_by_role("button", name="Save reading").click()
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    look_at(page)


def the_server_agrees(view: ServerView) -> None:
    def of_the_count(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [row for row in rows if row["calculation"] == "unit_count"]

    readings = of_the_count(view.wait_for("reading", lambda rows: len(of_the_count(rows)) == 2))
    assert not any(reading["differs"] for reading in readings)
    first = next(reading for reading in readings if reading["replaces_id"] is None)
    second = next(reading for reading in readings if reading["replaces_id"] == first["id"])
    assert (first["verdict"], second["verdict"]) == ("fail", "pass")
    assert {"unit": "L2-10", "running": False} in first["inputs"]["fan_seen"]
    assert first["entered"]["reported_units"]["text"] == "22"
    [step] = [row for row in view.rows("step") if row["id"] == second["step_id"]]
    assert (step["code"], step["state"]) == ("count", "done")
