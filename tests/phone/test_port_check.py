"""A port check with one thermometer and no signal: two pipes are swapped, and the phone dies in round 4."""

from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from demo_seed.voice import new_id
from deploy.screens import Places, settle
from playwright.sync_api import Page, expect
from playwright.sync_api import TimeoutError as TooLate

from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.holding import MISSED_MS
from tests.phone.looking import look_at, look_at_contrast, look_at_large_text
from tests.phone.phone import PATIENCE_MS, Phone
from tests.phone.port_rounds import SWAPPED, Site, begin, field, go_on, leave_round, plan, read_the_start
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

HARD_TO_REACH = "L3-08"


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    """At the clinic, with the list of checks on the screen; the server is down and the signal gone."""
    phone = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    phone.go(Places.on(own_demo.origin).job)
    settle(phone.page)
    wait_until_offline_ready(phone)
    own_demo.kill()
    phone.lose_signal()
    phone.page.get_by_role("link", name="Checks").click()
    return phone


def test_two_swapped_pipes_are_found_round_by_round_though_the_phone_dies(own_demo: Server, ben: Phone) -> None:
    site = plan_the_check(ben.page, swapped=SWAPPED)
    page = ben.page

    read_the_start(page, site)
    look_at(page)
    go_on(page, to="To round 1")
    for number in range(1, site.rounds + 1):
        site.run_round(site.on_in(number))
        # Behind a locked door in all rounds but the first: one reading cannot tell its port.
        tags = [tag for tag in site.codes if number == 1 or tag != HARD_TO_REACH]
        go_through(page, site, number=number, tags=tags)
        if number == 4:
            page = the_phone_dies(ben, site)
        leave_round(page, site, number=number)
    what_is_found(page)
    the_other_mode_is_asked_about(page)
    a_round_added_by_mistake_is_taken_back(page)
    saved_with_something_open_it_goes_on(page)
    one_more_round_tells_the_last_one(page, site)
    save(page)
    own_demo.start()
    ben.find_signal()

    the_server_agrees(ServerView(own_demo.origin, person=ANA), verdict="fail", state="failed", saved=2)


