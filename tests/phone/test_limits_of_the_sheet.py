"""Limits on the as-built sheet: the dispatcher sees them taken, and the forms of the job begin with them."""

from demo_seed.people import ANA, BEN
from playwright.sync_api import expect

from flarenut.jobs.template import template_csv
from tests.phone import holding
from tests.phone.conftest import OpenDevice
from tests.phone.looking import MOUSE_PX, look_at
from tests.phone.server_process import Server
from tests.phone.the_office import choose_sheet, describe_the_job

SOURCE = "invented contract, section 4"


def test_the_forms_of_a_job_begin_with_the_limits_of_its_sheet(own_demo: Server, open_desk: OpenDevice) -> None:
    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    page = ana.page
    ana.go("/")
    describe_the_job(ana)
    page.get_by_label("Site name").fill("Limit House")
    choose_sheet(ana, button="Choose the sheet", name="template.csv", content=template_csv())
    expect(page.get_by_text(f"4 limits for the whole job, from: {SOURCE}")).to_be_visible()
    look_at(page, least_px=MOUSE_PX)

    page.get_by_label("Day", exact=True).fill("2031-03-04")
    page.get_by_label("Technician", exact=True).select_option(BEN.name)
    page.get_by_role("button", name="Create job and visit").click()
    expect(page.get_by_role("heading", name="Limit House")).to_be_visible()
    job = page.url.split("/job/")[1].split("/")[0]

    ana.go(f"/job/{job}/checks")
    holding.pick_check(page, name="Standing vacuum", system="S1")
    expect(page.get_by_label("Limit and time")).to_have_value("limits_sheet")
    expect(page.get_by_role("option", name=f"from the sheet: {SOURCE}")).to_be_attached()
    ana.go(f"/job/{job}/checks")
    holding.pick_check(page, name="Pressure hold", system="S1")
    expect(page.get_by_label("Leak to exclude", exact=True)).to_have_value("0.001")
    expect(page.get_by_text(f"from the sheet: {SOURCE}")).to_be_visible()
    ana.go(f"/job/{job}/checks")
    page.get_by_role("link", name="Joint, straight and level").click()
    holding.fill(page, {"Straight before": "20", "Straight after": "30"})
    page.get_by_role("radio", name="Neither").check()
    expect(page.get_by_text(f"at least 23.62\N{NO-BREAK SPACE}in is wanted (from the sheet: {SOURCE}")).to_be_visible()
