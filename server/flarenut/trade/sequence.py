"""The start-up sequence: what must be done on a system and its units, and what needs what.

Durations are seconds, {low, likely, high}, per unit when `per` is "unit". They are
settings of planning, never limits: each row says where its hours come from and how well
that is founded (S read in the source named, P common practice with no source).
A step names the steps it needs; needs that a system does not have (no branch boxes, no
central controller) are left out. `side` is what an issue stops: a leak stops the
refrigerant side and leaves the controls alone.
"""

TECHNICIAN = "technician"
CONTRACTOR = "contractor"
SHIFT = "shift"
CLOCK = "clock"

COMMON = "common practice"
UFGS_HOLD = "UFGS 15652A, 24 h hold"
UFGS_STAND = "UFGS 15182, stand 1 h"

# Opening the circuit makes the earlier proof of its tightness and dryness worthless.
RESET_BY_OPENING = ["pressure_hold", "evacuation", "standing_vacuum", "charge"]

SIDES = ["refrigerant", "controls", "supply", "test_run", "other"]
# What an issue can stop: all sides but "other", which no defect touches.
STOPPABLE_SIDES = ["refrigerant", "controls", "supply", "test_run"]

OUTDOOR_MODULE = "outdoor_module"
BRANCH_BOX = "branch_box"
JOINT = "joint"
INDOOR_UNIT = "indoor_unit"
WALL_CONTROLLER = "wall_controller"
CENTRAL_CONTROLLER = "central_controller"
UNIT_KINDS = [
    OUTDOOR_MODULE,
    BRANCH_BOX,
    JOINT,
    INDOOR_UNIT,
    WALL_CONTROLLER,
    CENTRAL_CONTROLLER,
]
HEAT_RECOVERY = "heat_recovery"
SYSTEM_KINDS = [HEAT_RECOVERY, "heat_pump"]
POWERED_KINDS = [BRANCH_BOX, INDOOR_UNIT, WALL_CONTROLLER, CENTRAL_CONTROLLER]

MINUTE_S = 60
HOUR_S = 3600


class Step:
    """One row of the sequence."""

    def __init__(
        self,
        code: str,
        *,
        side: str,
        who: str,
        part: str,
        hours: tuple[float, float, float],
        needs: list[str],
        unit_kinds: list[str],
        bring: list[str],
        calendar: str = SHIFT,
        only_kind: str = "",
        source: str = COMMON,
        mark: str = "P",
    ) -> None:
        self.code = code
        self.side = side
        self.who = who
        self.part = part
        self.calendar = calendar
        self.duration_s = (hours[0] * HOUR_S, hours[1] * HOUR_S, hours[2] * HOUR_S)
        self.needs = needs
        # No kinds: the step is done once for the whole system.
        self.unit_kinds = unit_kinds
        self.only_kind = only_kind
        self.bring = bring
        self.source = source
        self.mark = mark

    def is_per_unit(self) -> bool:
        """Whether each unit has this step of its own."""
        return len(self.unit_kinds) > 0


