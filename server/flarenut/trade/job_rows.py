"""A job's rows, checked and gathered into groups: one step of one system on all its units."""

from . import calendars, categories, gates, ranges, remaining, sequence

# A defect on one of these stops its own steps; one on a branch box stops the steps of the box and
# of the units on its ports; on anything else it stops the whole system.
# A central controller without power keeps nobody from addressing the indoor units.
STANDS_ALONE = [
    sequence.INDOOR_UNIT,
    sequence.WALL_CONTROLLER,
    sequence.CENTRAL_CONTROLLER,
]


class Row:
    """A step of one unit, or of the whole system when `unit_id` is empty."""

    def __init__(self, *, unit_id: str, state: str, reset_by: str, node: gates.Node) -> None:
        self.unit_id = unit_id
        self.state = state
        self.reset_by = reset_by
        self.node = node


class Group:
    """All rows of one step of one system."""

    def __init__(self, system_id: str, *, step: sequence.Step) -> None:
        self.name = system_id + ":" + step.code
        self.system_id = system_id
        self.step = step
        self.rows: list[Row] = []
        self.by_unit: dict[str, Row] = {}
        # Worth nothing while one of these stands open: see RESET_BY_OPENING.
        self.reset_by: list[str] = []
        self.per_row_s = step.duration_s

    def is_done(self) -> bool:
        """Whether every row is done or does not apply."""
        return all(row.node.is_done for row in self.rows)

    def add(self, row: Row) -> None:
        """Take a row in."""
        self.rows.append(row)
        self.by_unit[row.unit_id] = row


class Defect:
    """An issue row that still matters."""

    def __init__(
        self,
        name: str,
        *,
        state: str,
        who: str,
        category: categories.Category,
        stops: list[str],
        opens_circuit: bool,
        system_id: str,
        unit_ids: list[str],
        promised_s: float | None,
    ) -> None:
        self.name = name
        self.state = state
        self.who = who
        self.category = category
        self.stops = stops
        self.opens_circuit = opens_circuit
        # Empty: it stands on something that serves all systems.
        self.system_id = system_id
        # Empty: it stops the whole system.
        self.unit_ids = unit_ids
        self.promised_s = promised_s

    def is_open(self) -> bool:
        """Whether the defect is still there, as far as anybody says."""
        return self.state in remaining.OPEN_STATES

    def resets(self, group: Group) -> bool:
        """Whether the group's proof is worthless while this defect is open."""
        return (
            self.opens_circuit
            and self.is_open()
            and self.system_id in ("", group.system_id)
            and group.step.code in sequence.RESET_BY_OPENING
        )

    def stops_group(self, group: Group) -> bool:
        """Whether it stops the side of this group, on some unit or on all."""
        return group.step.side in self.stops and self.system_id in ("", group.system_id)

    def stops_row(self, row: Row) -> bool:
        """Whether, in a group it stops, it stops this row."""
        return len(self.unit_ids) == 0 or row.unit_id == "" or row.unit_id in self.unit_ids


def read_groups(data: dict[str, object], *, units: dict[str, dict[str, object]]) -> list[Group]:
    """Groups in the order of the systems, then of the sequence."""
    system_ids = [
        ranges.text(row, "id", where=ranges.place("systems", index=index) + ".")
        for index, row in enumerate(ranges.records(data, "systems"))
    ]
    durations = _durations(data)
    found: dict[tuple[str, str], Group] = {}
    for index, row in enumerate(ranges.records(data, "steps")):
        where = ranges.place("steps", index=index) + "."
        system_id = ranges.choice(row, "system_id", choices=system_ids, where=where)
        code = ranges.choice(row, "code", choices=sequence.CODES, where=where)
        key = (system_id, code)
        if key not in found:
            step = sequence.SEQUENCE[sequence.CODES.index(code)]
            found[key] = Group(system_id, step=step)
            found[key].per_row_s = durations.get(code, step.duration_s)
        found[key].add(_row(row, group=found[key], units=units, where=where))
    return [
        found[(system_id, code)]
        for system_id in system_ids
        for code in sequence.CODES
        if (system_id, code) in found
    ]


