"""A gate advises and does not lock: a gated step is marked with a reason, and the reason stays."""

from demo_seed.people import ANA, BEN
from deploy.screens import Places, settle
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.looking import look_at, look_at_large_text
from tests.phone.phone import Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView


def _ben_at_the_clinic(own_demo: Server, open_device: OpenDevice) -> Phone:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    ben.go(Places.on(own_demo.origin).job)
    settle(ben.page)
    return ben


def test_a_gated_step_says_why_first_and_is_marked_only_with_a_reason(
    own_demo: Server, open_device: OpenDevice
) -> None:
    page = _ben_at_the_clinic(own_demo, open_device).page

    page.get_by_role("button", name="Evacuation").first.click()
    sheet = page.get_by_role("dialog")
    expect(sheet.get_by_text("Stopped by").or_(sheet.get_by_text("Waits for")).first).to_be_visible()
    expect(sheet.get_by_role("radio", name="Done")).to_have_count(0)
    look_at(page)
    sheet.get_by_role("button", name="Evacuation").click()
    expect(page.get_by_text("Stored energy").first).to_be_visible()
    page.get_by_role("radio", name="Done", exact=True).check()
    save = page.get_by_role("button", name="Mark it with this reason")
    expect(save).to_have_attribute("aria-disabled", "true")
    page.get_by_label("Why it is done although gated").fill("Pulled before the leak was found.")
    look_at(page)
    save.click()

    marked = page.get_by_role("dialog").get_by_role("button", name="Evacuation")
    expect(marked).to_contain_text("Pulled before the leak was found.")
    expect(marked).to_have_attribute("aria-pressed", "true")
    page.wait_for_function("() => document.body.textContent.includes('Sent.')")
    steps = [row for row in ServerView(own_demo.origin, person=ANA).rows("step") if row["code"] == "evacuation"]
    assert ("done", "Pulled before the leak was found.") in [(row["state"], row["note"]) for row in steps]


def test_what_does_not_apply_asks_why_and_what_is_open_takes_one_press(
    own_demo: Server, open_device: OpenDevice
) -> None:
    page = _ben_at_the_clinic(own_demo, open_device).page

    page.get_by_role("button", name="Joints and straight runs").first.click()
    sheet = page.get_by_role("dialog")
    sheet.get_by_role("radio", name="Does not apply").check()
    sheet.get_by_role("button", name="J3").click()
    page.get_by_label("Why it does not apply").fill("This joint was left out.")
    look_at(page)
    page.get_by_role("button", name="Mark it with this reason").click()

    row = page.get_by_role("dialog").get_by_role("button", name="J3")
    expect(row).to_contain_text("Does not apply")
    expect(row).to_contain_text("This joint was left out.")
    row.click()  # Taken back: the reason goes with the mark.
    expect(row).not_to_contain_text("This joint was left out.")
    page.get_by_role("radio", name="Done", exact=True).check()
    row.click()
    expect(row).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_label("Why it does not apply")).to_have_count(0)
    look_at(page)


def test_logging_and_leaving_fit_a_narrow_phone_with_large_text(own_demo: Server, open_device: OpenDevice) -> None:
    ben = _ben_at_the_clinic(own_demo, open_device)
    places = Places.on(own_demo.origin)

    for path in (f"{places.job}/log", f"{places.job}/log?unit={places.units['B2']}", f"{places.job}/leave"):
        ben.go(path)
        settle(ben.page)
        look_at(ben.page)
        look_at_large_text(ben.page)
