"""Tern Lane Clinic: a part-one visit last week, answers since, and Ben on site again today.

Three-storey public building, invented like everything in it. System S1 recovers heat through four branch
boxes; S2 is a small heat pump without boxes.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from demo_seed.calendar import Calendar, wire_day
from demo_seed.readings import record_supply
from demo_seed.site import Site, open_site
from demo_seed.voice import Voice

# The hour of a day that is already chosen.
Clock = Callable[[str], datetime]
SHEET = Path(__file__).with_name("tern_lane_as_built.csv")
NAME = "Tern Lane Clinic"
ADDRESS = "1 Tern Lane, Exampleton"


def set_up(ana: Voice, *, calendar: Calendar, ben_id: str) -> Site:
    """Ana reads the as-built sheet and gives the first visit to Ben."""
    at = calendar.workday(-12, "10:05")
    site = open_site(ana, name=NAME, address=ADDRESS, sheet=SHEET.read_text(), at=at)
    first = calendar.workday(-6)
    site.plan_visit(ana, person_id=ben_id, purpose="part_one", at=calendar.workday(-11), starts_at=first)
    return site


def first_visit(ben: Voice, *, site: Site, calendar: Calendar) -> None:
    """Ben walks the install, proves what he can, and finds the leak after the hold had passed."""

    def at(clock: str) -> datetime:
        return calendar.workday(-6, clock)

    for system in ("S1", "S2"):
        site.mark(ben, code="walk_install", system=system, at=at("08:10"))
    site.mark(ben, code="joints", system="S1", at=at("08:40"), units=("J1", "J2", "J3", "J4", "J6"))
    site.mark(ben, code="joints", system="S2", at=at("08:55"), units=("J8", "J9", "J10"))
    _log_what_the_walk_showed(ben, site=site, at=at)
    record_supply(ben, site=site, unit="M1", at=at("10:20"), volts=(462, 463, 455), rotation="forward")
    record_supply(ben, site=site, unit="M2", at=at("10:35"), volts=(461, 463, 456), rotation="reverse")
    _log_the_reversed_module(ben, site=site, at=at("10:38"))
    powered = ("L1-01", "L1-02", "L1-04", "L2-01", "L2-02", "L2-03", "L2-04", "L2-05", "L2-06", "L2-07")
    site.mark(ben, code="power_units", system="S1", at=at("11:30"), units=powered)
    _log_the_shared_address(ben, site=site, at=at("11:45"))
    site.mark(ben, code="pressure_hold", system="S1", at=at("13:05"))
    _log_the_leak(ben, site=site, at=at("13:40"), due=calendar.workday(4))
    site.close_visit(ben, at=at("15:20"), summary=_summary(site), note="Leak at B2 stops the refrigerant side.")


def _log_what_the_walk_showed(ben: Voice, *, site: Site, at: Clock) -> None:
    """In the order of the walk; the numbers of the issues follow from it."""
    _log_the_pipework(ben, site=site, at=at)
    _log_the_rooms(ben, site=site, at=at)
    _log_the_controls(ben, site=site, at=at)


def _log_the_pipework(ben: Voice, *, site: Site, at: Clock) -> None:
    """Two joints: one hangs, one is bare."""
    site.raise_issue(
        ben,
        "sagging joint",
        at=at("08:57"),
        unit="J5",
        picture="sagging_pipe",
        category="pipe_support",
        words="Joint J5 hangs between two supports and is not level",
        action="Support the pipe on both sides of the joint and set the joint level.",
        evidence="Photo of joint J5 with a level on it",
    )
    site.raise_issue(
        ben,
        "bare pipe",
        at=at("09:02"),
        unit="J6",
        picture="bare_pipe",
        category="insulation",
        words="Insulation ends short of joint J6",
        action="Close the gap once the hold has passed.",
        evidence="Photo of the covered pipe",
    )


def _log_the_rooms(ben: Voice, *, site: Site, at: Clock) -> None:
    """What stands in the way in the rooms."""
    site.raise_issue(
        ben,
        "small hatch",
        at=at("09:15"),
        unit="L3-05",
        picture="small_hatch",
        category="access",
        words="Ceiling hatch is smaller than the service side of the unit",
        action="Enlarge the hatch, or say who accepts it as it is.",
        evidence="Photo, or a name",
    )
    site.raise_issue(
        ben,
        "uphill drain",
        at=at("09:25"),
        unit="K3-02",
        picture="uphill_drain",
        category="drain",
        words="Condensate drain climbs away from the unit",
        action="Lay the drain with a fall all the way and test it with water.",
        evidence="Photo of a level on the drain, and of the water test",
        stops=["test_run"],
    )


def _log_the_controls(ben: Voice, *, site: Site, at: Clock) -> None:
    """A poor connection, and a unit that stays dark."""
    site.raise_issue(
        ben,
        "connectors",
        at=at("09:35"),
        unit="W2-02",
        picture="twisted_wires",
        category="wiring",
        words="Twist-on connectors in the communication line",
        action="Cut out the connectors and end the line at the terminals of the board.",
        evidence="Photo of the terminals with the cover off",
        stops=["controls"],
    )
    site.raise_issue(
        ben,
        "no display",
        at=at("09:45"),
        unit="L1-03",
        picture="dark_display",
        category="no_power",
        words="No display: the unit has no power",
        action="Find the open breaker or the loose core and restore the supply.",
        evidence="Photo of the lit display",
        stops=["controls"],
    )


def _log_the_shared_address(ben: Voice, *, site: Site, at: datetime) -> None:
    site.raise_issue(
        ben,
        "same address",
        at=at,
        unit="L2-10",
        category="address",
        words="Answers to the address of L2-09 as well",
        action="Set the address from the sheet again and count once more.",
        stops=["controls"],
        who_must_act="technician",
    )


def _log_the_reversed_module(ben: Voice, *, site: Site, at: datetime) -> None:
    site.raise_issue(
        ben,
        "rotation",
        at=at,
        unit="M2",
        picture="reversed_rotation",
        category="supply_rotation",
        words="Rotation is reversed. M1 on the same feeder is right.",
        action="Qualified person: lock out, test dead, swap two conductors at the module's own supply, re-measure.",
        evidence="Photo of the rotation tester at M2",
        stops=["supply"],
    )


def _log_the_leak(ben: Voice, *, site: Site, at: datetime, due: datetime) -> None:
    site.raise_issue(
        ben,
        "leak",
        at=at,
        unit="B2",
        picture="weeping_flare",
        category="leak",
        words="Flare weeps at the liquid line, port 5",
        action="Recover what is in the line, remake the flare, hold at test pressure for 24 h, then vacuum.",
        evidence="Photo of the new flare and the hold readings",
        stops=["refrigerant"],
        opens_circuit=True,
        due_on=wire_day(due),
    )


def _summary(site: Site) -> dict[str, Any]:
    s1, s2 = site.systems["S1"], site.systems["S2"]
    shut = {"state": "gated", "why": ["issue"]}
    return {
        "done": [
            {"system_id": s1, "code": "walk_install", "count": 1},
            {"system_id": s1, "code": "joints", "count": 5},
            {"system_id": s1, "code": "power_units", "count": 10},
            {"system_id": s2, "code": "walk_install", "count": 1},
            {"system_id": s2, "code": "joints", "count": 3},
        ],
        "not_done": [
            {"system_id": s1, "code": "pressure_hold", **shut, "words": "Reset by the leak at B2"},
            {"system_id": s1, "code": "addresses", **shut, "words": "Communication line at W2-02"},
        ],
        "issues_open": 9,
    }


def answers_come_in(kim: Voice, *, site: Site, calendar: Calendar) -> None:
    """Kim, who fixes for the contractor, answers from the link."""
    lit = "Breaker 14 was open. The display is lit and counts to 21.5."
    site.fixed(kim, "no display", at=calendar.workday(-4, "09:15"), words=lit, picture="lit_display")
    held = "Support added at the joint."
    site.fixed(kim, "sagging joint", at=calendar.workday(-4, "11:00"), words=held, picture="another_joint")
    covered = "Gap closed with the same thickness."
    site.fixed(kim, "bare pipe", at=calendar.workday(-4, "11:20"), words=covered, picture="covered_pipe")
    soon = "Brazier is booked. The flare is remade and under nitrogen by then."
    site.promised(kim, "leak", at=calendar.workday(-3, "16:40"), words=soon, day=calendar.workday(2))


def answers_are_looked_at(ana: Voice, *, site: Site, calendar: Calendar, ben_id: str) -> None:
    """Ana reads the photos at her desk, and sends Ben out again for today."""
    at = calendar.workday(-2, "08:30")
    again = "The photo shows joint J4. J5 in the east corridor still hangs."
    site.tell(ana, "issue.send_back", "sagging joint", at=at, words=again)
    site.tell(ana, "issue.prove", "bare pipe", at=at, words="Seen in the photo; insulation closes at the joint.")
    reason = "The unit can be reached from the next room's hatch."
    owner = "Lee Instance, for the owner (invented)"
    site.tell(ana, "issue.accept", "small hatch", at=at, name=owner, reason=reason)
    today = {"at": calendar.workday(-1, "09:00"), "starts_at": calendar.workday(0)}
    site.plan_visit(ana, person_id=ben_id, purpose="part_one", **today)
