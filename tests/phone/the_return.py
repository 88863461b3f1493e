"""What Ben does when answers have come in."""

from playwright.sync_api import expect

from tests.phone.looking import look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone


def see_the_promise(ben: Phone, *, title: str) -> None:
    page = ben.page
    page.get_by_role("link", name="Back").click()
    page.get_by_role("link", name="Issues").click()
    expect(page.get_by_role("link", name=title)).to_contain_text("promised", timeout=NEWS_WITHIN_MS)


def see_the_answers(ben: Phone) -> None:
    page = ben.page
    to_prove = page.get_by_role("radio", name="To prove 2")
    expect(to_prove).to_be_visible(timeout=NEWS_WITHIN_MS)
    to_prove.check()
    look_at(page)


def prove(ben: Phone, *, title: str) -> None:
    page = ben.page
    page.get_by_role("link", name=title).click()
    page.get_by_role("button", name="Prove it").click()
    page.get_by_label("What you saw or measured").fill("Lit, and counts.")
    look_at(page)
    page.get_by_role("button", name="It is proved").click()
    expect(page.get_by_text("Proved", exact=True).first).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Back").click()


def send_back(ben: Phone, *, title: str, words: str) -> None:
    page = ben.page
    page.get_by_role("radio", name="To prove").check()
    page.get_by_role("link", name=title).click()
    page.get_by_role("button", name="Send back").click()
    page.get_by_label("What is still not right").fill(words)
    look_at(page)
    page.get_by_role("dialog").get_by_role("button", name="Send back").click()
    expect(page.get_by_text("Sent back").first).to_be_visible()
    look_at(page)
