"""What Ana does at her desk."""

from datetime import datetime
from zoneinfo import ZoneInfo

from playwright.sync_api import expect

from tests.phone.looking import MOUSE_PX, look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_view import ServerView
from tests.phone.sheets import bad_sheet, good_sheet

ZONE = "America/Chicago"


def choose_sheet(ana: Phone, *, button: str, name: str, content: bytes) -> None:
    with ana.page.expect_file_chooser() as choosing:
        ana.page.get_by_role("button", name=button).click()
    choosing.value.set_files({"name": name, "mimeType": "text/csv", "buffer": content})


def describe_the_job(ana: Phone) -> None:
    page = ana.page
    page.get_by_role("banner").get_by_role("link", name="New job").click()
    page.get_by_label("Site name").fill("Tern Lane Clinic")
    page.get_by_label("Address").fill("1 Tern Lane, Exampleton")
    page.get_by_label("Contractor firm").fill("Specimen Mechanical (invented)")
    page.get_by_label("Time zone of the site").select_option(ZONE)


def try_the_bad_sheet(ana: Phone, *, view: ServerView) -> None:
    """Each bad row is named with its column and the reason, and nothing comes of the rest."""
    choose_sheet(ana, button="Choose the sheet", name="bad.csv", content=bad_sheet())
    page = ana.page
    expect(page.get_by_role("heading", name="Nothing was imported")).to_be_visible()
    for words in (
        "18 parent no unit on the sheet has the tag J44",
        "21 port port 1 of this branch box is already used by L1-01",
        "22 room_m3 'large' is not a number",
    ):
        expect(page.get_by_role("row", name=words)).to_be_visible()
    look_at(page, least_px=MOUSE_PX)
    assert view.rows("job") == []


def import_the_sheet(ana: Phone) -> None:
    choose_sheet(ana, button="Choose another sheet", name="tern_lane.csv", content=good_sheet())
    expect(ana.page.get_by_text("tern_lane.csv is clean: 58 units on 2 systems.")).to_be_visible()


def give_the_visit_to(ana: Phone, *, technician: str) -> None:
    page = ana.page
    page.get_by_label("Day", exact=True).fill(datetime.now(ZoneInfo(ZONE)).date().isoformat())
    page.get_by_label("Technician", exact=True).select_option(technician)
    look_at(page, least_px=MOUSE_PX)
    page.get_by_role("button", name="Create job and visit").click()
    expect(page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    expect(page.get_by_text(technician).first).to_be_visible()
    look_at(page, least_px=MOUSE_PX)


def make_a_link(ana: Phone, *, recipient: str) -> str:
    """The address that the code holds; it is shown this once."""
    page = ana.page
    page.get_by_role("button", name="Make a link").click()
    page.get_by_label("For whom").fill(recipient)
    look_at(page, least_px=MOUSE_PX)
    page.get_by_role("button", name="Make link").click()
    expect(page.get_by_role("img", name="Code to scan with a phone")).to_be_visible()
    address = page.get_by_text(f"{ana.origin}/answer#").inner_text()
    look_at(page, least_px=MOUSE_PX)
    page.get_by_role("button", name="Done").click()
    return address


def book_the_return(ana: Phone) -> None:
    """The board says what the job waits for; the proposal of the plan is taken as it is."""
    page = ana.page
    page.get_by_role("link", name="Back").click()
    row = page.get_by_role("listitem").filter(has_text="Tern Lane Clinic")
    expect(row.get_by_text("Issue 1 at B2")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(page, least_px=MOUSE_PX)
    row.get_by_role("link", name="Open").click()
    page.get_by_role("link", name="Book a visit").click()
    expect(page.get_by_text("Proposed", exact=True)).to_be_visible()
    look_at(page, least_px=MOUSE_PX)
    page.get_by_role("button", name="Book").click()
    expect(page.get_by_text("Booked", exact=True)).to_be_visible()
