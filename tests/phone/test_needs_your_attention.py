"""What the office did not take as it was: each stays on the phone, says what happened, and waits for a person."""

import re
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Route, expect

from tests.phone.attention import attention_of, item_on, look_in_every_way
from tests.phone.conftest import OpenDevice
from tests.phone.looking import look_at
from tests.phone.phone import PATIENCE_MS, Phone
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

MENDED = "Unit runs, 230 V at the terminals"
UPLOADS = re.compile(r"/api/photos/uploads")
BEN_WROTE, ANA_WROTE = "Flare weeps, tail too short", "Flare weeps at port 5 of box B2"
SAID_AT_THE_DESK = "Flare of box B2 weeps, see photo"
STILL_DARK = "Isolator still locked"


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    """On his phone of yesterday, with the day's jobs on it."""
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    ben.go("/")
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    return ben


@pytest.fixture
def places(own_demo: Server) -> Places:
    return Places.on(own_demo.origin)


@pytest.fixture
def ana(own_demo: Server) -> ServerView:
    return ServerView(own_demo.origin, person=ANA)


def test_of_two_values_of_one_field_both_are_shown_and_ben_says_which_counts(
    ben: Phone, ana: ServerView, places: Places
) -> None:
    leak = places.issues["leak"]
    with _no_signal(ben):
        _change_the_words(ben, address=places.issue("leak"))
        ana.say("issue.set", job=_job(places), entity=leak, words=ANA_WROTE)

    page = attention_of(ben, count=1)
    item = item_on(page, name="Issue 9: Words")
    expect(item).to_contain_text("Two people wrote something different")
    expect(item).to_contain_text(BEN_WROTE)
    expect(item).to_contain_text(f"Counts now: {BEN.name} wrote")
    expect(item).to_contain_text(f"{ANA.name} wrote")
    expect(item).to_contain_text(ANA_WROTE)
    look_in_every_way(page)

    item.get_by_role("button", name="Use this one").click()

    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    ana.wait_for("issue", lambda rows: _words_of(leak, rows=rows) == ANA_WROTE and not _is_double(leak, rows=rows))
    ben.go("/")
    expect(page.get_by_text("Needs your attention")).to_have_count(0)


def test_of_three_values_each_is_shown_and_the_one_that_was_pushed_aside_first_can_be_picked(
    ben: Phone, ana: ServerView, own_demo: Server, places: Places
) -> None:
    leak = places.issues["leak"]
    with _no_signal(ben):
        _change_the_words(ben, address=places.issue("leak"))
        ana.say("issue.set", job=_job(places), entity=leak, words=ANA_WROTE)
        desk = ServerView(own_demo.origin, person=ANA)
        desk.say("issue.set", job=_job(places), entity=leak, words=SAID_AT_THE_DESK, outcome="two_values")

    page = attention_of(ben, count=1)
    item = item_on(page, name="Issue 9: Words")
    expect(item).to_contain_text("3 values were written for it")
    for words in (BEN_WROTE, ANA_WROTE, SAID_AT_THE_DESK):
        expect(item).to_contain_text(words)
    look_in_every_way(page)

    item.get_by_role("button", name="Use this one").nth(1).click()

    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    ana.wait_for("issue", lambda rows: _words_of(leak, rows=rows) == ANA_WROTE and not _is_double(leak, rows=rows))


def test_what_his_other_phone_said_out_of_bounds_is_told_in_words_mended_here_and_taken(
    ben: Phone, ana: ServerView, own_demo: Server, places: Places
) -> None:
    other, job, unit = ServerView(own_demo.origin, person=BEN), _job(places), places.units["L2-03"]
    other.say("unit.set", job=job, entity=unit, room_m3=0, outcome="set_aside")

    page = attention_of(ben, count=1)
    item = item_on(page, name="Change of a unit")
    expect(item).to_contain_text("L2-03")
    expect(item).to_contain_text("Must lie between 0.1 and 1,000,000 m³.")
    look_in_every_way(page)

    item.get_by_label("Room volume").fill("31.5")
    item.get_by_role("button", name="Change and send again").click()

    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    ana.wait_for("unit", lambda rows: [row["room_m3"] for row in rows if row["id"] == unit] == [31.5])


def test_what_was_set_aside_with_a_new_issue_goes_with_it_and_nothing_else_does(
    ben: Phone, ana: ServerView, own_demo: Server, places: Places
) -> None:
    other, job, unit = ServerView(own_demo.origin, person=BEN), _job(places), places.units["L2-03"]
    told = {"unit_id": unit, "category": "leak", "who_must_act": "technician", "stops": []}
    leak = other.say("issue.raise", job=job, words="x" * 4_001, outcome="set_aside", **told)
    other.say("issue.answer", job=job, entity=leak, words="Brazed anew", fixed=True, outcome="set_aside")
    other.say("unit.set", job=job, entity=unit, room_m3=0, outcome="set_aside")

    page = attention_of(ben, count=3)
    item = item_on(page, name="New issue")
    expect(item).to_contain_text("May have at most 4,000 characters; this has 4,001.")
    expect(item).to_contain_text("1 later change goes with it: Answer to an issue.")
    look_at(page)

    item.get_by_label("Words").fill("Weeps at the flare")
    item.get_by_role("button", name="Change and send again").click()

    expect(page.get_by_role("heading", name="Answer to an issue")).to_have_count(0)
    expect(item_on(page, name="Change of a unit")).to_be_visible()
    ana.wait_for("issue", lambda rows: [row["state"] for row in rows if row["id"] == leak] == ["answered"])
    assert _words_of(leak, rows=ana.rows("issue")) == "Weeps at the flare"


