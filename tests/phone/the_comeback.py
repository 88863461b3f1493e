"""What Ben finds after his phone was killed on site, still with no signal: all that he did on the visit."""

from playwright.sync_api import Page, expect

from tests.phone.looking import look_at
from tests.phone.phone import Phone
from tests.phone.the_visit import find_on_the_round, see_photos, step

LEAK, DARK = "Flare weeps at port 5", "Unit stays dark"


def everything_is_still_there(ben: Phone) -> None:
    page = ben.page
    expect(page.get_by_text("1 photo wait for signal").first).to_be_visible()
    _the_visit_is_closed_and_counted(page)
    _the_steps_are_as_marked(page)
    page.get_by_role("link", name="Issues").click()
    _the_issues_are_there(page)
    _the_readings_are_there(ben)


def _the_visit_is_closed_and_counted(page: Page) -> None:
    """One walk, two joints and three supplies that passed, of all the steps of the sheet."""
    card = page.get_by_role("link", name="Tern Lane Clinic")
    for words in ("6 of 147 steps done", "2 issues open", "No visit planned"):
        expect(card).to_contain_text(words)
    card.click()
    page.get_by_role("link", name="Leave").click()
    expect(page.get_by_text("No visit is open")).to_be_visible()
    page.get_by_role("link", name="Back").click()


def _the_steps_are_as_marked(page: Page) -> None:
    expect(step(page, "Walk the install").get_by_role("img", name="Done")).to_be_visible()
    expect(step(page, "Supply and rotation")).to_contain_text("2 of 3")
    expect(step(page, "Supply and rotation").get_by_role("img", name="Fail")).to_be_visible()
    joints = step(page, "Joints and straight runs")
    expect(joints).to_contain_text("2 of 7")
    joints.get_by_role("button").click()
    sheet = page.get_by_role("dialog")
    for tag, pressed in (("J6", "true"), ("J4", "true"), ("J5", "false")):
        expect(sheet.get_by_role("button", name=tag)).to_have_attribute("aria-pressed", pressed)
    sheet.get_by_role("button", name="Close").click()


def _the_issues_are_there(page: Page) -> None:
    """The leak with its picture, whole; the dark unit, of which none was taken."""
    page.get_by_role("link", name=LEAK).click()
    see_photos(page, title=LEAK, count=1)
    look_at(page)
    page.get_by_role("link", name="Back").click()
    page.get_by_role("link", name=DARK).click()
    expect(page.get_by_role("heading", name=DARK)).to_be_visible()
    for name, value in (("Unit", "L1-03"), ("Kind", "No power"), ("Who must act", "Contractor")):
        fact = page.get_by_text(name, exact=True).locator("xpath=..")
        expect(fact.get_by_text(value, exact=True)).to_be_visible()
    expect(page.get_by_text("No photo.", exact=True)).to_be_visible()
    look_at(page)
    page.get_by_role("link", name="Back").click()


def _the_readings_are_there(ben: Phone) -> None:
    """The verdict of each module with what was typed."""
    page = ben.page
    for tag, verdict, volts in (
        ("M1", "Pass", "462 V · 463 V · 455 V"),
        ("M2", "Fail: reversed rotation", "461 V · 462 V · 458 V"),
        ("M3", "Pass", "461 V · 462 V · 458 V"),
        ("M4", "Pass", "461 V · 462 V · 458 V"),
    ):
        find_on_the_round(ben, tag=tag)
        reading = page.get_by_role("link", name=volts)
        expect(reading.get_by_text(f"Supply and rotation: {verdict}", exact=True)).to_be_visible()
        page.get_by_role("link", name="Back").click()
