"""Holds that run by the clock: begun with no signal, kept through a dead phone, finished a day later."""

import json
import re
from datetime import UTC, datetime, timedelta
from typing import Any

from demo_seed.people import ANA, BEN
from playwright.sync_api import expect

from flarenut.trade import entry
from tests.phone import holding
from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.holding import CLINIC
from tests.phone.looking import look_at, look_at_contrast, look_at_large_text
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

BEGUN = datetime.now(UTC).replace(minute=0, second=0, microsecond=0) - timedelta(hours=26)
DAY = timedelta(hours=24)
# The readings on Ben's paper: minutes after the pump was shut off, and micron.
PAPER = ((10, "294"), (20, "291"), (30, "295"), (45, "292"), (60, "294"))


def test_two_holds_begun_offline_outlive_the_phone_and_are_settled_a_day_later(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = at_the_list(open_device, own_demo)
    wait_until_offline_ready(ben)
    ben.lose_signal()
    holding.set_clock(ben, at=BEGUN)

    begin_both(ben)
    the_phone_dies_and_a_day_passes(ben)
    the_line_says_what_runs(ben)
    the_pressure_hold_is_settled(ben)
    the_vacuum_is_read_off_the_paper(ben)
    ben.find_signal()

    the_server_agrees(ServerView(own_demo.origin, person=BEN))


def test_a_hold_is_finished_on_another_phone_and_a_slip_of_the_finger_is_corrected(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben, other = at_the_list(open_device, own_demo), open_device("ben_other", origin=own_demo.origin, has_app=True)
    sign_in(other, person=BEN)
    expect(other.page.get_by_role("link", name=CLINIC).first).to_be_visible()
    view = ServerView(own_demo.origin, person=BEN)
    holding.set_clock(ben, at=BEGUN)
    begin_the_pressure_hold(ben)
    view.wait_for("reading", lambda rows: len(holds(rows)) == 1)

    holding.set_clock(other, at=BEGUN + DAY)
    open_check(other, name="Pressure hold", system="S1")
    expect(other.page.get_by_text("Unclear so far")).to_be_visible(timeout=NEWS_WITHIN_MS)
    holding.add_reading(other.page, {"Gauge pressure": "508.0", "Pipe temperature": "60"})
    expect(other.page.get_by_role("heading", name="Fail: it loses gas")).to_be_visible()
    view.wait_for("step", lambda _: state_of_the_hold(view) == "failed")

    holding.correct_last_reading(other.page, {"Gauge pressure": "538.0"})
    expect(other.page.get_by_role("heading", name="Pass: tight")).to_be_visible()
    look_at(other.page)
    view.wait_for("step", lambda _: state_of_the_hold(view) == "done")
    [first, slip, last] = chain(view)
    assert [slip["replaces_id"], last["replaces_id"]] == [first["id"], slip["id"]]


def test_earlier_holds_are_listed_with_their_verdict_and_open_whole(own_demo: Server, open_device: OpenDevice) -> None:
    ana = open_device("ana", origin=own_demo.origin, signed_in=ANA)
    view = ServerView(own_demo.origin, person=ANA)
    job = next(row["id"] for row in view.rows("job") if row["name"] == "Sample Quay Offices")
    page = ana.page

    for check, verdict in (("vacuum_stand", "Pass"), ("pressure_hold", "Pass: tight")):
        ana.go(f"/job/{job}/check/{check}")
        expect(page.get_by_role("heading", name=re.compile(f"^{verdict}"))).to_be_visible()
        expect(page.locator("canvas")).to_be_visible()
        expect(page.get_by_text("earlier hold")).to_have_count(0)
    page.get_by_role("link", name="Begin a new hold").click()
    page.get_by_text("One earlier hold here").click()
    look_at(page)
    page.get_by_role("link", name="Pass").click()

    expect(page.get_by_role("heading", level=1)).to_contain_text("Pressure hold")
    expect(page.get_by_text("Digital gauge G (invented)").first).to_be_visible()
    mine = [row for row in view.rows("reading") if row["job_id"] == job]
    assert [row["differs"] for row in mine] == [False] * 8
    steps = {row["code"]: row["state"] for row in view.rows("step") if row["job_id"] == job and not row["unit_id"]}
    assert (steps["pressure_hold"], steps["standing_vacuum"]) == ("done", "done")


def test_a_clock_that_was_set_back_is_said_and_the_time_is_asked_for(own_demo: Server, open_device: OpenDevice) -> None:
    ben = at_the_list(open_device, own_demo)
    holding.set_clock(ben, at=BEGUN + DAY)
    begin_the_pressure_hold(ben)

    holding.set_clock(ben, at=BEGUN)
    open_check(ben, name="Pressure hold", system="S1")
    told = ben.page.get_by_text("the clock was set back")
    holding.press_until(ben.page.get_by_role("link", name="Add a reading"), then=told)

    expect(told).to_be_visible()
    expect(ben.page.get_by_label("Day of the reading")).to_be_visible()
    look_at(ben.page)


def test_a_hold_that_was_ended_leaves_the_step_open_and_another_can_begin(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = at_the_list(open_device, own_demo)
    view = ServerView(own_demo.origin, person=BEN)
    begin_the_pressure_hold(ben)
    page = ben.page

    page.get_by_role("button", name="End this hold").click()
    page.get_by_label("Why does it end?").fill("The hose burst.")
    look_at(page)
    page.get_by_role("dialog").get_by_role("button", name="End this hold").click()
    expect(page.get_by_role("heading", name="Ended, not settled")).to_be_visible()
    expect(page.get_by_text("The hose burst.")).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Begin a new hold").click()
    holding.fill(page, {"Gauge pressure": "548", "Pipe temperature": "69"})
    holding.begin(page)

    expect(page.get_by_text("1 reading", exact=True)).to_be_visible()
    readings = holds(view.wait_for("reading", lambda rows: len(holds(rows)) == 3))
    assert sorted(reading["replaces_id"] is None for reading in readings) == [False, True, True]
    assert state_of_the_hold(view) != "done"


def test_the_limits_that_are_offered_for_a_vacuum_are_those_of_the_engine(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = at_the_list(open_device, own_demo)
    open_check(ben, name="Standing vacuum", system="S1")
    look_at(ben.page)

    shown = {name: limit_shown(ben, name=name) for name in ENGINE_LIMITS}

    assert shown == ENGINE_LIMITS


def limits_of_the_engine() -> dict[str, tuple[float, float]]:
    """By name: the limit, and how long it is to stand."""
    answer = json.loads(entry.compute("vacuum_limits", "{}"))
    return {row["name"]: (round(row["limit_pa"], 3), row["hold_s"]) for row in answer["result"]["limits"]}


ENGINE_LIMITS = limits_of_the_engine()
MICRON_PA = 101325 / 760 / 1000


def limit_shown(phone: Phone, *, name: str) -> tuple[float, float]:
    page = phone.page
    page.get_by_label("Limit and time").select_option(name)
    limit = page.get_by_label("Not above", exact=True)
    unit = page.locator(f"#{limit.get_attribute('id')}-unit")
    # In another unit than that of the document a number is shown rounded.
    while name.startswith("nl_") and unit.inner_text() != "Pa":
        unit.click()
    factor = MICRON_PA if unit.inner_text() == "micron" else 1.0
    hours = float(page.get_by_label("Standing for", exact=True).input_value())
    return round(float(limit.input_value()) * factor, 3), hours * 3600


def at_the_list(open_device: OpenDevice, server: Server) -> Phone:
    phone = open_device("ben", origin=server.origin, signed_in=BEN)
    phone.go("/")
    expect(phone.page.get_by_role("link", name=CLINIC).first).to_be_visible()
    return phone


def open_check(phone: Phone, *, name: str, system: str) -> None:
    holding.open_check(phone.page, origin=phone.origin, name=name, system=system)


def begin_the_pressure_hold(phone: Phone) -> None:
    open_check(phone, name="Pressure hold", system="S1")
    expect(phone.page.get_by_text("Stored energy").first).to_be_visible()
    holding.type_a_pressure_hold(phone.page)
    look_at(phone.page)
    holding.begin(phone.page)
    expect(phone.page.get_by_role("heading", name="Unclear so far")).to_be_visible()
    look_at(phone.page)


def begin_both(ben: Phone) -> None:
    """One on each system; both are on the list of checks."""
    begin_the_pressure_hold(ben)
    open_check(ben, name="Standing vacuum", system="S2")
    holding.type_a_vacuum(ben.page)
    look_at(ben.page)
    holding.begin(ben.page)
    look_at(ben.page)
    ben.page.get_by_role("link", name="Back").click()
    expect(holding.running(ben.page, "Pressure hold, System S1")).to_be_visible()
    expect(holding.running(ben.page, "Standing vacuum, System S2")).to_be_visible()
    look_at(ben.page)


def the_phone_dies_and_a_day_passes(ben: Phone) -> None:
    ben.wait_until_the_sign_in_is_on_disk()
    ben.kill()
    ben.open()
    ben.lose_signal()
    holding.set_clock(ben, at=BEGUN + DAY)
    ben.go("/")


def the_line_says_what_runs(ben: Phone) -> None:
    page = ben.page
    page.get_by_role("link", name=CLINIC).first.click()
    step = page.get_by_role("listitem").filter(has_text="Pressure hold").first
    expect(step).to_contain_text("Running for 24\N{NO-BREAK SPACE}h, 1 reading.")
    page.get_by_role("radio", name="System S2").check()
    step = page.get_by_role("listitem").filter(has_text="Standing vacuum").first
    expect(step).to_contain_text("Its time is over: take a reading.")
    look_at(page)


def the_pressure_hold_is_settled(ben: Phone) -> None:
    """70 to 60 degrees F takes 550 psi to 538.34 (CoolProp 8.0.0): 538.0 is tight."""
    open_check(ben, name="Pressure hold", system="S1")
    page = ben.page
    holding.add_reading(page, {"Gauge pressure": "538.0", "Pipe temperature": "60"})
    expect(page.get_by_role("heading", name="Pass: tight")).to_be_visible()
    expect(page.get_by_role("cell", name="538.3\N{NO-BREAK SPACE}psi")).to_be_attached()
    look_at(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)
    look_at_large_text(page)


def the_vacuum_is_read_off_the_paper(ben: Phone) -> None:
    open_check(ben, name="Standing vacuum", system="S2")
    page = ben.page
    for minutes, microns in PAPER:
        holding.add_reading(page, {"Vacuum gauge": microns}, ago=DAY - timedelta(minutes=minutes))
    expect(page.get_by_role("heading", name=re.compile("^Pass"))).to_be_visible()
    expect(page.get_by_text("time typed").first).to_be_visible()
    look_at(page)


def holds(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [row for row in rows if row["calculation"] in ("pressure_hold", "vacuum_stand")]


def chain(view: ServerView) -> list[dict[str, Any]]:
    """The readings of the one hold, the first one first."""
    rows = {row["id"]: row for row in holds(view.rows("reading"))}

    def depth(row: dict[str, Any]) -> int:
        return 1 + depth(rows[row["replaces_id"]]) if row["replaces_id"] else 0

    return sorted(rows.values(), key=depth)


def state_of_the_hold(view: ServerView) -> str:
    """Of the step that the readings of the one hold are about."""
    [step_id] = {row["step_id"] for row in holds(view.rows("reading"))}
    return next(str(row["state"]) for row in view.rows("step") if row["id"] == step_id)


def the_server_agrees(view: ServerView) -> None:
    """Both steps are done, every reading arrived once, and the server's own sums are the same."""
    readings = holds(view.wait_for("reading", lambda rows: len(holds(rows)) == 2 + 1 + len(PAPER)))
    kinds = [reading["calculation"] for reading in readings]
    assert kinds.count("pressure_hold") == 2
    assert not any(reading["differs"] for reading in readings)
    settled = {row["step_id"]: row["calculation"] for row in readings if row["verdict"] == "pass"}
    assert sorted(settled.values()) == ["pressure_hold", "vacuum_stand"]
    states = [step["state"] for step in view.rows("step") if step["id"] in settled]
    assert states == ["done", "done"]
