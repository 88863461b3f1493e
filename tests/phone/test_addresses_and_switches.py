"""Addresses and port switches with no signal: a double is seen as it is typed, a box is set as shown."""

import re
from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places, settle
from playwright.sync_api import Page, expect

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


def test_an_address_given_twice_is_seen_and_mended_by_one_press(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    open_from_the_unit(page, tag="L2-10")

    for name, number in (("Group, lowest", "1"), ("Group, highest", "64")):
        page.get_by_label(name).fill(number)
    expect(page.get_by_role("heading", name="Pass: each address once")).to_be_visible()
    give_it_twice(ben, tag="L2-09", address="14")
    expect(page.get_by_role("heading", name="Fail: an address twice")).to_be_visible()
    look_at(page)
    look_at_large_text(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)
    page.get_by_role("button", name="L2-09: take group address 13").click()
    expect(page.get_by_role("heading", name="Pass: each address once")).to_be_visible()
    save(page)
    own_demo.start()
    ben.find_signal()

    view = ServerView(own_demo.origin, person=ANA)
    reading = arrived(view, calculation="addresses")
    assert (reading["verdict"], reading["differs"]) == ("pass", False)
    assert reading["inputs"]["group_range"] == [1, 64]
    assert step_of(view, unit="L2-10", code="addresses")["state"] == "done"
    assert step_of(view, unit="L2-11", code="addresses")["state"] == "todo"
    assert next(unit for unit in view.rows("unit") if unit["tag"] == "L2-09")["group_address"] == "13"


def test_a_box_is_set_as_shown_and_the_next_one_knows_its_boards(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    page.get_by_role("button", name="Port switches").first.click()
    page.get_by_role("dialog").get_by_role("link", name="Port switches, B1").click()

    expect(page.get_by_label("Ports of the box")).to_have_value("4")
    page.get_by_label("Positions on one board").fill("4")
    expect(page.get_by_role("heading", name="Board 1")).to_be_visible()
    page.get_by_role("checkbox", name="Set as shown").check()
    page.get_by_role("button", name="Save reading").click()
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    expect(page.get_by_role("heading", name="Port switches, B2")).to_be_visible()
    expect(page.get_by_label("Positions on one board")).to_have_value("4")
    expect(page.get_by_role("listitem").filter(has_text=re.compile("^Port 6"))).to_contain_text("switch out")
    expect(page.get_by_role("listitem").filter(has_text=re.compile("^Position 4"))).to_contain_text("absent")
    look_at(page)
    look_at_large_text(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)
    page.reload()
    page.get_by_role("button", name="Save reading").click()
    expect(page.get_by_role("heading", name="Port switches, B3")).to_be_visible()
    own_demo.start()
    ben.find_signal()

    view = ServerView(own_demo.origin, person=ANA)
    readings = view.wait_for("reading", lambda rows: len(switches(rows)) == 2)
    assert not any(reading["differs"] for reading in switches(readings))
    assert step_of(view, unit="B1", code="port_switches")["state"] == "done"
    assert step_of(view, unit="B2", code="port_switches")["state"] == "todo"


def test_what_is_typed_for_one_unit_stays_while_another_is_opened_or_one_system_is_looked_at(ben: Phone) -> None:
    page = ben.page
    open_from_the_unit(page, tag="L2-10")

    for tag, address in (("L2-08", "41"), ("K1-01", "42")):
        page.get_by_role("button", name=f"{tag} ").click()
        page.get_by_label(f"{tag}, group").fill(address)
    page.get_by_role("button", name="L1-01 ").click()
    page.get_by_role("button", name="L1-02 ").click()
    page.get_by_role("radio", name="System S1").check()

    expect(page.get_by_label("L2-08, group")).to_have_value("41")
    expect(page.get_by_label("K1-01, group")).to_have_value("42")
    expect(page.get_by_label("L1-01, group")).to_have_count(0)
    expect(page.get_by_role("button", name="K1-02 ")).to_have_count(0)
    look_at(page)
    ben.wait_for_drafts(lambda drafts: [draft["own"]["scope"] for draft in drafts] == ["system"])
    page.reload()
    expect(page.get_by_label("L2-08, group")).to_have_value("41")
    expect(page.get_by_label("K1-01, group")).to_have_value("42")
    for name, number in (("Group, lowest", "1"), ("Group, highest", "64")):
        page.get_by_label(name).fill(number)
    expect(page.get_by_role("button", name="Save reading")).to_contain_text("Keep or leave L2-08 first")
    for tag in ("L2-08", "K1-01", "L1-02"):
        edit = page.get_by_role("listitem").filter(has=page.get_by_label(f"{tag}, group"))
        edit.get_by_role("button", name="Leave as it was").click()
    expect(page.get_by_role("button", name="Save reading")).not_to_contain_text("Keep or leave")


def test_a_central_address_that_the_other_system_has_is_seen_in_the_look_at_one_system(ben: Phone) -> None:
    page = ben.page
    open_from_the_unit(page, tag="L2-10")
    page.get_by_role("radio", name="System S1").check()
    ranges = ("Group, lowest", "1"), ("Group, highest", "64"), ("Central, lowest", "1"), ("Central, highest", "64")
    for name, number in ranges:
        page.get_by_label(name).fill(number)
    expect(page.get_by_role("heading", name="Pass: each address once")).to_be_visible()

    page.get_by_role("button", name="L2-09 ").click()
    page.get_by_label("L2-09, central").fill("25")
    page.get_by_role("button", name="Keep for L2-09").click()

    expect(page.get_by_role("heading", name="Fail: an address twice")).to_be_visible()
    expect(page.get_by_text("The same central address 25: K1-01, L2-09.")).to_be_visible()
    look_at(page)
    page.get_by_role("button", name="L2-09: take central address 13").click()
    expect(page.get_by_role("heading", name="Pass: each address once")).to_be_visible()


def test_the_first_central_address_of_a_site_can_be_typed(own_demo: Server, open_device: OpenDevice) -> None:
    phone = open_device("ana", origin=own_demo.origin, signed_in=ANA)
    view = ServerView(own_demo.origin, person=ANA)
    job = next(row["id"] for row in view.rows("job") if row["name"].startswith("Made-up House"))
    tag = next(row["tag"] for row in view.rows("unit") if row["job_id"] == job and row["kind"] == "indoor_unit")
    phone.go(f"/job/{job}/check/addresses")
    page = phone.page

    page.get_by_role("button", name="Central addresses too").click()
    look_at(page)
    page.get_by_role("button", name=f"{tag} ").click()
    page.get_by_label(f"{tag}, central").fill("1")
    page.get_by_role("button", name=f"Keep for {tag}").click()

    expect(page.get_by_role("button", name=f"{tag} ")).to_contain_text("Central 1")


def test_a_mark_falls_away_when_the_boards_change_and_a_port_too_many_is_told_at_its_number(ben: Phone) -> None:
    page = ben.page
    page.get_by_role("button", name="Port switches").first.click()
    page.get_by_role("dialog").get_by_role("link", name="Port switches, B1").click()
    page.get_by_label("Positions on one board").fill("4")
    page.get_by_role("checkbox", name="Set as shown").check()

    page.get_by_label("Ports of the box").fill("6")

    expect(page.get_by_role("checkbox", name="Set as shown")).not_to_be_checked()
    expect(page.get_by_text("The boards changed after you set the mark")).to_be_visible()
    look_at(page)
    page.get_by_label("Ports of the box").fill("3")
    expect(page.get_by_label("Ports of the box")).to_have_accessible_description(re.compile("outside 1 to 3"))
    look_at(page)


def open_from_the_unit(page: Page, *, tag: str) -> None:
    page.get_by_role("link", name="Round").click()
    page.get_by_label("Find a tag or a room").fill(tag)
    page.get_by_role("link", name=tag).click()
    page.get_by_role("link", name="Addresses").click()
    expect(page.get_by_role("heading", name=f"Addresses, {tag}")).to_be_visible()
    expect(page.get_by_text("the step of L2-10 done")).to_be_visible()


def groups_in(drafts: list[Any]) -> list[str]:
    """The group address of each unit that is open, as it is typed so far."""
    return [edit["group"] for draft in drafts for edit in draft["own"]["edits"]]


def give_it_twice(ben: Phone, *, tag: str, address: str) -> None:
    """What is typed for a unit is a draft, and saving waits until it is kept or left."""
    page = ben.page
    page.get_by_role("button", name=f"{tag} ").click()
    page.get_by_label(f"{tag}, group").fill(address)
    look_at(page)
    ben.wait_for_drafts(lambda drafts: groups_in(drafts) == [address])
    page.reload()
    expect(page.get_by_label(f"{tag}, group")).to_have_value(address)
    expect(page.get_by_role("button", name="Save reading")).to_contain_text(f"Keep or leave {tag} first")
    page.get_by_role("button", name=f"Keep for {tag}").click()


def save(page: Page) -> None:
    page.get_by_role("button", name="Save reading").click()
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    look_at(page)


def switches(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [row for row in rows if row["calculation"] == "port_switches"]


def arrived(view: ServerView, *, calculation: str) -> dict[str, Any]:
    """The reading as the server has it."""

    def is_there(rows: list[dict[str, Any]]) -> bool:
        return any(row["calculation"] == calculation for row in rows)

    return next(row for row in view.wait_for("reading", is_there) if row["calculation"] == calculation)


def step_of(view: ServerView, *, unit: str, code: str) -> dict[str, Any]:
    ids = {row["id"] for row in view.rows("unit") if row["tag"] == unit}
    return next(row for row in view.rows("step") if row["code"] == code and row["unit_id"] in ids)
