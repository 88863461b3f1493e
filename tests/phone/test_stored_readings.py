"""Every stored reading opens whole, with no signal; one that the server works out otherwise stands out."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from demo_seed.calendar import wire_time
from demo_seed.people import ANA, BEN
from deploy.screens import Places, settle
from playwright.sync_api import expect

from flarenut.trade import entry
from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import MOUSE_PX, look_at, look_at_contrast
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

NBSP = "\N{NO-BREAK SPACE}"
VOLTS = {"v_ab_v": 462.0, "v_bc_v": 463.0, "v_ca_v": 455.0, "nominal_v": 460.0, "rotation": "forward"}
WRONG_MEAN_V = 461.5


def _another_engine(volts: dict[str, Any]) -> dict[str, Any]:
    """What a phone with a spoilt engine would have shown: one number is another."""
    answer = json.loads(entry.compute("supply_power", json.dumps(volts)))
    return {**answer["result"], "mean_v": WRONG_MEAN_V}


def _record(demo: Server, *, tag: str, at: datetime, **fields: Any) -> str:
    """A supply reading at a unit, sent by another phone of Ben's."""
    places = Places.on(demo.origin)
    facts: dict[str, Any] = {
        "calculation": "supply_power",
        "unit_id": places.units[tag],
        "inputs": VOLTS,
        "entered": {name: {"text": f"{VOLTS[name]:g}", "unit": "V"} for name in ("v_ab_v", "v_bc_v", "v_ca_v")},
        "outputs": _another_engine(VOLTS),
        "verdict": "pass",
        "engine_version": "0.0.spoilt",
        "instrument": {"name": "Meter 7", "range": "0-600 V", "resolution": "1 V", "calibrated_on": "2026-03-02"},
        "taken_at": wire_time(at),
    }
    job = places.job.removeprefix("/job/")
    return ServerView(demo.origin, person=BEN).say("reading.record", job=job, **(facts | fields))


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    return open_device("ben", origin=own_demo.origin, signed_in=BEN)


def test_a_reading_that_the_server_works_out_otherwise_is_marked_and_compared(
    own_demo: Server, ben: Phone, open_desk: OpenDevice
) -> None:
    now = datetime.now(UTC)
    first = _record(own_demo, tag="M3", at=now - timedelta(minutes=9), reason="Read twice")
    _record(own_demo, tag="M3", at=now - timedelta(minutes=4), replaces_id=first, engine_version="0.0.later")

    places = Places.on(own_demo.origin)
    page = ben.page
    ben.go(f"{places.job}/unit/{places.units['M3']}")
    expect(page.get_by_text("The server works it out to other numbers")).to_have_count(2, timeout=NEWS_WITHIN_MS)
    look_at(page)
    wait_until_offline_ready(ben)
    ben.lose_signal()
    page.get_by_role("link", name="Supply and rotation: ").first.click()

    expect(page.get_by_role("heading", name="The server differs")).to_be_visible()
    row = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="Mean"))
    expect(row.get_by_role("cell")).to_have_text([f"{WRONG_MEAN_V}{NBSP}V", f"460{NBSP}V"])
    expect(page.get_by_role("row")).to_have_count(2)
    expect(page.get_by_text("Meter 7, range 0-600 V, resolution 1 V, calibrated")).to_be_visible()
    expect(page.get_by_text("0.0.later")).to_be_visible()
    expect(page.get_by_text(f"462{NBSP}V", exact=True).first).to_be_visible()
    page.get_by_text("What the engine took, in SI").click()
    look_at(page)
    for mode in ("dark", "sun"):
        look_at_contrast(page, mode=mode)
    page.get_by_role("link", name="Open the earlier one").click()
    expect(page.get_by_text("This reading was replaced")).to_be_visible()
    expect(page.get_by_text("Read twice")).to_be_visible()
    expect(page.get_by_text("0.0.spoilt")).to_be_visible()
    page.get_by_role("link", name="Open the later one").click()
    expect(page.get_by_text("0.0.later")).to_be_visible()
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", name="M3", exact=True)).to_be_visible()

    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    ana.go(f"{places.job}/office")
    expect(ana.page.get_by_text("1 reading differs from the server's own sum")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(ana.page, least_px=MOUSE_PX)
    ana.page.get_by_role("link", name="All readings").click()
    expect(ana.page.get_by_role("heading", name="1 reading differs")).to_be_visible()
    look_at(ana.page, least_px=MOUSE_PX)
    ana.page.get_by_role("link", name="Supply and rotation: ").first.click()
    expect(ana.page.get_by_role("heading", name="The server differs")).to_be_visible()


def test_readings_open_from_the_step_they_are_for(ben: Phone, own_demo: Server) -> None:
    page = ben.page
    ben.go(Places.on(own_demo.origin).job)
    settle(page)

    page.get_by_role("button", name="Supply and rotation").first.click()
    link = page.get_by_role("dialog").get_by_role("link", name="Supply and rotation: ").first
    expect(link).to_be_visible()
    look_at(page)
    link.click()

    expect(page.get_by_role("heading", name="What was typed")).to_be_visible()
    expect(page.get_by_text("Worked out again, with the same result.")).to_be_visible()
    expect(page.get_by_role("heading", name="The server differs")).to_have_count(0)
    look_at(page)
