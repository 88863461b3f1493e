"""The round: units in walking order."""

from . import ranges

NAME = "round_order"
WHAT = "Units in walking order: floor by floor from where you stand, place by place, by tag"
LOWEST_FLOOR = -20  # Deeper than any building (M).
HIGHEST_FLOOR = 300  # Higher than any building (M).

INPUTS = [
    ("units", "", True, "list of {unit, floor, place}"),
    ("units[].unit", "", True, "a name used once, an id or a tag"),
    ("units[].tag", "", False, "what to sort by within a place; the unit's name when absent"),
    ("units[].floor", "", True, "floor as text"),
    ("units[].floor_order", "", False, "-20 to 300, lowest first; the text sorts when absent"),
    ("units[].place", "", False, "room, corridor, roof; nameless when absent"),
    ("start", "", False, "the unit where the round begins; the lowest floor when absent"),
]
OUTPUTS = [
    ("order", "", "units in walking order"),
    ("length", "changes", "floors climbed or descended plus changes of place; not a distance"),
    ("floors_climbed", "floors", "floors climbed or descended, passing through counted"),
    ("places_changed", "changes", "times the next unit is at another place"),
]


class _Stop:
    """A unit and where it stands."""

    def __init__(self, unit: str, *, floor: tuple[float, str], place: str, tag: str) -> None:
        self.unit = unit
        self.floor = floor
        self.place = place
        self.tag = tag


def round_order(data: dict[str, object]) -> dict[str, object]:
    """Walking order of units.

    The floor of the start first, then the nearer end of the building, then the other;
    so no floor is walked twice and the fewest are passed through. The sheet holds no
    distances, so `length` counts changes and claims nothing about metres.
    """
    stops = _read(data)
    start = _start(data, stops=stops)
    floors = _natural_unique([stop.floor for stop in stops])
    order: list[_Stop] = []
    for floor in _floors_from(start, floors=floors):
        here = [stop for stop in stops if stop.floor == floor]
        order.extend(_within_a_floor(here, start=start))
    climbed = 0
    changed = 0
    for index in range(1, len(order)):
        before, after = order[index - 1], order[index]
        climbed += abs(floors.index(after.floor) - floors.index(before.floor))
        if after.floor != before.floor or after.place != before.place:
            changed += 1
    return {
        "order": [stop.unit for stop in order],
        "length": climbed + changed,
        "floors_climbed": climbed,
        "places_changed": changed,
    }


def natural(text: str) -> list[tuple[int, int, str]]:
    """A sort key in which numbers inside a tag count as numbers: L1-2 before L1-10."""
    key: list[tuple[int, int, str]] = []
    digits = ""
    letters = ""
    for letter in text:
        if letter in "0123456789":
            if letters:
                key.append((1, 0, letters))
                letters = ""
            digits += letter
        else:
            if digits:
                key.append((0, int(digits), digits))
                digits = ""
            letters += letter
    if letters:
        key.append((1, 0, letters))
    if digits:
        key.append((0, int(digits), digits))
    return key


def _read(data: dict[str, object]) -> list[_Stop]:
    stops: list[_Stop] = []
    seen: dict[str, bool] = {}
    for index, row in enumerate(ranges.records(data, "units")):
        where = ranges.place("units", index=index) + "."
        unit = ranges.text(row, "unit", where=where)
        if unit in seen:
            raise ranges.contradictory(where + "unit", message=unit + " is in the list twice")
        seen[unit] = True
        height = ranges.number_or(
            row,
            "floor_order",
            default=0.0,
            low=LOWEST_FLOOR,
            high=HIGHEST_FLOOR,
            unit="floor",
            where=where,
        )
        floor = ranges.text(row, "floor", where=where)
        place = ranges.text_or(row, "place", default="", where=where)
        tag = ranges.text_or(row, "tag", default=unit, where=where)
        stops.append(_Stop(unit, floor=(height, floor), place=place, tag=tag))
    return stops


def _start(data: dict[str, object], *, stops: list[_Stop]) -> _Stop | None:
    name = ranges.text_or(data, "start", default="")
    if name == "":
        return None
    for stop in stops:
        if stop.unit == name:
            return stop
    raise ranges.not_a_choice("start", choices=[stop.unit for stop in stops])


def _natural_unique(floors: list[tuple[float, str]]) -> list[tuple[float, str]]:
    found: list[tuple[float, str]] = []
    for floor in floors:
        if floor not in found:
            found.append(floor)
    found.sort(key=lambda floor: (floor[0], natural(floor[1])))
    return found


def _floors_from(
    start: _Stop | None, *, floors: list[tuple[float, str]]
) -> list[tuple[float, str]]:
    if start is None:
        return floors
    at = floors.index(start.floor)
    below = list(reversed(floors[:at]))
    above = floors[at + 1 :]
    nearer, farther = (below, above) if len(below) <= len(above) else (above, below)
    order = [start.floor]
    order.extend(nearer)
    order.extend(farther)
    return order


def _within_a_floor(here: list[_Stop], *, start: _Stop | None) -> list[_Stop]:
    """Place by place, the start's own place and the start itself first."""

    def key(stop: _Stop) -> tuple[bool, bool, object, object, str]:
        elsewhere = start is not None and stop.place != start.place
        return (elsewhere, stop is not start, natural(stop.place), natural(stop.tag), stop.unit)

    return sorted(here, key=key)