SEQUENCE = [
    Step(
        "walk_install",
        side="other",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.5, 1.0, 2.0),
        needs=[],
        unit_kinds=[],
        bring=["bring.as_built_sheet", "bring.camera"],
    ),
    Step(
        "supply",
        side="supply",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.15, 0.25, 0.5),
        needs=[],
        unit_kinds=[OUTDOOR_MODULE],
        bring=["bring.voltage_tester", "bring.rotation_tester", "bring.lock_and_tag"],
    ),
    Step(
        "power_units",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.02, 0.04, 0.1),
        needs=[],
        unit_kinds=POWERED_KINDS,
        bring=["bring.voltage_tester"],
    ),
    Step(
        "count",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.25, 0.5, 1.5),
        needs=["power_units"],
        unit_kinds=[],
        bring=["bring.as_built_sheet"],
    ),
    Step(
        "addresses",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.03, 0.08, 0.2),
        needs=["power_units"],
        unit_kinds=[INDOOR_UNIT],
        bring=["bring.as_built_sheet"],
    ),
    Step(
        "unit_settings",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.03, 0.06, 0.15),
        needs=["power_units"],
        unit_kinds=[INDOOR_UNIT],
        bring=["bring.makers_manual"],
    ),
    Step(
        "port_switches",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.1, 0.2, 0.4),
        needs=[],
        unit_kinds=[BRANCH_BOX],
        only_kind=HEAT_RECOVERY,
        bring=["bring.makers_manual", "bring.ladder"],
    ),
    Step(
        "central_seen",
        side="controls",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.25, 0.5, 1.0),
        needs=["count", "addresses"],
        unit_kinds=[],
        bring=["bring.as_built_sheet"],
    ),
    Step(
        "joints",
        side="other",
        who=TECHNICIAN,
        part="part_one",
        hours=(0.05, 0.1, 0.2),
        needs=[],
        unit_kinds=[JOINT],
        bring=["bring.spirit_level", "bring.tape_measure", "bring.ladder"],
    ),
    Step(
        "pressure_hold",
        side="refrigerant",
        who=CONTRACTOR,
        part="between",
        hours=(24.0, 24.0, 26.0),
        needs=[],
        unit_kinds=[],
        calendar=CLOCK,
        bring=["bring.nitrogen", "bring.pressure_gauge"],
        source=UFGS_HOLD,
        mark="S",
    ),
    Step(
        "evacuation",
        side="refrigerant",
        who=CONTRACTOR,
        part="between",
        hours=(2.0, 8.0, 24.0),
        needs=["pressure_hold"],
        unit_kinds=[],
        calendar=CLOCK,
        bring=["bring.vacuum_pump", "bring.vacuum_gauge"],
    ),
    Step(
        "standing_vacuum",
        side="refrigerant",
        who=CONTRACTOR,
        part="between",
        hours=(0.5, 1.0, 2.0),
        needs=["evacuation"],
        unit_kinds=[],
        calendar=CLOCK,
        bring=["bring.vacuum_gauge"],
        source=UFGS_STAND,
        mark="S",
    ),
    Step(
        "charge",
        side="refrigerant",
        who=CONTRACTOR,
        part="between",
        hours=(1.0, 2.0, 3.0),
        needs=["standing_vacuum"],
        unit_kinds=[],
        bring=["bring.refrigerant_scale"],
    ),
    Step(
        "preheat",
        side="supply",
        who=CONTRACTOR,
        part="between",
        hours=(12.0, 12.0, 14.0),
        needs=["charge"],
        unit_kinds=[],
        calendar=CLOCK,
        bring=[],
    ),
    Step(
        "test_run",
        side="test_run",
        who=TECHNICIAN,
        part="part_two",
        hours=(1.0, 2.0, 4.0),
        needs=[
            "walk_install",
            "supply",
            "count",
            "addresses",
            "unit_settings",
            "port_switches",
            "joints",
            "charge",
            "preheat",
        ],
        unit_kinds=[],
        bring=["bring.pressure_gauge", "bring.clamp_meter", "bring.makers_manual"],
    ),
    Step(
        "port_check",
        side="test_run",
        who=TECHNICIAN,
        part="part_two",
        hours=(1.0, 1.5, 3.0),
        needs=["test_run"],
        unit_kinds=[],
        only_kind=HEAT_RECOVERY,
        bring=["bring.thermometer"],
    ),
    Step(
        "measure",
        side="test_run",
        who=TECHNICIAN,
        part="part_two",
        hours=(0.5, 1.0, 2.0),
        needs=["test_run"],
        unit_kinds=[],
        bring=["bring.thermometer", "bring.humidity_meter"],
    ),
    Step(
        "record",
        side="other",
        who=TECHNICIAN,
        part="part_two",
        hours=(0.25, 0.5, 1.0),
        needs=["central_seen", "port_check", "measure"],
        unit_kinds=[],
        bring=[],
    ),
]

CODES = [step.code for step in SEQUENCE]
PARTS = ["part_one", "between", "part_two"]


def described() -> list[dict[str, object]]:
    """The sequence as plain records, for shapes, seeds and screens."""
    return [_described(step) for step in SEQUENCE]


def who_of(code: str) -> str:
    """Who does a step; the contractor may mark only the contractor's."""
    return SEQUENCE[CODES.index(code)].who


def steps_for(
    systems: list[dict[str, object]], *, units: list[dict[str, object]]
) -> list[dict[str, object]]:
    """The steps of a job: `{system_id, unit_id, code}`, system by system, in sequence order.

    A unit without a system (a central controller that serves all) counts to the first one,
    so that nobody is asked twice to see that it has power; every system that a central
    controller serves is still checked to be seen by it.
    """
    found: list[dict[str, object]] = []
    for index, system in enumerate(systems):
        own = [unit for unit in units if unit.get("system_id") == system["id"]]
        shared = [unit for unit in units if unit.get("system_id") is None]
        mine = own + shared if index == 0 else own
        for step in SEQUENCE:
            if step.only_kind not in ("", system["kind"]):
                continue
            if step.code == "central_seen" and not _has_central(own + shared):
                continue
            found.extend(_steps_of(step, system_id=system["id"], units=mine))
    return found


def _steps_of(
    step: Step, *, system_id: object, units: list[dict[str, object]]
) -> list[dict[str, object]]:
    if not step.is_per_unit():
        return [{"system_id": system_id, "unit_id": None, "code": step.code}]
    return [
        {"system_id": system_id, "unit_id": unit["id"], "code": step.code}
        for unit in units
        if unit["kind"] in step.unit_kinds
    ]


def _has_central(units: list[dict[str, object]]) -> bool:
    return any(unit["kind"] == CENTRAL_CONTROLLER for unit in units)


def _described(step: Step) -> dict[str, object]:
    return {
        "code": step.code,
        "side": step.side,
        "per": "unit" if step.is_per_unit() else "system",
        "unit_kinds": list(step.unit_kinds),
        "only_kind": step.only_kind or None,
        "needs": list(step.needs),
        "who": step.who,
        "calendar": step.calendar,
        "part": step.part,
        "duration_s": {
            "low": step.duration_s[0],
            "likely": step.duration_s[1],
            "high": step.duration_s[2],
        },
        "resets": step.code in RESET_BY_OPENING,
        "bring": list(step.bring),
        "source": step.source,
        "mark": step.mark,
    }


STEPS = described()
