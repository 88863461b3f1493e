"""Small jobs around the main one, so that the board shows every standing a job can have."""

from datetime import datetime

from demo_seed import holds
from demo_seed.cast import Cast
from demo_seed.people import DEE
from demo_seed.site import Site, open_site

HEADER = "kind,tag,system,system_kind,refrigerant,nominal_v,floor,place,room,room_m3,group_address,feeder\n"
PIPEWORK = ("pressure_hold", "evacuation", "standing_vacuum", "charge", "preheat")


def small_sheet(*, units: int, rooms: str) -> str:
    """A heat pump with one outdoor module and a few indoor units on two floors."""
    lines = ["outdoor_module,M1,S1,heat_pump,R-410A,460,Roof,Plant deck,,,,F1"]
    for number in range(1, units + 1):
        floor = 1 if number <= units / 2 else 2
        where = f"{floor},Corridor,{rooms} {number},{40 + 3 * number}"
        lines.append(f"indoor_unit,U{number},S1,,,,{where},{number},")
    return HEADER + "\n".join(lines) + "\n"


def _start(cast: Cast, *, name: str, street: str, units: int, rooms: str) -> Site:
    names = {"name": name, "address": f"{street}, Exampleton"}
    at = cast.calendar.workday(-14, "11:00")
    return open_site(cast.ana, **names, sheet=small_sheet(units=units, rooms=rooms), at=at)


def _send_dee(cast: Cast, *, site: Site, purpose: str, day: int) -> None:
    when = {"at": cast.calendar.workday(min(day, 0) - 1, "16:00"), "starts_at": cast.calendar.workday(day)}
    site.plan_visit(cast.ana, person_id=cast.ids[DEE.name], purpose=purpose, **when)


def _controls_are_proved(cast: Cast, *, site: Site, at: datetime) -> None:
    indoor = tuple(tag for tag, unit in site.units.items() if unit["kind"] == "indoor_unit")
    site.mark(cast.dee, code="walk_install", system="S1", at=at)
    site.mark(cast.dee, code="supply", system="S1", at=at, units=("M1",))
    site.mark(cast.dee, code="power_units", system="S1", at=at, units=indoor)
    site.mark(cast.dee, code="count", system="S1", at=at)
    for code in ("addresses", "unit_settings"):
        site.mark(cast.dee, code=code, system="S1", at=at, units=indoor)


def _pipework_is_proved(cast: Cast, *, site: Site, at: datetime) -> None:
    for code in PIPEWORK:
        site.mark(cast.dee, code=code, system="S1", at=at)


def _pipework_is_measured(cast: Cast, *, site: Site, day: int) -> None:
    """A hold over night and a vacuum after it, each with the looks that were written down."""

    def at(clock: str) -> datetime:
        return cast.calendar.workday(day, clock)

    evening = cast.calendar.workday(day - 1, "10:50")
    held = [(evening, 550.0, 18.0), (at("07:10"), 543.7, 15.0), (at("11:10"), 555.1, 20.5)]
    looks = [holds.gauge_look(when, psi=psi, pipe_c=pipe_c) for when, psi, pipe_c in held]
    holds.record_hold(cast.dee, holds.PRESSURE, site=site, system="S1", looks=looks)
    site.mark(cast.dee, code="evacuation", system="S1", at=at("12:30"))
    stood = [("12:40", 290), ("12:50", 305), ("13:05", 313), ("13:20", 318), ("13:42", 321)]
    shut_off = [holds.vacuum_look(at(clock), micron=micron) for clock, micron in stood]
    holds.record_hold(cast.dee, holds.VACUUM, site=site, system="S1", looks=shut_off)
    for code in ("charge", "preheat"):
        site.mark(cast.dee, code=code, system="S1", at=at("14:00"))


def _leave(cast: Cast, *, site: Site, at: datetime, issues_open: int) -> None:
    summary = {"done": [], "not_done": [], "issues_open": issues_open}
    site.close_visit(cast.dee, at=at, summary=summary, note="")


def ready_to_book(cast: Cast) -> None:
    """Sample Quay Offices: everything before the test run is proved."""
    site, day = _start(cast, name="Sample Quay Offices", street="4 Sample Quay", units=6, rooms="Office"), -5
    _send_dee(cast, site=site, purpose="part_one", day=day)
    _controls_are_proved(cast, site=site, at=cast.calendar.workday(day, "11:00"))
    _pipework_is_measured(cast, site=site, day=day)
    _leave(cast, site=site, at=cast.calendar.workday(day, "15:00"), issues_open=0)


def waiting(cast: Cast) -> None:
    """Placeholder Mill: a floor without power, promised for later this week."""
    site, day = _start(cast, name="Placeholder Mill", street="9 Mill Road", units=8, rooms="Workshop"), -4
    _send_dee(cast, site=site, purpose="part_one", day=day)
    site.raise_issue(
        cast.dee,
        "no power",
        at=cast.calendar.workday(day, "09:30"),
        unit="U5",
        picture="dark_display",
        category="no_power",
        words="Floor 2 has no power",
        action="Energise the distribution board of floor 2.",
        evidence="Photo of the board with every breaker named",
        stops=["controls"],
    )
    _leave(cast, site=site, at=cast.calendar.workday(day, "14:00"), issues_open=1)
    promise = {"words": "The board is energised after its inspection.", "day": cast.calendar.workday(3)}
    kim = cast.contractor_on(site)
    site.promised(kim, "no power", at=cast.calendar.workday(-3, "10:00"), **promise)


def promise_passed(cast: Cast) -> None:
    """Notional Arcade: the drain was promised for two working days ago."""
    site, day = _start(cast, name="Notional Arcade", street="30 Arcade Row", units=10, rooms="Shop"), -8
    _send_dee(cast, site=site, purpose="part_one", day=day)
    _controls_are_proved(cast, site=site, at=cast.calendar.workday(day, "11:00"))
    site.raise_issue(
        cast.dee,
        "drain",
        at=cast.calendar.workday(day, "13:00"),
        unit="U7",
        picture="uphill_drain",
        category="drain",
        words="Condensate drain climbs away from the unit",
        action="Lay the drain with a fall all the way and test it with water.",
        evidence="Photo of a level on the drain, and of the water test",
        stops=["test_run"],
    )
    _leave(cast, site=site, at=cast.calendar.workday(day, "15:00"), issues_open=1)
    promise = {"words": "The plumber comes on that day.", "day": cast.calendar.workday(-2)}
    kim = cast.contractor_on(site)
    site.promised(kim, "drain", at=cast.calendar.workday(-6, "10:00"), **promise)


def booked(cast: Cast) -> None:
    """Example Row School: the return visit stands in the calendar."""
    site, day = _start(cast, name="Example Row School", street="17 Example Row", units=7, rooms="Classroom"), -7
    _send_dee(cast, site=site, purpose="part_one", day=day)
    _controls_are_proved(cast, site=site, at=cast.calendar.workday(day, "11:30"))
    _pipework_is_proved(cast, site=site, at=cast.calendar.workday(day, "14:30"))
    _leave(cast, site=site, at=cast.calendar.workday(day, "15:20"), issues_open=0)
    _send_dee(cast, site=site, purpose="part_two", day=4)


def not_begun(cast: Cast) -> None:
    """Made-up House: the sheet is read, and nobody has been there yet."""
    _start(cast, name="Made-up House", street="2 Invention Close", units=4, rooms="Flat")
