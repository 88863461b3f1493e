"""Every quantity that crosses a border of the product, with its unit. The glossary is law.

A quantity has one name and one unit everywhere: in the engine, in the tables, in JSON and
on the phone. Names end in their unit; those that do not (`now`, `ready_at`) are moments.
Inside the engine a moment is seconds since 1970-01-01 UTC; in rows it is ISO 8601 text.
"""

# What a name that carries a unit ends in, longest ending first.
ENDINGS = [
    ("_bytes", "byte"),
    ("_pct", "%"),
    ("_m3", "m3"),
    ("_px", "px"),
    ("_a", "A"),
    ("_s", "s"),
    ("_v", "V"),
]

GLOSSARY = [
    ("at_s", "s", "moment at which the offset from UTC changes"),
    (
        "current_unbalance_pct",
        "%",
        "largest deviation of a phase current from the mean, of the mean",
    ),
    ("deviation_pct", "%", "deviation of the voltage farthest from nominal, signed, of nominal"),
    ("doable_now_s", "s", "likely time of what can be done at once"),
    ("doable_s", "s", "likely time of what can be done"),
    ("doable_this_visit_s", "s", "likely time of what can be done on this visit"),
    ("duration_s", "s", "time a task takes"),
    ("durations", "s", "times that steps take, by code"),
    ("early_finish_s", "s", "earliest finish, from the start of the first task"),
    ("early_start_s", "s", "earliest start, from the start of the first task"),
    ("finish_s", "s", "moment of the planned finish"),
    ("float_s", "s", "how far a task may slip without lengthening the whole"),
    ("floors_climbed", "floors", "floors climbed or descended, passing through counted"),
    ("free_float_s", "s", "how far a task may slip without moving another"),
    ("height_px", "px", "height of a photo"),
    ("i_a_a", "A", "current of the first conductor"),
    ("i_b_a", "A", "current of the second conductor"),
    ("i_c_a", "A", "current of the third conductor"),
    ("late_finish_s", "s", "latest finish that does not lengthen the whole"),
    ("late_start_s", "s", "latest start that does not lengthen the whole"),
    ("length", "changes", "floors climbed plus changes of place on a round"),
    ("length_s", "s", "time from the first start to the last finish"),
    ("mean_v", "V", "mean of the three line-to-line voltages"),
    ("nominal_v", "V", "line-to-line voltage on the nameplate"),
    ("now", "s", "moment at which a plan is made"),
    ("places_changed", "changes", "times the next unit on a round is at another place"),
    ("planned_s", "s", "time planned for a visit"),
    ("promised_at", "s", "end of the shift of the promised day"),
    ("proof_s", "s", "time the proof of a repair takes"),
    ("ready_at", "s", "moment at which all that needs no technician is finished"),
    ("ready_at_best", "s", "the same with low durations and nobody short of hands"),
    ("ready_at_late", "s", "the same with high durations"),
    ("repair_s", "s", "time a repair takes"),
    ("room_m3", "m3", "volume of the room a unit serves"),
    ("schedule", "s", "moments of start and finish"),
    ("shift_s", "s", "length of a shift"),
    ("size_bytes", "byte", "size of a photo"),
    ("start_s", "s", "moment of the planned start"),
    ("supply_tolerance_pct", "%", "allowed deviation from the nominal voltage"),
    ("tolerance_pct", "%", "allowed deviation from the nominal voltage"),
    ("true_unbalance_pct", "%", "negative-sequence over positive-sequence voltage"),
    ("unbalance_limit_pct", "%", "allowed voltage unbalance"),
    ("unbalance_pct", "%", "largest deviation of a voltage from the mean, of the mean"),
    ("utc_offset_s", "s", "local time minus UTC"),
    ("v_ab_v", "V", "voltage from the first to the second conductor"),
    ("v_bc_v", "V", "voltage from the second to the third conductor"),
    ("v_ca_v", "V", "voltage from the third to the first conductor"),
    ("visit_s", "s", "hours of one technician on the return visit"),
    ("visit_start_at", "s", "moment at which the return visit can start"),
    ("width_px", "px", "width of a photo"),
]


def unit_of(name: str) -> str | None:
    """The unit of a quantity, or None when the name is not a quantity of the glossary."""
    for known, unit, _ in GLOSSARY:
        if known == name:
            return unit
    return None


def unit_in_name(name: str) -> str | None:
    """The unit a name says it has by its ending, or None."""
    for ending, unit in ENDINGS:
        if name.endswith(ending):
            return unit
    return None
