"""What Ben measures with no signal: in his units, kept as typed, and the same on the server."""

from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places, settle
from playwright.sync_api import Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at, look_at_large_text
from tests.phone.phone import Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

NBSP = "\N{NO-BREAK SPACE}"
# A transaction that writes where a person's units are kept, and does not end for two seconds.
BE_SLOW_TO_TELL_THE_UNITS = """async () => {
  const names = (await indexedDB.databases()).map(({ name }) => name);
  const asked = indexedDB.open(names.find((name) => /^flarenut-.{36}$/.test(name)));
  await new Promise((opened) => { asked.onsuccess = opened; });
  const until = Date.now() + 2000;
  const kept = asked.result.transaction("meta", "readwrite").objectStore("meta");
  const look = () => { if (Date.now() < until) kept.count().onsuccess = look; };
  look();
  asked.result.close();
}"""


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    """At the clinic, with the list of checks of its first system on the screen and no signal."""
    phone = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    phone.go(Places.on(own_demo.origin).job)
    settle(phone.page)
    wait_until_offline_ready(phone)
    phone.lose_signal()
    phone.page.get_by_role("link", name="Checks").click()
    expect(phone.page.get_by_role("heading", name="Gauges and figures")).to_be_visible()
    return phone


def _fill(page: Page, **typed: str) -> None:
    for label, text in typed.items():
        page.get_by_label(label.replace("_", " ").capitalize(), exact=True).fill(text)


def _shown_in(drafts: list[Any]) -> set[str]:
    """Units in which what is typed is shown."""
    return {entry["shown"] for draft in drafts for entry in draft["typed"].values()}


def _arrived(own_demo: Server, *, calculation: str) -> dict[str, Any]:
    """The reading as the server has it."""

    def is_there(rows: list[dict[str, Any]]) -> bool:
        return any(row["calculation"] == calculation for row in rows)

    rows = ServerView(own_demo.origin, person=ANA).wait_for("reading", is_there)
    return next(row for row in rows if row["calculation"] == calculation)


