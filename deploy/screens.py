"""Every screen of the demo, by the name of its picture: where it is and what is opened on it.

`deploy/screenshots` draws them; `tests/phone/test_every_screen.py` looks at them with axe.
"""

from collections.abc import Callable
from dataclasses import dataclass

from demo_seed.people import ANA
from playwright.sync_api import Page, expect
from tests.phone import holding, port_rounds
from tests.phone.server_view import ServerView

CLINIC = "Tern Lane Clinic"


def _as_it_opens(_page: Page) -> None:
    """Nothing more than going there."""


@dataclass(frozen=True)
class Shot:
    """One picture: its name, its path, and what is done there first."""

    name: str
    path: str
    then: Callable[[Page], None] = _as_it_opens


@dataclass(frozen=True)
class Places:
    """Where the clinic's job, units and issues are on this server."""

    job: str
    units: dict[str, str]
    issues: dict[str, str]

    @classmethod
    def on(cls, origin: str) -> "Places":
        view = ServerView(origin, person=ANA)
        job = next(job["id"] for job in view.rows("job") if job["name"].startswith(CLINIC))
        units = {unit["tag"]: unit["id"] for unit in view.rows("unit") if unit["job_id"] == job}
        issues = {issue["category"]: issue["id"] for issue in view.rows("issue") if issue["job_id"] == job}
        return cls(job=f"/job/{job}", units=units, issues=issues)

    def issue(self, category: str) -> str:
        return f"{self.job}/issue/{self.issues[category]}"


def settle(page: Page) -> None:
    """The screen has its heading, its photos, and nothing that still says it is coming."""
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(page.locator(".skeleton")).to_have_count(0)
    page.wait_for_function("() => [...document.images].every((image) => image.complete)")
    page.wait_for_load_state("networkidle")


def technician_shots(places: Places) -> list[Shot]:
    job, units = places.job, places.units
    return [
        Shot("start", "/"),
        Shot("job", job),
        Shot("job-step", job, _open_step("Joints and straight runs")),
        Shot("job-gated-step", job, _open_step("Pressure hold")),
        Shot("round", f"{job}/round"),
        Shot("unit", f"{job}/unit/{units['L1-03']}"),
        Shot("unit-module", f"{job}/unit/{units['M2']}"),
        Shot("issues", f"{job}/issues"),
        Shot("issue-open", places.issue("leak")),
        Shot("issue-answered", places.issue("no_power")),
        Shot("issue-prove", places.issue("no_power"), _press("Prove it")),
        Shot("issue-send-back", places.issue("no_power"), _press("Send back")),
        Shot("issue-accept", places.issue("leak"), _press("Accept as is")),
        Shot("issue-change", places.issue("leak"), _press("Change")),
        Shot("log-unit", f"{job}/log"),
        Shot("log", f"{job}/log?unit={units['B2']}", _pick_leak),
        Shot("supply-keypad", f"{job}/supply/{units['M3']}", _first_voltage),
        Shot("supply", f"{job}/supply/{units['M3']}", _reversed_supply),
        Shot("checks", f"{job}/checks"),
        Shot("check-superheat", f"{job}/checks", _check("Superheat", _superheat)),
        Shot("check-subcooling", f"{job}/checks", _check("Subcooling", _subcooling)),
        Shot("check-saturation", f"{job}/checks", _check("Saturation", _as_it_opens)),
        Shot("check-barometer", f"{job}/checks", _check("Barometer from altitude", _as_it_opens)),
        Shot("check-room-limit", f"{job}/checks", _check("Room limit", _room_too_small)),
        Shot("check-extra-charge", f"{job}/checks", _check("Extra charge", _two_lines)),
        Shot("check-joint", f"{job}/check/joint_geometry?unit={units['J4']}", _short_straight),
        Shot("check-air-side", f"{job}/check/air_side?unit={units['L1-03']}", type_the_air),
        Shot("check-count", f"{job}/checks", _check("Count units and ports", _short_count)),
        Shot("check-addresses", f"{job}/check/addresses?unit={units['L2-10']}", _ranges),
        Shot("check-port-switches", f"{job}/check/port_switches?unit={units['B4']}", _boards),
        Shot("port-plan", f"{job}/checks", _port_check(port_rounds.planned)),
        Shot("port-round", f"{job}/checks", _port_check(port_rounds.in_the_first_round)),
        Shot("port-result", f"{job}/checks", _port_check(port_rounds.all_read)),
        Shot("hold-begin", f"{job}/checks", _hold("Pressure hold", holding.type_a_pressure_hold)),
        Shot("hold", f"{job}/checks", _hold("Pressure hold", holding.hold_of_a_night)),
        Shot("hold-add", f"{job}/checks", _hold("Pressure hold", holding.type_one_more)),
        Shot("vacuum", f"{job}/checks", _hold("Standing vacuum", holding.vacuum_of_an_hour)),
        Shot("checks-running", f"{job}/checks"),
        Shot("readings", f"{job}/readings"),
        Shot("reading", f"{job}/readings", _first_reading),
        Shot("leave", f"{job}/leave"),
        Shot("you", "/you"),
        Shot("attention", "/attention"),
    ]


