"""The as-built sheet in the hands of the office, at a desk and on a phone: templates come down, filled sheets go up.

A sheet with bad rows is told of row by row and nothing of it is taken; a good one becomes a job.
"""

from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from demo_seed.people import ANA, BEN
from playwright.sync_api import Page, expect

from flarenut.jobs.shapes import MOST_UNITS
from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in
from tests.phone.filled_templates import BAD, GOOD, REPORTED, TAGS, filled, header_of
from tests.phone.looking import GLOVE_PX, MOUSE_PX, look_at
from tests.phone.phone import DESK, LIGHT_PHONE, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.server.jobs.sheets import csv_sheet, large_rows

ZONE = "America/Chicago"
MOST_INDOOR_UNITS = 1_383  # beside their boxes and their outdoor module
SITE = "Heron Yard Library (invented)"
KINDS_OF_DEVICE = pytest.mark.parametrize(
    ("device", "least_px"), [(LIGHT_PHONE, GLOVE_PX), (DESK, MOUSE_PX)], ids=["phone", "desk"]
)


@KINDS_OF_DEVICE
def test_the_template_comes_down_bad_rows_are_told_and_a_good_sheet_becomes_a_job(
    device: dict[str, Any], least_px: int, server: Server, open_device: OpenDevice, tmp_path: Path
) -> None:
    ana = open_device("ana", origin=server.origin, kind=device)
    page, view = ana.page, ServerView(server.origin, person=ANA)
    sign_in(ana, person=ANA)
    _describe_the_job(ana, least_px=least_px)

    text, workbook = (_download_the_template(page, ending=ending, folder=tmp_path) for ending in ("csv", "xlsx"))
    _choose(page, filled(workbook, rows=BAD, name="heron_bad"), button="Choose the sheet")
    _bad_rows_are_told(page, file="heron_bad.xlsx", least_px=least_px)
    _nothing_can_be_made_of_it(page, view=view, least_px=least_px)
    _choose(page, filled(text, rows=BAD, name="heron_bad"), button="Choose another sheet")
    _bad_rows_are_told(page, file="heron_bad.csv", least_px=least_px)
    _choose(page, filled(text, rows=GOOD, name="heron"), button="Choose another sheet")
    _the_good_sheet_is_clean(page, file="heron.csv", least_px=least_px)
    _choose(page, filled(workbook, rows=GOOD, name="heron"), button="Choose another sheet")
    _the_good_sheet_is_clean(page, file="heron.xlsx", least_px=least_px)
    _create(ana, least_px=least_px)

    _the_job_is_there_whole(view)


def _describe_the_job(ana: Phone, *, least_px: int) -> None:
    page = ana.page
    page.get_by_role("link", name="New job").first.click()
    page.get_by_label("Site name").fill(SITE)
    page.get_by_label("Address").fill("7 Heron Yard, Exampleton")
    page.get_by_label("Contractor firm").fill("Specimen Mechanical (invented)")
    page.get_by_label("Time zone of the site").select_option(ZONE)
    look_at(page, least_px=least_px)


def _download_the_template(page: Page, *, ending: str, folder: Path) -> Path:
    """As it lies among the downloads of the device: a real file with the columns that the import reads."""
    with page.expect_download() as coming:
        page.get_by_role("button", name=f"Template {ending.upper()}").click()
    assert coming.value.suggested_filename == f"as-built.{ending}"
    path = folder / coming.value.suggested_filename
    coming.value.save_as(path)
    assert {"kind", "tag", "system", "parent", "port", "room_m3"} <= set(header_of(path))
    return path


def _choose(page: Page, path: Path, *, button: str) -> None:
    with page.expect_file_chooser() as choosing:
        page.get_by_role("button", name=button).click()
    choosing.value.set_files(path)


def _bad_rows_are_told(page: Page, *, file: str, least_px: int) -> None:
    expect(page.get_by_role("heading", name=f"3 rows need mending in {file}. Nothing was imported.")).to_be_visible()
    lines = page.get_by_role("table").get_by_role("row")
    expect(lines).to_have_count(1 + len(REPORTED))
    assert lines.nth(0).get_by_role("columnheader").all_inner_texts() == ["Row", "Column", "What is wrong"]
    for number, (row, column, reason) in enumerate(REPORTED, 1):
        cells = lines.nth(number).get_by_role("cell")
        expect(cells.nth(0)).to_have_text(row)
        expect(cells.nth(1)).to_have_text(column)
        expect(cells.nth(2)).to_contain_text(reason)
        expect(cells.nth(2)).to_be_visible()
    look_at(page, least_px=least_px)


