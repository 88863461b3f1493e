"""How a system hangs together, checked the same for a sheet and for a new job.

Every problem names the unit by its place in the list, the column, a code for programs
and a reason in plain words.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

UNIT_KINDS = (
    "outdoor_module",
    "branch_box",
    "joint",
    "indoor_unit",
    "wall_controller",
    "central_controller",
)
SYSTEM_KINDS = ("heat_recovery", "heat_pump")

# What each kind of unit hangs on. Refrigerant flows from outdoor modules through joints and
# branch boxes to indoor units; a wall controller belongs to the indoor unit it controls.
PARENTS: dict[str, tuple[str, ...]] = {
    "outdoor_module": (),
    "branch_box": ("outdoor_module", "joint", "branch_box"),
    "joint": ("outdoor_module", "joint", "branch_box"),
    "indoor_unit": ("branch_box", "joint", "outdoor_module"),
    "wall_controller": ("indoor_unit",),
    "central_controller": (),
}

Row = Mapping[str, Any]


class Problem(NamedTuple):
    """One thing that is wrong with one unit."""

    place: int
    column: str
    code: str
    reason: str


class Plant(NamedTuple):
    """All of a job's systems and units, by id."""

    systems: dict[Any, Row]
    units: dict[Any, Row]


def words_of(kind: str) -> str:
    """A kind as a person says it: `an indoor unit`."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind.replace('_', ' ')}"


def check_structure(systems: Sequence[Row], units: Sequence[Row]) -> list[Problem]:
    """Every problem of every unit, in the order of the list."""
    plant = Plant({system["id"]: system for system in systems}, {unit["id"]: unit for unit in units})
    found = [
        Problem(index, *wrong)
        for index, unit in enumerate(units)
        for check in CHECKS
        if (wrong := check(unit, plant)) is not None
    ]
    return sorted([*found, *_clashes(units, plant)], key=lambda problem: problem.place)


Wrong = tuple[str, str, str]


def _check_system(unit: Row, plant: Plant) -> Wrong | None:
    system_id = unit.get("system_id")
    if system_id in plant.systems or (system_id is None and unit["kind"] == "central_controller"):
        return None
    if system_id is None:
        return "system", "system_missing", "say which system this unit belongs to"
    return "system", "unknown_system", "this system is not on the list of systems"


def _check_parent(unit: Row, plant: Plant) -> Wrong | None:
    kind, parent_id = unit["kind"], unit.get("parent_id")
    if parent_id is None:
        if kind == "wall_controller":
            return "parent", "parent_missing", "a wall controller needs the tag of its indoor unit as parent"
        return None
    parent = plant.units.get(parent_id)
    if parent is None:
        return "parent", "unknown_parent", "this parent is not on the list"
    return _check_parent_kind(unit, parent) or _check_circle(unit, plant)


def _check_parent_kind(unit: Row, parent: Row) -> Wrong | None:
    kind, its_kind = words_of(unit["kind"]), words_of(parent["kind"])
    allowed = " or ".join(words_of(name) for name in PARENTS[unit["kind"]])
    if not allowed:
        return "parent", "parent_not_wanted", f"{kind} hangs on nothing; leave parent empty"
    if parent["kind"] not in PARENTS[unit["kind"]]:
        said = f"{parent['tag']} is {its_kind}; the parent of {kind} must be {allowed}"
        return "parent", "parent_wrong_kind", said
    if parent.get("system_id") != unit.get("system_id"):
        return "parent", "parent_other_system", f"{parent['tag']} belongs to another system"
    return None


def _check_circle(unit: Row, plant: Plant) -> Wrong | None:
    """Follow the parents upwards: whoever meets this unit again goes round for ever."""
    seen = {unit["id"]}
    above = plant.units.get(unit.get("parent_id"))
    while above is not None and above["id"] not in seen:
        seen.add(above["id"])
        above = plant.units.get(above.get("parent_id"))
    if above is not None and above["id"] == unit["id"]:
        return "parent", "parent_circle", "following the parents from this unit leads back to it"
    return None


def _check_port(unit: Row, plant: Plant) -> Wrong | None:
    kind, port = unit["kind"], unit.get("port")
    system = plant.systems.get(unit.get("system_id"))
    parent = plant.units.get(unit.get("parent_id"))
    is_recovery = system is not None and system["kind"] == "heat_recovery"
    if port is None:
        if kind == "indoor_unit" and is_recovery:
            return "port", "port_missing", "an indoor unit of a heat recovery system needs the port it hangs on"
        return None
    if kind != "indoor_unit":
        return "port", "port_not_wanted", f"{words_of(kind)} has no port of its own; only indoor units have"
    if parent is None or parent["kind"] != "branch_box":
        return "port", "port_without_box", "a port needs a branch box as parent"
    count = parent.get("port_count")
    if port < 1 or (count is not None and port > count):
        return "port", "port_out_of_range", f"{parent['tag']} has ports 1 to {count or '?'}; {port} is not among them"
    return None


# The most ports that a box of this trade has, with room to spare (P).
MOST_PORTS = 32


def _check_port_count(unit: Row, _plant: Plant) -> Wrong | None:
    count, kind = unit.get("port_count"), unit["kind"]
    if kind != "branch_box":
        if count is None:
            return None
        return "port_count", "port_count_not_wanted", f"only branch boxes have ports, not {words_of(kind)}"
    if count is None:
        return "port_count", "port_count_missing", "say how many ports this branch box has"
    if not 1 <= count <= MOST_PORTS:
        return "port_count", "port_count_out_of_range", f"a branch box has 1 to {MOST_PORTS} ports, not {count}"
    return None


def _check_box_system(unit: Row, plant: Plant) -> Wrong | None:
    system = plant.systems.get(unit.get("system_id"))
    if unit["kind"] == "branch_box" and system is not None and system["kind"] == "heat_pump":
        return "kind", "box_on_heat_pump", f"{system['tag']} is a heat pump system, which has no branch boxes"
    return None


CHECKS: tuple[Callable[[Row, Plant], Wrong | None], ...] = (
    _check_system,
    _check_parent,
    _check_port,
    _check_port_count,
    _check_box_system,
)


def same_address(address: Any) -> str:
    """01 and 1 are one address; letters count as they are, small or large."""
    said = str(address or "").strip().lower()
    return str(int(said)) if said.isascii() and said.isdigit() else said


def _clashes(units: Sequence[Row], plant: Plant) -> Iterator[Problem]:
    """What is fine by itself and wrong together: the second of two is reported."""
    yield from _twice(units, column="tag", code="tag_twice", key=lambda unit: str(unit["tag"]).strip().lower())
    yield from _twice(units, column="port", code="port_twice", key=lambda unit: _port_key(unit, plant))
    yield from _twice(units, column="group_address", code="address_twice", key=_group_key)
    yield from _twice(
        units,
        column="central_address",
        code="central_address_twice",
        key=lambda unit: same_address(unit.get("central_address")),
    )


def _port_key(unit: Row, plant: Plant) -> Any:
    parent = plant.units.get(unit.get("parent_id"))
    if parent is None or parent["kind"] != "branch_box" or unit.get("port") is None:
        return None
    return parent["id"], unit["port"]


def _group_key(unit: Row) -> Any:
    """Indoor units of a system need addresses of their own; a wall controller repeats its unit's."""
    address = same_address(unit.get("group_address"))
    return (unit.get("system_id"), address) if address and unit["kind"] == "indoor_unit" else None


_TWICE = {
    "tag_twice": "the tag {said} is already used by another unit",
    "port_twice": "port {said} of this branch box is already used by {first}",
    "address_twice": "{first} of this system already has the group address {said}",
    "central_address_twice": "{first} already has the central address {said}",
}


def _twice(units: Sequence[Row], *, column: str, code: str, key: Callable[[Row], Any]) -> Iterator[Problem]:
    first: dict[Any, Row] = {}
    for index, unit in enumerate(units):
        its_key = key(unit)
        if its_key and first.setdefault(its_key, unit) is not unit:
            said = _TWICE[code].format(said=unit[column], first=first[its_key]["tag"])
            yield Problem(index, column, code, said)
