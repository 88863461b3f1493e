"""What Kim, who fixes things for the contractor, does from a link."""

from playwright.sync_api import Page, expect

from tests.phone.looking import look_at
from tests.phone.phone import Phone
from tests.phone.the_visit import take_photo


def open_the_link(kim: Phone, *, address: str) -> None:
    """No account: the list, its photos, the caution and the return plan."""
    page = kim.page
    page.goto(address)
    expect(page.get_by_role("heading", name="Before the return")).to_be_visible()
    assert "#" not in page.url, "The secret must not stay in the address bar."
    expect(page.get_by_role("img", name="Flare weeps at port 5")).to_be_visible()
    expect(page.get_by_text("Stored energy").first).to_be_visible()
    expect(page.get_by_text("The test run waits for")).to_be_visible()
    expect(page.get_by_text("The visit takes")).to_be_visible()
    look_at(page)


def open_issue(page: Page, title: str) -> None:
    page.get_by_role("link", name=title).first.click()
    expect(page.get_by_role("heading", name="Your answer")).to_be_visible()


def promise_the_leak(kim: Phone) -> None:
    page = kim.page
    open_issue(page, "Flare weeps at port 5")
    take_photo(page)
    page.get_by_role("radio", name="Not yet").check()
    page.get_by_role("radio", name="Tomorrow").check()
    page.get_by_label("Words").fill("The brazier comes tomorrow.")
    look_at(page)
    _save(page)


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