def _nothing_can_be_made_of_it(page: Page, *, view: ServerView, least_px: int) -> None:
    _plan_the_visit(page)
    page.get_by_role("button", name="Create job and visit").click()
    expect(page.get_by_text("Mend the sheet first: nothing is imported until it is clean.")).to_be_visible()
    look_at(page, least_px=least_px)
    for table in ("job", "system", "unit", "visit"):
        assert view.rows(table) == [], table


def _plan_the_visit(page: Page) -> None:
    page.get_by_label("Day", exact=True).fill(datetime.now(ZoneInfo(ZONE)).date().isoformat())
    page.get_by_label("Technician", exact=True).select_option(BEN.name)


def _the_good_sheet_is_clean(page: Page, *, file: str, least_px: int) -> None:
    expect(page.get_by_text(f"{file} is clean: {len(GOOD)} units on 1 system.")).to_be_visible()
    expect(page.get_by_text("2 indoor units", exact=True)).to_be_visible()
    expect(page.get_by_role("table")).to_have_count(0)  # nothing is left of the sheet before
    look_at(page, least_px=least_px)


def _create(ana: Phone, *, least_px: int) -> None:
    page = ana.page
    page.get_by_role("button", name="Create job and visit").click()
    expect(page.get_by_role("heading", name=SITE)).to_be_visible()
    expect(page.get_by_text(BEN.name).first).to_be_visible()
    look_at(page, least_px=least_px)


def _the_job_is_there_whole(view: ServerView) -> None:
    """Once, with every unit of the sheet where the sheet says it hangs."""
    [job] = view.wait_for("job", lambda rows: len(rows) == 1)
    [visit] = view.wait_for("visit", lambda rows: len(rows) == 1)
    units = {unit["tag"]: unit for unit in view.rows("unit")}
    assert (job["name"], visit["person_name"]) == (SITE, BEN.name)
    assert set(units) == TAGS
    assert units["HY-01"]["parent_id"] == units["HY-B1"]["id"]
    assert (units["HY-01"]["port"], units["HY-01"]["room_m3"]) == (1, 72.5)
    assert [(system["tag"], system["nominal_v"]) for system in view.rows("system")] == [("S1", 400)]


def test_the_largest_sheet_becomes_a_job(server: Server, open_device: OpenDevice, tmp_path: Path) -> None:
    ana = open_device("ana", origin=server.origin, kind=LIGHT_PHONE)
    page, view = ana.page, ServerView(server.origin, person=ANA)
    sign_in(ana, person=ANA)
    _describe_the_job(ana, least_px=GLOVE_PX)
    sheet = tmp_path / "large.csv"
    sheet.write_bytes(csv_sheet([{**row, "note": "ä" * 100} for row in large_rows(MOST_INDOOR_UNITS)]))

    _choose(page, sheet, button="Choose the sheet")
    expect(page.get_by_text(f"large.csv is clean: {MOST_UNITS:,} units on 1 system.")).to_be_visible()
    _plan_the_visit(page)
    _create(ana, least_px=GLOVE_PX)

    view.wait_for("visit", lambda rows: len(rows) == 1)
    assert len(view.rows("unit")) == MOST_UNITS


@KINDS_OF_DEVICE
def test_without_a_connection_template_and_sheet_say_so_and_what_was_typed_stays(
    device: dict[str, Any], least_px: int, server: Server, open_device: OpenDevice, tmp_path: Path
) -> None:
    ana = open_device("ana", origin=server.origin, kind=device)
    sign_in(ana, person=ANA)
    _describe_the_job(ana, least_px=least_px)
    template = _download_the_template(ana.page, ending="xlsx", folder=tmp_path)
    ana.lose_signal()

    ana.page.get_by_role("button", name="Template XLSX").click()
    expect(ana.page.get_by_text("The template needs a connection.")).to_be_visible()
    _choose(ana.page, filled(template, rows=GOOD, name="heron"), button="Choose the sheet")
    words = "Checking a sheet needs a connection. What you typed stays here."
    expect(ana.page.get_by_text(words)).to_be_visible()
    look_at(ana.page, least_px=least_px)

    ana.find_signal()
    _choose(ana.page, tmp_path / "heron.xlsx", button="Choose the sheet")
    _the_good_sheet_is_clean(ana.page, file="heron.xlsx", least_px=least_px)
    expect(ana.page.get_by_label("Site name")).to_have_value(SITE)