def test_what_is_refused_says_why_is_mended_and_sent_again_kept_for_later_or_given_up(
    ben: Phone, ana: ServerView, places: Places
) -> None:
    dark = places.issues["no_power"]
    with _no_signal(ben):
        _prove(ben, address=places.issue("no_power"))
        ana.say("issue.send_back", job=_job(places), entity=dark, words=STILL_DARK)

    page = attention_of(ben, count=1)
    item = item_on(page, name="Proof of an issue")
    expect(item).to_contain_text("It had moved on in the meantime, so this no longer fits.")
    expect(item).to_contain_text(f"Sent back by {ANA.name}")
    expect(item).to_contain_text(STILL_DARK)
    expect(item.get_by_role("link", name="Open it")).to_have_attribute("href", places.issue("no_power"))
    expect(item.get_by_label("Words")).to_have_value("Unit runs")
    look_in_every_way(page)

    item.get_by_label("Words").fill(MENDED)
    [before] = ben.rows("attention")
    item.get_by_role("button", name="Change and send again").click()
    # Before the office has answered, the card that goes can still be seen.

    def has_come_back(cards: list[dict[str, Any]]) -> bool:
        return [card["fields"]["words"] for card in cards if card["id"] != before["id"]] == [MENDED]

    ben.wait_for_rows("attention", has_come_back)
    # It is still sent back: what was mended is refused anew, and not lost.
    expect(item_on(page, name="Proof of an issue").get_by_label("Words")).to_have_value(MENDED)
    expect(page.get_by_text("It had moved on in the meantime")).to_be_visible()

    item_on(page, name="Proof of an issue").get_by_role("button", name="Keep for later").click()
    expect(page.get_by_role("heading", name="Kept for later")).to_be_visible()
    look_at(page)
    ben.go("/")
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    expect(page.get_by_text("thing waits for you to decide")).to_have_count(0)
    expect(page.get_by_role("status")).to_have_text("The office has not taken over 1 thing. All else is sent.")

    ben.go("/attention")
    item_on(page, name="Proof of an issue").get_by_role("button", name="Give it up").click()
    asked = page.get_by_role("dialog", name="Give this change up?")
    look_at(page)
    asked.get_by_role("button", name="Give it up").click()
    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    [issue] = [row for row in ana.rows("issue") if row["id"] == dark]
    assert issue["state"] == "sent_back"


def test_a_photo_that_was_not_taken_is_sent_again_by_a_press(ben: Phone, ana: ServerView, places: Places) -> None:
    ben.context.route(UPLOADS, _no)
    ben.go(f"{places.job}/log?unit={places.units['L2-03']}")
    ben.page.get_by_role("radio", name="Drain").tap()
    take_photo(ben.page)
    save_issue(ben.page)

    # It is told after the third no. The first comes now, the second when the app is opened, the last 20 s later.
    _wait_for_the_first_no(ben)
    page = attention_of(ben, count=1)
    item = item_on(page, name="Photo")
    expect(item).to_contain_text("The office did not take this photo, more than once.")
    expect(item.get_by_role("img")).to_be_visible()
    look_in_every_way(page)

    ben.context.unroute(UPLOADS, _no)
    item.get_by_role("button", name="Send again").click()

    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    ana.wait_for("photo", lambda rows: [row["state"] for row in rows if row["by_name"] == BEN.name][-1:] == ["stored"])
    look_at(page)


def _wait_for_the_first_no(ben: Phone) -> None:
    """Heard and counted: an app that is left before that counts from none."""
    until = time.monotonic() + PATIENCE_MS / 1000
    while not any(upload.get("declined") for upload in ben.rows("uploads")):
        assert time.monotonic() < until, "No upload was declined."


def _no(route: Route) -> None:
    """As a network between that lets no photo through."""
    route.fulfill(status=403, body="not here")


@contextmanager
def _no_signal(phone: Phone) -> Iterator[None]:
    phone.lose_signal()
    yield
    phone.find_signal()


def _change_the_words(ben: Phone, *, address: str) -> None:
    _open(ben, address=address)
    ben.page.get_by_role("button", name="Change", exact=True).click()
    ben.page.get_by_label("In your words").fill(BEN_WROTE)
    ben.page.get_by_role("dialog").get_by_role("button", name="Save").click()
    expect(ben.page.get_by_role("heading", name=BEN_WROTE)).to_be_visible()


def _prove(ben: Phone, *, address: str) -> None:
    _open(ben, address=address)
    ben.page.get_by_role("button", name="Prove it").click()
    ben.page.get_by_label("What you saw or measured").fill("Unit runs")
    ben.page.get_by_role("button", name="It is proved").click()
    expect(ben.page.get_by_role("dialog")).to_have_count(0)


def _open(ben: Phone, *, address: str) -> None:
    """Without a signal: the app goes on by itself."""
    ben.go(address)
    expect(ben.page.get_by_role("heading", level=1)).to_be_visible()


def _job(places: Places) -> str:
    return places.job.removeprefix("/job/")


def _words_of(issue: str, *, rows: list[dict[str, Any]]) -> str:
    return str(next(row["words"] for row in rows if row["id"] == issue))


def _is_double(issue: str, *, rows: list[dict[str, Any]]) -> bool:
    return bool(next(row["two_values"] for row in rows if row["id"] == issue))