def _row(
    row: dict[str, object],
    *,
    group: Group,
    units: dict[str, dict[str, object]],
    where: str,
) -> Row:
    unit_id = ranges.text_or(row, "unit_id", default="", where=where)
    if unit_id != "" and unit_id not in units:
        raise ranges.wrong_kind(where + "unit_id", wanted="the id of a unit of this job")
    if unit_id in group.by_unit:
        raise ranges.contradictory(
            where + "unit_id", message=group.name + " has two rows for one unit"
        )
    state = ranges.choice(row, "state", choices=remaining.STEP_STATES, where=where)
    node = gates.Node(
        group.name,
        is_done=state in ("done", "not_applicable"),
        is_technicians=group.step.who == sequence.TECHNICIAN,
        needs=[],
        stopped_by=[],
        doubted_by=[],
    )
    reset_by = ranges.text_or(row, "reset_by", default="", where=where)
    return Row(unit_id=unit_id, state=state, reset_by=reset_by, node=node)


def _durations(data: dict[str, object]) -> dict[str, tuple[float, float, float]]:
    given = ranges.record_or_empty(data, "durations")
    found: dict[str, tuple[float, float, float]] = {}
    for code in sorted(given):
        if code not in sequence.CODES:
            raise ranges.not_a_choice("durations." + code, choices=sequence.CODES)
        found[code] = remaining.read_duration(given, code, where="durations.")
    return found


def read_units(data: dict[str, object]) -> dict[str, dict[str, object]]:
    """Units by id, with their kinds checked."""
    units: dict[str, dict[str, object]] = {}
    for index, row in enumerate(ranges.records(data, "units")):
        where = ranges.place("units", index=index) + "."
        ranges.choice(row, "kind", choices=sequence.UNIT_KINDS, where=where)
        units[ranges.text(row, "id", where=where)] = row
    return units


def read_defects(
    data: dict[str, object],
    *,
    units: dict[str, dict[str, object]],
    calendar: calendars.Calendar,
) -> list[Defect]:
    """Issues that are open, sent back or answered; the others stop nothing any more."""
    found: list[Defect] = []
    for index, row in enumerate(ranges.records(data, "issues")):
        where = ranges.place("issues", index=index) + "."
        state = ranges.choice(row, "state", choices=categories.STATES, where=where)
        if state in ("proved", "accepted"):
            continue
        found.append(_defect(row, state=state, units=units, calendar=calendar, where=where))
    return found


def _defect(
    row: dict[str, object],
    *,
    state: str,
    units: dict[str, dict[str, object]],
    calendar: calendars.Calendar,
    where: str,
) -> Defect:
    unit_id = ranges.text_or(row, "unit_id", default="", where=where)
    if unit_id != "" and unit_id not in units:
        raise ranges.wrong_kind(where + "unit_id", wanted="the id of a unit of this job")
    unit = units.get(unit_id, {})
    own_system = ranges.text_or(row, "system_id", default="", where=where)
    promised = None
    if row.get("promised_on") is not None:
        day = calendars.day_of_date(row, "promised_on", where=where)
        promised = calendar.shift_end_on(day)
    code = ranges.choice(row, "category", choices=categories.CODES, where=where)
    return Defect(
        ranges.text(row, "id", where=where),
        state=state,
        who=ranges.choice(row, "who_must_act", choices=categories.WHO, where=where),
        category=categories.of_code(code),
        stops=ranges.choices_of(row, "stops", choices=sequence.STOPPABLE_SIDES, where=where),
        opens_circuit=ranges.yes(row, "opens_circuit", where=where),
        system_id=own_system or ranges.text_or(unit, "system_id", default="", where=where),
        unit_ids=_stopped_units(unit_id, units=units),
        promised_s=promised,
    )


def _stopped_units(unit_id: str, *, units: dict[str, dict[str, object]]) -> list[str]:
    """The units whose own steps a defect on this one stops; none means the whole system."""
    kind = units.get(unit_id, {}).get("kind")
    if kind in STANDS_ALONE:
        return [unit_id]
    if kind == sequence.BRANCH_BOX:
        stopped = sorted(name for name, unit in units.items() if unit.get("parent_id") == unit_id)
        stopped.append(unit_id)
        return stopped
    return []