def contractor_shots(places: Places) -> list[Shot]:
    return [
        Shot("answer", "/answer"),
        Shot("answer-issue", f"/answer/issue/{places.issues['leak']}"),
        Shot("answer-promise", f"/answer/issue/{places.issues['wiring']}", _not_yet),
    ]


def desk_shots(places: Places) -> list[Shot]:
    return [
        Shot("board", "/board"),
        Shot("new-job", "/new-job"),
        Shot("office", f"{places.job}/office"),
        Shot("office-link", f"{places.job}/office", _press("Make a link")),
        Shot("office-call-off", f"{places.job}/office", _call_off),
        Shot("book", f"{places.job}/book"),
        Shot("book-change", f"{places.job}/office", _change_the_visit),
        Shot("office-readings", f"{places.job}/readings?from=office"),
    ]


def _press(name: str) -> Callable[[Page], None]:
    def then(page: Page) -> None:
        page.get_by_role("button", name=name, exact=True).first.click()
        expect(page.get_by_role("dialog")).to_be_visible()

    return then


def _call_off(page: Page) -> None:
    page.get_by_role("button", name="Call off the visit of").first.click()
    expect(page.get_by_role("dialog")).to_be_visible()


def _change_the_visit(page: Page) -> None:
    page.get_by_role("link", name="Change the visit of").first.click()
    expect(page.get_by_role("heading", name="Change a visit")).to_be_visible()


def _open_step(name: str) -> Callable[[Page], None]:
    def then(page: Page) -> None:
        page.get_by_role("button", name=name).first.click()
        expect(page.get_by_role("dialog")).to_be_visible()

    return then


def _pick_leak(page: Page) -> None:
    page.get_by_role("radio", name="Leak", exact=True).check()
    expect(page.get_by_text("Stops the refrigerant side")).to_be_visible()


def _first_voltage(page: Page) -> None:
    page.get_by_label("Line 1 to 2").fill("46")
    expect(page.get_by_role("group", name="Number keys")).to_be_visible()


def _reversed_supply(page: Page) -> None:
    for name, volts in (("Line 1 to 2", "462"), ("Line 2 to 3", "463"), ("Line 3 to 1", "455")):
        page.get_by_label(name).fill(volts)
    page.get_by_role("radio", name="Reversed", exact=True).check()
    page.get_by_label("Line 3 to 1").blur()
    expect(page.get_by_text("Fail: reversed rotation")).to_be_visible()


def _first_reading(page: Page) -> None:
    page.get_by_role("main").get_by_role("link").first.click()
    expect(page.get_by_role("heading", name="What was typed")).to_be_visible()


def _type(page: Page, numbers: dict[str, str]) -> None:
    for label, text in numbers.items():
        page.get_by_label(label, exact=True).fill(text)
    page.keyboard.press("Tab")