def test_a_sound_system_passes_with_differences_typed_in_heating(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    site = plan_the_check(page, swapped={}, choices=("Heating", "Return to supply"))
    for number in range(1, site.rounds + 1):
        site.run_round(site.on_in(number))
        page.get_by_role("button", name="All switched: start the clock").click()
        if number == 1:
            the_other_sign_is_asked_about(page, min(site.on_in(1)))
        for tag in site.codes:
            field(page, tag).fill(site.warmer_f(tag))
        leave_round(page, site, number=number)

    expect(page.get_by_role("heading", name="Pass: each on its own port")).to_be_visible()
    save(page)
    own_demo.start()
    ben.find_signal()

    the_server_agrees(ServerView(own_demo.origin, person=ANA), verdict="pass", state="done", saved=1)


def test_more_units_than_one_check_can_tell_apart_are_said_to_be_too_many(
    server: Server, open_device: OpenDevice
) -> None:
    job = a_job_with_ports(ServerView(server.origin, person=ANA), units=65)
    phone = open_device("ana", origin=server.origin)
    sign_in(phone, person=ANA)
    phone.go(f"/job/{job}/check/port_check_read")

    page = phone.page
    expect(page.get_by_text("Units on ports in one check must be from 2 units to 64 units.")).to_be_visible()
    expect(page.get_by_role("button", name="Begin the check")).to_contain_text("There are no rounds for so many")
    look_at(page)


def a_job_with_ports(view: ServerView, *, units: int) -> str:
    """As many units on the ports of three boxes."""
    job, system, *boxes = (new_id(datetime.now(UTC)) for _ in range(5))
    of_system = {"system_id": system, "floor": "1", "floor_order": 1}
    indoor = [
        {
            "id": new_id(datetime.now(UTC)),
            "kind": "indoor_unit",
            "tag": f"U{at + 1}",
            "parent_id": boxes[at // 32],
            "port": at % 32 + 1,
        }
        for at in range(units)
    ]
    hanging = [{"id": box, "kind": "branch_box", "tag": f"B{at + 1}", "port_count": 32} for at, box in enumerate(boxes)]
    system_row = {"id": system, "tag": "S1", "kind": "heat_recovery", "refrigerant": "R-410A", "nominal_v": 460}
    return view.say(
        "job.create",
        job=job,
        entity=job,
        name="Invented Hall",
        address="1 Invented Street",
        contractor_firm="Invented Pipes",
        time_zone="Europe/Berlin",
        shift_start="07:00",
        shift_end="15:30",
        shift_days=[1, 2, 3, 4, 5],
        invented=True,
        systems=[system_row],
        units=[{**of_system, **unit} for unit in [*hanging, *indoor]],
    )


def plan_the_check(page: Page, *, swapped: dict[str, str], choices: tuple[str, ...] = ()) -> Site:
    page.get_by_role("link", name="Port check").click()
    expect(page.get_by_text("The maker's own port check comes first")).to_be_visible()
    plan(page, choices=choices)
    look_at(page)
    look_at_large_text(page)
    return begin(page, swapped=swapped)


def go_through(page: Page, site: Site, *, number: int, tags: list[str]) -> None:
    expect(page.get_by_role("heading", name=f"Round {number} of {site.rounds}")).to_be_visible()
    before = site.on_in(number - 1) if number > 1 else set()
    changing = sorted(before ^ site.on_in(number))
    rows = page.get_by_role("button", pressed=False).filter(has_text="Switch o")
    expect(rows).to_have_count(len(changing))
    first = page.get_by_role("button", name=changing[0])
    first.click()
    expect(first).to_have_attribute("aria-pressed", "true")
    page.get_by_role("button", name="All switched: start the clock").click()
    expect(page.get_by_role("timer")).to_contain_text("wait, then read at each unit")
    for tag in tags:
        field(page, tag).fill(site.supply_f(tag))
    if number == 2:
        look_at(page)
        look_at_large_text(page)


def wait_until_kept(ben: Phone, *, readings: int, number: int) -> None:
    name = f"supply[{number - 1}]."

    def are_kept(drafts: list[Any]) -> bool:
        return sum(field.startswith(name) for draft in drafts for field in draft.get("typed", ())) == readings

    ben.wait_for_drafts(are_kept)


def the_phone_dies(ben: Phone, site: Site) -> Page:
    """In the middle of round 4: what was typed, what was switched and the clock are still there."""
    wait_until_kept(ben, readings=len(site.codes) - 1, number=4)
    ben.wait_until_the_sign_in_is_on_disk()
    ben.kill()
    ben.open()
    ben.lose_signal()
    ben.go("/")
    page = ben.page
    page.get_by_role("link", name="Tern Lane Clinic").first.click()
    page.get_by_role("link", name="Checks").click()
    expect(page.get_by_role("heading", name="Ports", exact=True)).to_be_visible()
    row = page.get_by_role("listitem").filter(has_text="Port check")
    expect(row).to_contain_text("Running for")
    row.get_by_role("link").click()
    expect(page.get_by_role("heading", name=f"Round 4 of {site.rounds}")).to_be_visible()
    expect(page.get_by_role("timer")).to_be_visible()
    page.get_by_text("1. Switch: 1 of").click()
    expect(page.get_by_role("button", pressed=True)).to_have_count(1)
    expect(field(page, "L3-07")).to_have_value(site.supply_f("L3-07"))
    return page


def what_is_found(page: Page) -> None:
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
    expect(page.get_by_text("L2-03 hangs on the port of L2-04 and the other way round.")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text="L2-03on the port of L2-04, sure")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text=f"{HARD_TO_REACH}on")).to_contain_text("not sure")
    expect(page.get_by_text("One more round tells more")).to_be_visible()
    look_at(page)
    look_at_large_text(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)


def the_other_sign_is_asked_about(page: Page, tag: str) -> None:
    """In heating the supply is warmer: minus is said to mean colder, where it is typed."""
    expect(page.get_by_text("by how much the supply is warmer. Minus where it is colder.")).to_be_visible()
    field(page, tag).fill("-16")
    asked = page.get_by_text(f"{tag}: minus means that the supply is colder than the return. Is that so?")
    expect(asked).to_be_visible()
    look_at(page)
    field(page, tag).fill("16")
    expect(asked).to_have_count(0)


