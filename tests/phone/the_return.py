"""What Ben does when answers have come in."""

from datetime import date

from playwright.sync_api import expect

from tests.phone.looking import look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.shown import day_shown
from tests.phone.the_visit import see_photos


def see_the_promise(ben: Phone, *, title: str, words: str, day: date) -> None:
    """On the list the day; on the issue what the contractor wrote, for when, and their photo beside Ben's own."""
    page = ben.page
    page.get_by_role("link", name="Back").click()
    page.get_by_role("link", name="Issues").click()
    card = page.get_by_role("link", name=title)
    expect(card).to_contain_text(f"promised {day_shown(day)}", timeout=NEWS_WITHIN_MS)
    card.click()
    promise = page.get_by_role("listitem").filter(has_text="Kim Placeholder promised a day")
    expect(promise).to_contain_text(words)
    expect(promise).to_contain_text(f"Promised for {day_shown(day)}")
    see_photos(page, title=title, count=2)
    look_at(page)
    page.get_by_role("link", name="Back").click()


def see_the_answers(ben: Phone) -> None:
    page = ben.page
    to_prove = page.get_by_role("radio", name="To prove 2")
    expect(to_prove).to_be_visible(timeout=NEWS_WITHIN_MS)
    to_prove.check()
    look_at(page)


def prove(ben: Phone, *, title: str, answer: str) -> None:
    page = ben.page
    page.get_by_role("link", name=title).click()
    _see_the_answer(ben, words=answer)
    page.get_by_role("button", name="Prove it").click()
    page.get_by_label("What you saw or measured").fill("Lit, and counts.")
    look_at(page)
    page.get_by_role("button", name="It is proved").click()
    expect(page.get_by_text("Proved", exact=True).first).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Back").click()


def _see_the_answer(ben: Phone, *, words: str) -> None:
    answered = ben.page.get_by_role("listitem").filter(has_text="Answered by Kim Placeholder")
    expect(answered).to_contain_text(words)


def send_back(ben: Phone, *, title: str, answer: str, words: str) -> None:
    page = ben.page
    page.get_by_role("radio", name="To prove").check()
    page.get_by_role("link", name=title).click()
    _see_the_answer(ben, words=answer)
    page.get_by_role("button", name="Send back").click()
    page.get_by_label("What is still not right").fill(words)
    look_at(page)
    page.get_by_role("dialog").get_by_role("button", name="Send back").click()
    expect(page.get_by_text("Sent back").first).to_be_visible()
    look_at(page)
