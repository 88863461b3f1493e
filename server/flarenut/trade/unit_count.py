"""The count: how many indoor units answer, and which one to look at first when some do not."""

from . import ranges, suspects, verdicts

NAME = "unit_count"
WHAT = "Indoor units that answer against the as-built sheet, and where to look for missing ones"

MOST_UNITS = 512  # Far more than one system of this trade has (P).
CAUTIONS = ["caution.electric", "caution.height"]

INPUTS = [
    ("expected", "", True, "list of {unit, port}: the indoor units of the sheet"),
    ("expected[].unit", "", True, "a name used once, an id or a tag"),
    ("expected[].port", "", False, "name or number of the port the sheet puts it on"),
    ("reported_units", "", True, "how many units the outdoor module says answer, 0 to 512"),
    ("reported_ports", "", False, "how many ports answer, or the list of their names"),
    ("fan_seen", "", False, "list of {unit, running}: all fans told to run, seen in the room"),
    ("powered", "", False, "list of {unit, seen}: looked at; a unit not listed was not"),
]
OUTPUTS = [
    ("missing_count", "", "units that do not answer; 0 when none is missing"),
    ("extra_count", "", "units that answer beyond the sheet; 0 when none does"),
    ("suspects", "", "list of {unit, port, score, reasons}, the likeliest first"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now, the first thing first"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def unit_count(data: dict[str, object]) -> dict[str, object]:
    """Verdict on a count, and the suspects when units are missing."""
    units = suspects.read_units(data, most=MOST_UNITS)
    reported = ranges.whole(data, "reported_units", low=0, high=MOST_UNITS, unit="units")
    ports = suspects.Ports(units, told=suspects.read_ports(data))
    missing = len(units) - reported
    values = {"expected": len(units), "reported": reported}
    if missing > 0:
        reasons = [verdicts.reason("count_short", missing=missing, **values)]
        verdict, todo = _judge_short(units, missing=missing, reasons=reasons)
    elif missing < 0:
        reasons = [verdicts.reason("count_over", extra=-missing, **values)]
        verdict, todo = _judge_over(ports, reasons=reasons)
    else:
        reasons = [verdicts.reason("count_equal", **values)]
        verdict, todo = _judge_equal(units, ports=ports, reasons=reasons)
    reasons.extend(ports.described())
    # A fan that runs has power: who saw none looked earlier, or at another unit.
    both = [unit.name for unit in units if unit.runs is True and unit.powered is False]
    if both:
        reasons.append(verdicts.reason("runs_without_power", units=both))
    return {
        "missing_count": max(0, missing),
        "extra_count": max(0, -missing),
        "suspects": suspects.ordered(units, ports=ports) if missing > 0 else [],
        "verdict": verdict,
        "reasons": reasons,
        "next": todo,
        "cautions": list(CAUTIONS),
    }


def _judge_short(
    units: list[suspects.Unit], *, missing: int, reasons: list[dict[str, object]]
) -> tuple[str, list[str]]:
    """Mend what was found and count again; else go on looking where it is cheapest to look."""
    found = _found(units)
    left = missing - len(found)
    if left <= 0:
        code = "missing_units_found" if left == 0 else "more_found_than_missing"
        reasons.append(verdicts.reason(code, units=found, missing=missing))
        return verdicts.FAIL, ["next.mend_found_units", "next.recount"]
    todo = ["next.run_all_fans", "next.walk_the_suspects"]
    if found:
        reasons.append(verdicts.reason("some_units_found", units=found, still_missing=left))
        todo.insert(0, "next.mend_found_units")
    unseen = [unit for unit in units if unit.runs is None and not unit.is_found]
    if not unseen:
        # A fan can run from its own wall controller, one address given twice counts once,
        # and a unit may have come back since the count.
        reasons.append(verdicts.reason("all_units_looked_at", still_missing=left))
        todo[-2:] = ["next.recount", "next.look_for_an_address_twice", "next.look_at_the_wiring"]
    elif any(unit.powered is None for unit in unseen):
        todo.insert(len(todo) - 2, "next.look_for_power")
    return verdicts.FAIL, todo


def _judge_over(
    ports: suspects.Ports, *, reasons: list[dict[str, object]]
) -> tuple[str, list[str]]:
    """One answers that the sheet does not know, or one answers twice."""
    reasons.extend([verdicts.reason("unit_not_on_sheet"), verdicts.reason("unit_counted_twice")])
    todo = ["next.look_for_units_not_on_sheet", "next.look_for_joined_systems", "next.recount"]
    if ports.wrong():
        todo.insert(0, "next.compare_ports_with_sheet")
    return verdicts.FAIL, todo


def _judge_equal(
    units: list[suspects.Unit], *, ports: suspects.Ports, reasons: list[dict[str, object]]
) -> tuple[str, list[str]]:
    """The number is right; what was seen on the walk can still speak against it."""
    todo: list[str] = []
    found = _found(units)
    if found:
        reasons.append(verdicts.reason("counted_but_found_dead", units=found))
        todo = ["next.look_again_at_found_units", "next.recount"]
    if ports.wrong():
        todo.append("next.compare_ports_with_sheet")
    return verdicts.UNCLEAR if todo else verdicts.PASS, todo


def _found(units: list[suspects.Unit]) -> list[str]:
    return [unit.name for unit in units if unit.is_found]
