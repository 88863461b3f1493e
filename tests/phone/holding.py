"""What people do with holds that run by the clock: begin one, add to it, correct it."""

import re
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from playwright.sync_api import Locator, Page, expect
from playwright.sync_api import TimeoutError as TooLate

from tests.phone.phone import READ_TABLE, Phone

CLINIC = "Tern Lane Clinic"
MISSED_MS = 5_000


def set_clock(phone: Phone, *, at: datetime) -> None:
    """The phone's clock, as its owner or a flat battery may set it; it stands still there."""
    phone.page.clock.set_fixed_time(at)


def open_check(page: Page, *, origin: str, name: str, system: str) -> None:
    """From the list of jobs to a check of the clinic, through the list of checks."""
    page.goto(origin)
    page.get_by_role("link", name=CLINIC).first.click()
    page.get_by_role("link", name="Checks").click()
    expect(page.get_by_role("heading", name="Checks", level=1)).to_be_visible()
    pick_check(page, name=name, system=system)


def pick_check(page: Page, *, name: str, system: str) -> None:
    """From the list of checks, below the holds that run."""
    page.get_by_role("radio", name=f"System {system}").check()
    pipework = page.locator("section").filter(has=page.get_by_role("heading", name="Pipework"))
    pipework.get_by_role("link", name=name).click()
    expect(page.get_by_role("heading", level=1, name=name)).to_be_visible()


def fill(page: Page, values: dict[str, str]) -> None:
    for label, value in values.items():
        page.get_by_label(label, exact=True).fill(value)


def type_the_time(page: Page, *, ago: timedelta) -> None:
    """A reading made that long ago, by the clock of the site as the screen shows it."""
    page.get_by_role("button", name="Press for another time").click()
    day, time = page.get_by_label("Day of the reading"), page.get_by_label("Time", exact=True)
    zone = _zone_of_the_site(page)
    shown = datetime.fromisoformat(f"{day.input_value()}T{time.input_value()}").replace(tzinfo=zone)
    made = (shown.astimezone(UTC) - ago).astimezone(zone)
    day.fill(f"{made:%Y-%m-%d}")
    time.fill(f"{made:%H:%M}")


def _zone_of_the_site(page: Page) -> ZoneInfo:
    job = page.url.split("/job/")[1].split("/")[0]
    rows = page.evaluate(READ_TABLE, "rows")
    return ZoneInfo(next(row["fields"]["time_zone"] for row in rows if row["table"] == "job" and row["id"] == job))


def type_a_pressure_hold(page: Page) -> None:
    """60 litres at 550 psi and 70 degrees F, as the tables of the trade have it."""
    fill(page, {"Gauge pressure": "550", "Pipe temperature": "70", "Smallest step of the gauge": "0.1"})
    fill(page, {"Thermometer, give or take": "0.2", "Leak to exclude": "0.01"})
    cubic_feet = page.get_by_role("button", name=re.compile("ft³"))
    # Typed before, the draft keeps its litres.
    if cubic_feet.count():
        cubic_feet.click()
    page.get_by_label("Volume of the circuit", exact=True).fill("60")
    expect(page.get_by_role("button", name="Begin the hold")).to_be_enabled()


def type_a_vacuum(page: Page) -> None:
    """Pumped down to 290 micron, to stand for an hour below 500."""
    page.get_by_label("Limit and time").select_option("ufgs_15182")
    fill(page, {"Vacuum gauge": "290", "Coldest place of the circuit": "60", "Volume of the circuit": "2.1"})


def begin(page: Page) -> None:
    page.get_by_role("button", name="Begin the hold").click()
    is_saved(page)


def is_saved(page: Page) -> None:
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    expect(page.locator("canvas")).to_be_visible()


def add_reading(page: Page, values: dict[str, str], *, ago: timedelta | None = None) -> None:
    press_until(page.get_by_role("link", name="Add a reading"), then=page.get_by_label(next(iter(values)), exact=True))
    fill(page, values)
    if ago is not None:
        type_the_time(page, ago=ago)
    page.get_by_role("button", name="Save reading").click()
    is_saved(page)


def press_until(link: Locator, *, then: Locator) -> None:
    """It moves while the curve is drawn anew, and may be missed, as by a finger."""
    link.click()
    with suppress(TooLate):
        then.wait_for(timeout=MISSED_MS)
    if not then.is_visible():
        with suppress(TooLate):  # It was not missed: the form is only slow to come.
            link.click(timeout=MISSED_MS)


def correct_last_reading(page: Page, values: dict[str, str]) -> None:
    first = page.get_by_label(next(iter(values)), exact=True)
    press_until(page.get_by_role("link", name="Correct reading").first, then=first)
    fill(page, values)
    page.get_by_role("button", name="Save reading").click()
    is_saved(page)


def running(page: Page, name: str) -> Locator:
    section = page.locator("section").filter(has=page.get_by_role("heading", name="Running now"))
    return section.get_by_role("link", name=name)


# Hours before the last reading, psi, degrees F: a night outdoors, of a circuit that is tight.
NIGHT = ((16, "547.6", "67.9"), (13, "544.2", "65"), (9, "541.1", "62"), (5, "539.0", "60.5"), (0, "540.4", "61.6"))
# Minutes before the last reading, and micron: water in the circuit.
RISE = ((55, "425"), (50, "510"), (45, "575"), (35, "642"), (25, "680"), (15, "691"), (0, "702"))


def hold_of_a_night(page: Page) -> None:
    """Begun 18 hours ago with a coarse thermometer: unclear as yet."""
    type_a_pressure_hold(page)
    fill(page, {"Thermometer, give or take": "0.5", "Leak to exclude": "0.002"})
    type_the_time(page, ago=timedelta(hours=18))
    begin(page)
    for hours, gauge, pipe in NIGHT:
        values = {"Gauge pressure": gauge, "Pipe temperature": pipe}
        add_reading(page, values, ago=timedelta(hours=hours) if hours else None)


def vacuum_of_an_hour(page: Page) -> None:
    """It rises to where water is, and stays there."""
    type_a_vacuum(page)
    type_the_time(page, ago=timedelta(minutes=60))
    begin(page)
    for minutes, microns in RISE:
        ago = timedelta(minutes=minutes) if minutes else None
        add_reading(page, {"Vacuum gauge": microns}, ago=ago)


def type_one_more(page: Page) -> None:
    first = page.get_by_label("Gauge pressure", exact=True)
    press_until(page.get_by_role("link", name="Add a reading"), then=first)
    fill(page, {"Gauge pressure": "540.9", "Pipe temperature": "62"})
    expect(page.locator("canvas")).to_be_visible()