def _check(name: str, then: Callable[[Page], None]) -> Callable[[Page], None]:
    """From the list of checks, so that it is made on the system shown there."""

    def opened(page: Page) -> None:
        page.get_by_role("link", name=name).first.click()
        expect(page.get_by_role("button", name="Save reading")).to_be_visible()
        then(page)

    return opened


def _hold(name: str, then: Callable[[Page], None]) -> Callable[[Page], None]:
    """On the first system, where the hold that is begun here runs for the pictures after it."""

    def opened(page: Page) -> None:
        holding.pick_check(page, name=name, system="S1")
        then(page)

    return opened


def _superheat(page: Page) -> None:
    _type(page, {"Gauge pressure": "118", "Suction line": "55", "Altitude": "650"})
    expect(page.get_by_text("above the dew point")).to_be_visible()


def _subcooling(page: Page) -> None:
    _type(page, {"Gauge pressure": "340", "Liquid line": "95", "Altitude": "650"})
    expect(page.get_by_text("below the bubble point")).to_be_visible()


def _room_too_small(page: Page) -> None:
    _type(page, {"Charge of the circuit": "80"})
    page.get_by_role("button", name="Take 26").click()
    expect(page.get_by_text("Fail: more than this room allows")).to_be_visible()


def _two_lines(page: Page) -> None:
    page.get_by_role("button", name="Add a line").click()
    for name, size, length in (("Line 1", "5/8 coil", "66"), ("Line 2", "3/8 coil", "98")):
        page.get_by_label(f"{name}, size").select_option(size)
        page.get_by_label(f"{name}, length").fill(length)
    expect(page.get_by_text("Together")).to_be_visible()


def _short_count(page: Page) -> None:
    _type(page, {"Units that answer": "22"})
    page.get_by_role("radio", name="Which").check()
    page.get_by_role("button", name="B1-3 answers").click()
    page.get_by_role("button", name="L2-10: Not running").click()
    expect(page.get_by_text("Found so far: L2-10")).to_be_visible()


def _ranges(page: Page) -> None:
    for name, number in (("Group, lowest", "1"), ("Group, highest", "28")):
        page.get_by_label(name).fill(number)
    page.keyboard.press("Tab")
    expect(page.get_by_role("heading", name="Fail: out of range")).to_be_visible()


def _boards(page: Page) -> None:
    _type(page, {"Positions on one board": "4"})
    expect(page.get_by_role("heading", name="Board 3")).to_be_visible()


def _port_check(then: Callable[[Page], None]) -> Callable[[Page], None]:
    """Begun anew where the picture before left it under way."""

    def opened(page: Page) -> None:
        page.get_by_role("link", name="Port check").first.click()
        rounds = page.get_by_role("navigation", name="Rounds")
        # What was begun comes from the phone's store a moment after the screen.
        expect(rounds.or_(page.get_by_role("radio", name="1 of a unit")).first).to_be_visible()
        if rounds.count():
            page.get_by_role("button", name="Result").click()
            page.get_by_role("button", name="Plan anew").click()
            page.get_by_role("button", name="Throw away").click()
        then(page)

    return opened


def type_the_air(page: Page) -> None:
    page.get_by_role("radio", name="In the supply").check()
    bulbs = {
        "Return, dry bulb": "80.6",
        "Return, wet bulb": "66.2",
        "Supply, dry bulb": "57.2",
        "Supply, wet bulb": "54.5",
    }
    _type(page, {**bulbs, "Air flow": "530", "Altitude": "650"})
    expect(page.get_by_text("is one standard uncertainty")).to_be_visible()


def _short_straight(page: Page) -> None:
    page.get_by_role("radio", name="Level").check()
    _type(page, {"Straight before": "24", "Straight after": "12", "Out of true": "2"})
    expect(page.get_by_text("Fail: straight run too short")).to_be_visible()


def _not_yet(page: Page) -> None:
    page.get_by_role("radio", name="Not yet", exact=True).check()
    expect(page.get_by_text("Will be fixed by")).to_be_visible()
