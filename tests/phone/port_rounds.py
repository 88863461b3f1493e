"""A site whose ports are switched round by round, and what a thermometer shows at each of its units."""

import math
import re

from playwright.sync_api import Locator, Page, expect

ROUND_S, LAG_S = 600, 300
ROOM_F, ANSWER_F = 75.0, 16.0
SWAPPED = {"L2-03": "L2-04", "L2-04": "L2-03"}
PLAN = """() => [...document.querySelectorAll(".plan-grid tbody tr")].map((row) => [
  row.querySelector("th").textContent,
  [...row.querySelectorAll("td")].map((cell) => cell.textContent.trim()),
])"""


class Site:
    """What the supply air of each unit does while ports are switched on and off."""

    def __init__(self, plan: list[tuple[str, list[str]]], *, swapped: dict[str, str]) -> None:
        self.codes = {tag: [word == "on" for word in words] for tag, words in plan}
        self.rounds = len(plan[0][1])
        self._port_of = {tag: swapped.get(tag, tag) for tag in self.codes}
        self._shares = dict.fromkeys(self.codes, 0.0)

    def run_round(self, on: set[str]) -> None:
        """A first-order lag: what is left of the round before fades, the rest follows the port."""
        left = math.exp(-ROUND_S / LAG_S)
        for tag, port in self._port_of.items():
            self._shares[tag] = left * self._shares[tag] + (1 - left) * (port in on)

    def on_in(self, number: int) -> set[str]:
        return {tag for tag, code in self.codes.items() if code[number - 1]}

    def supply_f(self, tag: str) -> str:
        return f"{ROOM_F - ANSWER_F * self._shares[tag]:.1f}"

    def warmer_f(self, tag: str) -> str:
        return f"{ANSWER_F * self._shares[tag]:.1f}"


def plan(page: Page, *, choices: tuple[str, ...] = ()) -> None:
    """One wrong reading of a unit is noticed: six rounds for the clinic."""
    for choice in ("1 of a unit", *choices):
        page.get_by_role("radio", name=choice).check()
    expect(page.get_by_text("6 rounds for 24 units.")).to_be_visible()


def begin(page: Page, *, swapped: dict[str, str]) -> Site:
    site = Site(page.evaluate(PLAN), swapped=swapped)
    page.get_by_role("button", name="Begin the check").click()
    return site


def field(page: Page, tag: str) -> Locator:
    """The draft knows units by their id, people by their tag."""
    return page.get_by_role("textbox", name=re.compile(rf"^{tag}\b"))


def read_the_start(page: Page, site: Site) -> None:
    expect(page.get_by_role("heading", name="Start: all off")).to_be_visible()
    for tag in site.codes:
        field(page, tag).fill(f"{ROOM_F:.0f}")


def go_on(page: Page, *, to: str) -> None:
    page.locator("footer").get_by_role("button", name=to).click()


def leave_round(page: Page, site: Site, *, number: int) -> None:
    go_on(page, to="To the result" if number == site.rounds else f"To round {number + 1}")


def run_to(page: Page, *, number: int) -> Site:
    """Planned, begun, and read up to this round, which is on the screen with its clock running."""
    plan(page)
    site = begin(page, swapped=SWAPPED)
    read_the_start(page, site)
    go_on(page, to="To round 1")
    for at in range(1, number + 1):
        site.run_round(site.on_in(at))
        page.get_by_role("button", name="All switched: start the clock").click()
        for tag in site.codes:
            field(page, tag).fill(site.supply_f(tag))
        if at < number:
            leave_round(page, site, number=at)
    return site


def planned(page: Page) -> None:
    plan(page)


def in_the_first_round(page: Page) -> None:
    run_to(page, number=1)
    page.keyboard.press("Tab")


def all_read(page: Page) -> None:
    """Over from where the picture before left it, then to the end."""
    site = run_to(page, number=6)
    leave_round(page, site, number=6)
    expect(page.get_by_role("heading", name="Fail: ports are swapped")).to_be_visible()
