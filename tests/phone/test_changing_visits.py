"""Somebody falls ill: their visit goes to another technician, and another one is called off."""

from datetime import UTC, datetime, timedelta

from demo_seed.calendar import wire_time
from demo_seed.people import ANA, BEN, DEE
from playwright.sync_api import Page, expect

from tests.builders import a_sheet
from tests.phone.attention import attention_of, item_on, look_in_every_way
from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in
from tests.phone.looking import MOUSE_PX, look_at, look_at_contrast
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

HALL, CLINIC = "Invented Hall", "Tern Lane Clinic"
UNSENT = "Drips onto the stage"


def test_a_visit_goes_to_another_technician_and_what_the_first_had_not_sent_is_kept(
    own_demo: Server, open_device: OpenDevice, open_desk: OpenDevice
) -> None:
    office = ServerView(own_demo.origin, person=ANA)
    job, unit = _a_job_for_ben(office)
    ben, desk = (
        open_device("ben", origin=own_demo.origin, signed_in=BEN),
        open_desk("ana", origin=own_demo.origin, signed_in=ANA),
    )
    ben.go("/")
    expect(ben.page.get_by_role("link", name=HALL)).to_be_visible(timeout=NEWS_WITHIN_MS)
    ben.lose_signal()
    _raise(ben, at=f"/job/{job}/log?unit={unit}")

    _give_the_visit_to_dee(desk, job=job)
    _call_off_the_visit_at_the_clinic(desk)
    office.wait_for("visit", lambda rows: {"cancelled"} <= {row["state"] for row in rows})
    ben.find_signal()

    _is_kept(attention_of(ben, count=1))
    ben.go("/")
    page = ben.page
    expect(page.get_by_role("link", name=CLINIC)).to_contain_text("Called off: today · Part one, controls")
    expect(page.get_by_role("link", name=HALL)).to_have_count(0)
    look_in_every_way(page)
    assert UNSENT not in [row["words"] for row in office.rows("issue")]
    ben.close()
    _dee_has_it(open_device("dee", origin=own_demo.origin))


def _a_job_for_ben(office: ServerView) -> tuple[str, str]:
    """The job, and a unit of it that Ben stands before. Nobody else has been there."""
    sheet = a_sheet(name=HALL)
    job = office.say("job.create", job=(new := sheet["systems"][0]["id"]), entity=new, **sheet)
    ben = next(row["person_id"] for row in office.rows("visit") if row["person_name"] == BEN.name)
    tomorrow = wire_time(datetime.now(UTC) + timedelta(days=1))
    plan = {"purpose": "part_one", "starts_at": tomorrow, "planned_s": 4 * 3600, "note": ""}
    office.say("visit.plan", job=job, person_id=ben, **plan)
    return job, next(row["id"] for row in sheet["units"] if row["tag"] == "IU-1")


def _raise(ben: Phone, *, at: str) -> None:
    ben.turn_to(at)
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_label("In your words").fill(UNSENT)
    save_issue(ben.page)


def _give_the_visit_to_dee(desk: Phone, *, job: str) -> None:
    page = desk.page
    desk.go(f"/job/{job}/office")
    page.get_by_role("link", name="Change the visit of").click()
    expect(page.get_by_label("Technician", exact=True).locator("option:checked")).to_have_text(BEN.name)
    page.get_by_label("Technician", exact=True).select_option(DEE.name)
    expect(page.get_by_text(f"{BEN.name} no longer sees this job")).to_be_visible()
    _look_at_the_desk(page)
    page.get_by_role("button", name="Save the change").click()
    expect(page.get_by_role("listitem").filter(has_text=DEE.name)).to_be_visible()
    expect(page.get_by_text(BEN.name)).to_have_count(0)


def _call_off_the_visit_at_the_clinic(desk: Phone) -> None:
    page = desk.page
    desk.go("/board")
    page.get_by_role("listitem").filter(has_text=CLINIC).get_by_role("link", name="Open").click()
    page.get_by_role("button", name="Call off the visit of").click()
    asked = page.get_by_role("dialog", name="Call this visit off?")
    expect(asked).to_contain_text(f"{BEN.name} no longer sees this job, unless another visit here is theirs.")
    asked.get_by_label("Why").fill("Ben is ill.")
    _look_at_the_desk(page)
    asked.get_by_role("button", name="Call off").click()
    expect(page.get_by_text("Called off", exact=True)).to_be_visible()
    expect(page.get_by_text("Note: Ben is ill.")).to_be_visible()
    expect(page.get_by_role("button", name="Call off the visit of")).to_have_count(0)
    _look_at_the_desk(page)


def _look_at_the_desk(page: Page) -> None:
    look_at(page, least_px=MOUSE_PX)
    for mode in ("dark", "sun", "day"):
        look_at_contrast(page, mode=mode)


def _is_kept(page: Page) -> None:
    unsent = item_on(page, name="New issue: Set aside")
    expect(unsent).to_contain_text("You may not change this job any more. Ask the office.")
    expect(unsent).to_contain_text(HALL)
    expect(unsent.get_by_label("Words")).to_have_value(UNSENT)


def _dee_has_it(dee: Phone) -> None:
    page = dee.page
    sign_in(dee, person=DEE)
    page.get_by_role("link", name=HALL).click()
    expect(page.get_by_text("Part one, controls").first).to_be_visible()
    look_at(page)