def test_superheat_is_kept_as_typed_through_other_units_and_a_restart(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    look_at(page)
    page.evaluate(BE_SLOW_TO_TELL_THE_UNITS)
    page.get_by_role("link", name="Superheat").click()
    expect(page.get_by_role("heading", name="Superheat, System S1")).to_be_visible()

    # R-410A at 118 psig and 55 degrees F at sea level: 15.157 degrees F, from CoolProp.
    _fill(page, gauge_pressure="118", suction_line="55", altitude="0")
    expect(page.get_by_text(f"15.2{NBSP}°F", exact=True)).to_be_visible()
    look_at(page)
    page.get_by_role("button", name="Unit psi").click()
    expect(page.get_by_label("Gauge pressure", exact=True)).to_have_value("813.6")
    page.get_by_role("button", name="Unit °F").first.click()
    expect(page.get_by_text(f"8.4{NBSP}K", exact=True)).to_be_visible()
    ben.wait_for_drafts(lambda drafts: "kPa" in _shown_in(drafts) and "°C" in _shown_in(drafts))
    page.reload()  # What is typed is a draft, its units with it.
    expect(page.get_by_label("Gauge pressure", exact=True)).to_have_value("813.6")
    page.get_by_role("button", name="Unit kPa").click()
    page.get_by_role("button", name="Unit bar").click()
    expect(page.get_by_label("Gauge pressure", exact=True)).to_have_value("118")
    page.get_by_role("button", name="Save reading").click()

    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Done").click()
    expect(page.get_by_role("listitem").filter(has_text="Superheat")).to_contain_text("Taken today")
    ben.find_signal()
    reading = _arrived(own_demo, calculation="superheat")
    assert reading["entered"]["gauge_pa"] == {"text": "118", "unit": "psi"}
    assert reading["outputs"]["superheat_k"] == pytest.approx(15.1571 / 1.8, abs=0.05)
    assert reading["verdict"] is None
    assert not reading["differs"], reading["server_outputs"]


def test_a_room_that_is_too_small_is_told_with_its_limit_and_who_says_so(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    page.get_by_role("link", name="Room limit").click()
    why = page.get_by_label("Why is this value kept?")

    _fill(page, charge_of_the_circuit="8000")
    expect(why).to_be_hidden()  # It may be half a number.
    page.get_by_label("Limit", exact=True).focus()
    expect(why).to_be_visible()
    _fill(page, charge_of_the_circuit="80")
    expect(why).to_be_hidden()
    save = page.get_by_role("button", name="Save reading")
    expect(save).to_contain_text("Type: Limit")
    page.get_by_role("button", name=f"Take 26{NBSP}lb/1000 ft³").click()
    expect(page.get_by_role("heading", name="Fail: more than this room allows")).to_be_visible()
    expect(page.get_by_text("Screening only")).to_be_visible()
    look_at(page)
    look_at_large_text(page)
    _fill(page, limit="27")
    expect(save).to_contain_text("Say where the limit comes from")
    page.get_by_role("button", name=f"Take 26{NBSP}lb/1000 ft³").click()
    save.click()

    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    ben.find_signal()
    reading = _arrived(own_demo, calculation="room_limit")
    assert reading["verdict"] == "fail"
    assert reading["inputs"]["charge_kg"] == pytest.approx(80 * 0.45359237)
    assert reading["inputs"]["limit_source"] == "from memory"
    assert not reading["differs"], reading["server_outputs"]


def test_joint_after_joint_is_measured_and_an_instrument_goes_with_each(own_demo: Server, ben: Phone) -> None:
    page = ben.page
    page.get_by_role("link", name="Joint, straight and level").click()
    first = page.get_by_role("heading", level=1).inner_text()

    page.get_by_role("button", name="Name your instrument").click()
    page.get_by_label("Name or number").fill("Rule 3")
    page.get_by_label("Calibrated on").fill("2020-05-01")
    look_at(page)
    page.get_by_role("dialog").get_by_role("button", name="Save").click()
    expect(page.get_by_text("calibrated more than 12 months ago")).to_be_visible()
    _fill(page, straight_before="24", straight_after="30")
    page.get_by_role("radio", name="Level").check()
    _fill(page, out_of_true="2")
    expect(page.get_by_text("Pass", exact=True)).to_be_visible()
    page.get_by_role("button", name="Save reading").click()

    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    expect(page.get_by_role("heading", level=1)).not_to_have_text(first)
    expect(page.get_by_text("Instrument: Rule 3")).to_be_visible()
    page.get_by_role("button", name="Same as before").click()
    expect(page.get_by_label("Straight after", exact=True)).to_have_value("30")
    look_at(page)
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", name="Pipework")).to_be_visible()
    ben.find_signal()
    reading = _arrived(own_demo, calculation="joint_geometry")
    assert reading["instrument"]["name"] == "Rule 3"
    assert reading["entered"]["straight_after_m"] == {"text": "30", "unit": "in"}
    assert (reading["verdict"], reading["differs"]) == ("pass", False)


def test_air_of_a_unit_is_worked_out_with_how_sure_it_is_and_heating_needs_no_wet_bulb(
    own_demo: Server, ben: Phone
) -> None:
    page = ben.page
    page.get_by_role("link", name="Air side capacity").click()

    # 27/19 and 14/12.5 degrees C, 0.25 m3/s at the supply, 101325 Pa: 5608.4262 W, from PsychroLib.
    cooling = {"Return, dry bulb": "27", "Return, wet bulb": "19", "Supply, dry bulb": "14", "Supply, wet bulb": "12.5"}
    _in_celsius(page, cooling)
    page.get_by_role("button", name="Unit cfm").click()
    page.get_by_label("Air flow", exact=True).fill("250")
    page.get_by_role("radio", name="In the supply").check()
    page.get_by_label("Altitude", exact=True).fill("0")
    expect(page.get_by_text("is one standard uncertainty")).to_be_visible()
    page.get_by_text("How sure the readings are").click()
    page.get_by_label("Wet bulb, give or take", exact=True).fill("0.9")
    expect(page.get_by_text(f"wet bulb 0.9{NBSP}°F")).to_be_visible()
    look_at(page)
    look_at_large_text(page)
    page.get_by_role("button", name="Save reading").click()

    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    _in_celsius(page, {"Return, dry bulb": "20", "Return, wet bulb": "12", "Supply, dry bulb": "38"})
    page.get_by_label("Air flow", exact=True).fill("530")
    page.get_by_role("radio", name="In the return").check()
    expect(page.get_by_text("heating, shown as negative")).to_be_visible()
    ben.find_signal()
    reading = _arrived(own_demo, calculation="air_side")
    assert reading["outputs"]["total_w"] == pytest.approx(5608.4262, abs=0.01)
    assert reading["inputs"]["wet_bulb_uncertainty_k"] == pytest.approx(0.5)
    assert not reading["differs"], reading["server_outputs"]


def _in_celsius(page: Page, typed: dict[str, str]) -> None:
    for label, text in typed.items():
        field = page.get_by_label(label, exact=True)
        expect(field).to_be_visible()
        unit = page.locator(f"#{field.get_attribute('id')}-unit")
        if unit.inner_text() != "°C":
            unit.click()
        expect(unit).to_have_text("°C")  # and with it those of the other fields
        field.fill(text)


def _prefers_si(kept: dict[str, Any]) -> bool:
    return kept["name"] == "preferences" and kept["value"]["units"] == "si"


def test_units_are_a_persons_own_and_stay(ben: Phone) -> None:
    page = ben.page
    ben.go("/you")

    expect(page.get_by_role("radio", name="Inch and pound")).to_be_checked()
    page.get_by_role("radio", name="SI kPa").check()
    ben.wait_for_rows("meta", lambda rows: any(_prefers_si(row) for row in rows))
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    ben.go("/you")

    expect(page.get_by_role("radio", name="SI kPa")).to_be_checked()
    look_at(page)
