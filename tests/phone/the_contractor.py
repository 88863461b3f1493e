"""What Kim, who fixes things for the contractor, does from a link."""

import re
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from playwright.sync_api import Page, expect

from tests.phone.looking import look_at
from tests.phone.phone import Phone
from tests.phone.server_view import ServerView
from tests.phone.shown import hours_shown, moments_shown
from tests.phone.the_office import ZONE
from tests.phone.the_visit import take_photo


def open_the_link(kim: Phone, *, address: str, view: ServerView) -> None:
    """No account: the list, its photos, the caution and the return plan."""
    page = kim.page
    [job] = view.rows("job")
    before = view.plan(job["id"])
    page.goto(address)
    expect(page.get_by_role("heading", name="Before the return")).to_be_visible()
    assert "#" not in page.url, "The secret must not stay in the address bar."
    expect(page.get_by_role("img", name="Flare weeps at port 5")).to_be_visible()
    expect(page.get_by_text("Stored energy").first).to_be_visible()
    expect(page.get_by_text("The test run waits for")).to_be_visible()
    _the_plan_is_the_engines(page, before=before, after=view.plan(job["id"]))
    look_at(page)


def _the_plan_is_the_engines(page: Page, *, before: dict[str, Any], after: dict[str, Any]) -> None:
    """The earliest day and the hours of the visit are what the server's own engine says of the job just then."""
    shown = page.get_by_text(re.compile("^Ready .* at best, .* likely")).inner_text()
    days = re.match("Ready (.*) at best, (.*) likely", shown)
    assert days is not None
    for words, name in zip(days.groups(), ("ready_at_best", "ready_at"), strict=True):
        assert words in moments_shown(before[name], after[name], zone=ZONE), (name, before[name], after[name])
    likely, low, high = (hours_shown(after["visit_s"][name]) for name in ("likely", "low", "high"))
    expect(page.get_by_text(f"The visit takes {likely} (between {low} and {high}).", exact=True)).to_be_visible()


def open_issue(page: Page, title: str) -> None:
    page.get_by_role("link", name=title).first.click()
    expect(page.get_by_role("heading", name="Your answer")).to_be_visible()


def promise_the_leak(kim: Phone, *, words: str) -> date:
    """With a photo, for tomorrow by the calendar of the site: that day."""
    page = kim.page
    tomorrow = datetime.now(ZoneInfo(ZONE)).date() + timedelta(days=1)
    open_issue(page, "Flare weeps at port 5")
    take_photo(page)
    page.get_by_role("radio", name="Not yet").check()
    page.get_by_role("radio", name="Tomorrow").check()
    page.get_by_label("Words").fill(words)
    look_at(page)
    _save(page)
    return tomorrow


def answer_fixed(kim: Phone, *, title: str, words: str) -> None:
    page = kim.page
    open_issue(page, title)
    page.get_by_role("radio", name="Yes, fixed").check()
    page.get_by_label("Words").fill(words)
    _save(page)


def _save(page: Page) -> None:
    page.get_by_role("button", name="Save answer").click()
    expect(page.get_by_text("Sent", exact=True)).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Back to the list").click()
