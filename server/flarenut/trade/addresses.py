"""Addresses of indoor units: given twice, not given, out of range, and what to set instead."""

from . import ranges, verdicts

NAME = "addresses"
WHAT = "Group and central addresses: duplicates, missing, out of range, proposals"

HIGHEST_ADDRESS = 9999  # No address of this trade has more than four digits (M).
MOST_DIGITS = 4
MOST_UNITS = 2048  # A site with more units than this is a slip (P).
GROUP = "group"

INPUTS = [
    ("units", "", True, "list of {unit, group, central, system}"),
    ("units[].unit", "", True, "a name used once, an id or a tag"),
    ("units[].group", "", False, "address within its system: a number, or letters as they stand"),
    ("units[].central", "", False, "address for the central controller, unique on the site"),
    ("units[].system", "", False, "group addresses may repeat from system to system"),
    ("others", "", False, "list like units, not judged: what they have is taken"),
    ("others[].unit", "", True, "a name that is used once in both lists"),
    ("others[].group", "", False, "as above"),
    ("others[].central", "", False, "as above"),
    ("others[].system", "", False, "as above"),
    ("group_range", "", False, "[low, high]; absent: group addresses are not looked at"),
    ("central_range", "", False, "[low, high]; absent: central addresses are not looked at"),
]
OUTPUTS = [
    ("duplicates", "", "list of {kind, address, system, units}"),
    ("missing", "", "list of {kind, unit}: no address given"),
    ("out_of_range", "", "list of {kind, unit, address, low, high}; letters are outside any range"),
    ("proposals", "", "list of {kind, unit, address}: smallest free ones in the order of units"),
    ("verdict", "", "pass; fail when one is double or out of range; unclear when one is missing"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


class _Address:
    """The address of one kind that one unit has."""

    def __init__(self, unit: str, *, system: str, said: str, is_judged: bool) -> None:
        self.unit = unit
        self.system = system
        self.said = said
        # One of the others keeps what it has, right or wrong.
        self.is_judged = is_judged
        # Whether another one must be set.
        self.is_wrong = False


def addresses(data: dict[str, object]) -> dict[str, object]:
    """Verdict on the addresses of a system's or a site's units."""
    if data.get("group_range") is None and data.get("central_range") is None:
        raise ranges.missing("group_range")
    found: dict[str, list[dict[str, object]]] = {
        "duplicates": [],
        "missing": [],
        "out_of_range": [],
        "proposals": [],
        "reasons": [],
    }
    for kind in [GROUP, "central"]:
        given = _read(data, kind=kind)
        if data.get(kind + "_range") is not None:
            _look(given, kind=kind, ends=_read_range(data, kind + "_range"), found=found)
    result: dict[str, object] = {"cautions": [], "next": []}
    result.update(found)
    result["verdict"] = verdicts.PASS
    if found["proposals"]:
        is_wrong = found["duplicates"] or found["out_of_range"]
        result["verdict"] = verdicts.FAIL if is_wrong else verdicts.UNCLEAR
        result["next"] = ["next.set_addresses", "next.read_addresses_back"]
    else:
        found["reasons"].append(verdicts.reason("addresses_unique"))
    return result


def _look(
    given: list[_Address],
    *,
    kind: str,
    ends: tuple[int, int],
    found: dict[str, list[dict[str, object]]],
) -> None:
    for values in _doubles(given, kind=kind):
        found["duplicates"].append(values)
        found["reasons"].append(verdicts.reason("address_twice", **values))
    for one in [one for one in given if one.is_judged]:
        values = {"kind": kind, "unit": one.unit}
        if one.said == "":
            one.is_wrong = True
            found["missing"].append(values)
            found["reasons"].append(verdicts.reason("address_missing", **values))
        elif not _is_number(one.said) or not ends[0] <= int(one.said) <= ends[1]:
            one.is_wrong = True
            values.update({"address": one.said, "low": ends[0], "high": ends[1]})
            found["out_of_range"].append(values)
            found["reasons"].append(verdicts.reason("address_out_of_range", **values))
    _propose(given, kind=kind, ends=ends, found=found)


def _doubles(given: list[_Address], *, kind: str) -> list[dict[str, object]]:
    """Who is not judged or comes first keeps a doubled address; the rest need another."""
    found: dict[tuple[str, str], list[str]] = {}
    told: dict[tuple[str, str], bool] = {}
    doubles: list[dict[str, object]] = []
    for one in given:
        place = (one.system, one.said)
        units = found.setdefault(place, [])
        units.append(one.unit)
        one.is_wrong = one.is_judged and one.said != "" and len(units) > 1
        if one.is_wrong and place not in told:
            told[place] = True
            # The list of units goes on growing.
            doubles.append(
                {
                    "kind": kind,
                    "address": one.said,
                    "system": one.system or None,
                    "units": units,
                }
            )
    return doubles


def _propose(
    given: list[_Address],
    *,
    kind: str,
    ends: tuple[int, int],
    found: dict[str, list[dict[str, object]]],
) -> None:
    """The smallest free address for each unit that needs one; none is given out twice."""
    taken = {(one.system, one.said): True for one in given if not one.is_wrong}
    lowest: dict[str, int] = {}
    full: list[str] = []
    for one in given:
        if not one.is_wrong:
            continue
        number = lowest.get(one.system, ends[0])
        while (one.system, str(number)) in taken:
            number += 1
        address = number if number <= ends[1] else None
        lowest[one.system] = number + 1
        found["proposals"].append({"kind": kind, "unit": one.unit, "address": address})
        if address is None:
            full.append(one.unit)
    if full:
        why = verdicts.reason("no_address_free", kind=kind, units=full, low=ends[0], high=ends[1])
        found["reasons"].append(why)


def _read(data: dict[str, object], *, kind: str) -> list[_Address]:
    """The others first: what they have is kept."""
    names: dict[str, bool] = {}
    found: list[_Address] = []
    for name in ["units"] if data.get("others") is None else ["others", "units"]:
        rows = ranges.records(data, name)
        least = 1 if name == "units" else 0
        if not least <= len(rows) <= MOST_UNITS:
            raise ranges.out_of_range(name, low=least, high=MOST_UNITS, unit="units")
        for index, row in enumerate(rows):
            where = ranges.place(name, index=index) + "."
            one = _read_one(row, kind=kind, where=where, is_judged=name == "units")
            if one.unit in names:
                raise ranges.contradictory(
                    where + "unit", message=one.unit + " is in the list twice"
                )
            names[one.unit] = True
            found.append(one)
    return found


def _read_one(row: dict[str, object], *, kind: str, where: str, is_judged: bool) -> _Address:
    unit = ranges.text(row, "unit", where=where)
    system = ranges.text_or(row, "system", default="", where=where)
    said = _said(row, kind, where=where)
    return _Address(unit, system=system if kind == GROUP else "", said=said, is_judged=is_judged)


def _said(row: dict[str, object], name: str, *, where: str) -> str:
    """01 and 1 are one address; letters count as they are, small or large."""
    value = row.get(name)
    if value is None:
        return ""
    if isinstance(value, str):
        # Only plain letters and spaces: beyond them the two runtimes know different ones.
        said = "".join([_small(letter) for letter in value.strip(" \t\r\n")])
        # A number with more digits than any address stays a word; it is out of range either way.
        return str(int(said)) if _is_number(said) else said
    return str(ranges.whole(row, name, low=0, high=HIGHEST_ADDRESS, unit="address", where=where))


def _small(letter: str) -> str:
    return chr(ord(letter) + 32) if "A" <= letter <= "Z" else letter


def _is_number(said: str) -> bool:
    return 0 < len(said) <= MOST_DIGITS and all("0" <= one <= "9" for one in said)


def _read_range(data: dict[str, object], name: str) -> tuple[int, int]:
    value = data.get(name)
    if not isinstance(value, list) or len(value) != 2:  # noqa: PLR2004 -- low and high.
        raise ranges.wrong_kind(name, wanted="two numbers, the lowest and the highest address")
    ends: list[int] = []
    for index, end in enumerate(value):
        field = ranges.place(name, index=index)
        ends.append(ranges.whole({field: end}, field, low=0, high=HIGHEST_ADDRESS, unit="address"))
    if ends[0] > ends[1]:
        raise ranges.contradictory(name, message=name + ": the lowest must come first")
    return ends[0], ends[1]