def the_other_mode_is_asked_about(page: Page) -> None:
    """Picked wrong, and mended, with all readings kept."""
    page.get_by_text("How it is judged", exact=True).click()
    page.get_by_role("radio", name="Heating").check()
    expect(page.get_by_text("Most units got colder though heating is picked.")).to_be_visible()
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_have_count(0)
    look_at(page)
    page.get_by_role("radio", name="Cooling").check()
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
    expect(page.get_by_text("Most units got")).to_have_count(0)


def a_round_added_by_mistake_is_taken_back(page: Page) -> None:
    page.get_by_role("button", name="Yes, all off: do it now").click()
    expect(page.get_by_text("Added after a pause with all off.")).to_be_visible()
    expect(page.get_by_text(f"Read at least: {HARD_TO_REACH}.")).to_be_visible()
    page.get_by_role("button", name="All switched: start the clock").click()
    field(page, HARD_TO_REACH).fill("70")
    look_at(page)
    page.get_by_role("button", name="Take this round back").click()
    expect(page.get_by_role("dialog")).to_contain_text("What was read in it goes too.")
    page.get_by_role("dialog").get_by_role("button", name="Take this round back").click()
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
    expect(page.get_by_role("listitem").filter(has_text=f"{HARD_TO_REACH}on")).to_contain_text("not sure")


def saved_with_something_open_it_goes_on(page: Page) -> None:
    """The record itself says how to go on, so that nothing depends on this screen staying open."""
    save(page)
    expect(page.get_by_role("button", name="Go on with one more round")).to_be_visible()
    page.get_by_role("link", name="Done").click()
    page.get_by_role("link", name="Port check").click()
    expect(page.get_by_text("The last check here was saved with something open.")).to_be_visible()
    look_at(page)
    page.get_by_role("button", name="Go on with one more round").click()
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
    page.get_by_role("button", name="Round 4").click()
    expect(field(page, "L3-07")).not_to_have_value("")
    page.get_by_role("button", name="Result", exact=True).click()


def one_more_round_tells_the_last_one(page: Page, site: Site) -> None:
    """Rounds are added until the door has been open often enough.

    What was found stands there until more is worked out: the button may go while it is pressed, as no more is needed.
    """
    add = page.get_by_role("button", name="No, they run as in it: do it now")
    sure = page.get_by_role("listitem").filter(has_text=f"{HARD_TO_REACH}on its own port, sure")
    for _ in range(5):
        expect(add.or_(sure).first).to_be_visible(timeout=PATIENCE_MS)
        if sure.count():
            break
        with suppress(TooLate):
            add.click(timeout=MISSED_MS)
        expect(page.get_by_role("button", name="All switched: start the clock").or_(sure).first).to_be_visible()
        if sure.count():
            break
        site.run_round(now_on(page))
        page.get_by_role("button", name="All switched: start the clock").click()
        field(page, HARD_TO_REACH).fill(site.supply_f(HARD_TO_REACH))
        go_on(page, to="To the result")
        expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
    expect(sure).to_be_visible()


def now_on(page: Page) -> set[str]:
    """What the screen says is to run in this round: switched on now, or staying on."""
    page.get_by_text("stay as they are").or_(page.get_by_text("One unit stays as it is")).first.click()
    switched = page.get_by_role("button").filter(has_text="Switch on").locator(".unit-row-tag").all_inner_texts()
    stays = page.get_by_role("listitem").filter(has_text="stays on").locator("b").all_inner_texts()
    return {*switched, *stays}


def save(page: Page) -> None:
    page.get_by_role("button", name="Save reading").click()
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    look_at(page)


def the_server_agrees(view: ServerView, *, verdict: str, state: str, saved: int) -> None:
    def of_the_check(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [row for row in rows if row["calculation"] == "port_check_read"]

    rows = of_the_check(view.wait_for("reading", lambda rows: len(of_the_check(rows)) == saved))
    replaced = {row["replaces_id"] for row in rows}
    [reading] = [row for row in rows if row["id"] not in replaced]
    assert reading["verdict"] == verdict
    assert not any(row["differs"] for row in rows)
    assert "L3-07" in {row["unit"] for row in reading["inputs"]["codes"]}
    assert not reading["differs"], reading["server_outputs"]
    assert len(reading["inputs"]["codes"]) == 24
    assert any(entry["unit"] == "°F" for entry in reading["entered"].values())
    [step] = [row for row in view.rows("step") if row["id"] == reading["step_id"]]
    assert (step["code"], step["state"]) == ("port_check", state)
