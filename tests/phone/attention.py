"""The screen "Needs your attention", as its person comes to it."""

from playwright.sync_api import Locator, Page, expect

from tests.phone.looking import look_at, look_at_contrast, look_at_large_text
from tests.phone.phone import NEWS_WITHIN_MS, Phone


def attention_of(ben: Phone, *, count: int) -> Page:
    """The start screen says that something waits for him, and one press shows it."""
    ben.go("/")
    told = ben.page.get_by_role("link", name="Needs your attention")
    waiting = "1 thing waits" if count == 1 else f"{count} things wait"
    expect(told).to_contain_text(f"{waiting} for you to decide", timeout=NEWS_WITHIN_MS)
    look_at(ben.page)
    told.click()
    expect(ben.page.get_by_text("Nothing is lost: each of these is kept on this device")).to_be_visible()
    return ben.page


def item_on(page: Page, *, name: str) -> Locator:
    return page.get_by_role("listitem").filter(has=page.get_by_role("heading", name=name))


def look_in_every_way(page: Page) -> None:
    look_at(page)
    look_at_large_text(page)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)
