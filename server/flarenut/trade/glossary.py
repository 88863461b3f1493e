"""Every quantity that crosses a border of the product, with its unit. The glossary is law.

A quantity has one name and one unit everywhere: in the engine, in the tables, in JSON and
on the phone. Names end in their unit; those that do not (`now`, `ready_at`) are moments.
Inside the engine a moment is seconds since 1970-01-01 UTC; in rows it is ISO 8601 text.
"""

# What a name that carries a unit ends in, longest ending first.
ENDINGS = [
    ("_bytes", "byte"),
    ("_kg_m3", "kg/m3"),
    ("_kg_m", "kg/m"),
    ("_deg", "deg"),
    ("_pct", "%"),
    ("_ppm", "ppm"),
    ("_kg", "kg"),
    ("_m3", "m3"),
    ("_pa", "Pa"),
    ("_px", "px"),
    ("_a", "A"),
    ("_c", "degC"),
    ("_k", "K"),
    ("_m", "m"),
    ("_s", "s"),
    ("_v", "V"),
]

GLOSSARY = [
    ("allowed_kg", "kg", "refrigerant allowed in a room"),
    ("altitude_m", "m", "height above sea level"),
    ("answer_k", "K", "temperature change of a unit that is fully on"),
    ("at", "s", "moment asked about"),
    ("at_s", "s", "moment at which the offset from UTC changes"),
    ("barometer_pa", "Pa", "pressure of the air"),
    ("bubble_c", "degC", "temperature at which a liquid begins to boil"),
    ("bubble_pa", "Pa", "absolute pressure at which a liquid begins to boil"),
    ("charge_kg", "kg", "refrigerant in one circuit"),
    ("charged_length_m", "m", "length of liquid line beyond the included length"),
    ("concentration_kg_m3", "kg/m3", "refrigerant of a circuit by volume of a room"),
    (
        "current_unbalance_pct",
        "%",
        "largest deviation of a phase current from the mean, of the mean",
    ),
    ("deviation_pct", "%", "deviation of the voltage farthest from nominal, signed, of nominal"),
    ("dew_c", "degC", "temperature at which a vapour begins to condense"),
    ("dew_pa", "Pa", "absolute pressure at which a vapour begins to condense"),
    ("difference_kg", "kg", "computed charge minus that by the maker's factors"),
    ("difference_pct", "%", "computed charge minus that by the maker's factors, of the latter"),
    ("doable_now_s", "s", "likely time of what can be done at once"),
    ("doable_s", "s", "likely time of what can be done"),
    ("doable_this_visit_s", "s", "likely time of what can be done on this visit"),
    ("duration_s", "s", "time a task takes"),
    ("durations", "s", "times that steps take, by code"),
    ("early_finish_s", "s", "earliest finish, from the start of the first task"),
    ("early_start_s", "s", "earliest start, from the start of the first task"),
    ("factor_kg_m", "kg/m", "charge per length of a maker's table"),
    ("factor_mass_kg", "kg", "charge by the factors of a maker's table"),
    ("factors_kg_m", "kg/m", "charge per length of a maker's table, by size"),
    ("finish_s", "s", "moment of the planned finish"),
    ("float_s", "s", "how far a task may slip without lengthening the whole"),
    ("floors_climbed", "floors", "floors climbed or descended, passing through counted"),
    ("free_float_s", "s", "how far a task may slip without moving another"),
    ("gauge_pa", "Pa", "pressure above the barometer"),
    ("glide_k", "K", "dew point minus bubble point at one pressure"),
    ("height_px", "px", "height of a photo"),
    ("i_a_a", "A", "current of the first conductor"),
    ("i_b_a", "A", "current of the second conductor"),
    ("i_c_a", "A", "current of the third conductor"),
    ("included_length_m", "m", "length of liquid line that the charge from the works covers"),
    ("inner_diameter_m", "m", "inner diameter of a tube"),
    ("kw", "kW", "capacity of a unit"),
    ("lag_s", "s", "time constant with which a unit follows its valve"),
    ("late_finish_s", "s", "latest finish that does not lengthen the whole"),
    ("late_start_s", "s", "latest start that does not lengthen the whole"),
    ("least_answer_k", "K", "temperature change below which a unit counts as silent"),
    ("length", "changes", "floors climbed plus changes of place on a round"),
    ("length_m", "m", "length of a line"),
    ("length_s", "s", "time from the first start to the last finish"),
    ("limit_kg_m3", "kg/m3", "allowed refrigerant by volume of a room"),
    ("limit_lb_1000_ft3", "lb/1000 ft3", "the same limit as printed in pounds"),
    ("limit_ppm", "ppm", "the same limit as printed by volume of gas"),
    ("line_c", "degC", "temperature of a line at the gauge"),
    ("liquid_c", "degC", "temperature of the liquid in the lines"),
    ("liquid_density_kg_m3", "kg/m3", "density of a saturated liquid"),
    ("margin_kg", "kg", "allowed refrigerant minus the charge"),
    ("mass_kg", "kg", "mass of refrigerant"),
    ("mass_kg_m", "kg/m", "liquid refrigerant in a length of tube"),
    ("mean_v", "V", "mean of the three line-to-line voltages"),
    ("noise_k", "K", "standard deviation of a reading"),
    ("noise_seen_k", "K", "standard deviation of what a fit leaves"),
    ("nominal_v", "V", "line-to-line voltage on the nameplate"),
    ("now", "s", "moment at which a plan is made"),
    ("outer_diameter_m", "m", "outer diameter of a tube"),
    ("places_changed", "changes", "times the next unit on a round is at another place"),
    ("planned_s", "s", "time planned for a visit"),
    ("pressure_pa", "Pa", "absolute pressure"),
    ("promised_at", "s", "end of the shift of the promised day"),
    ("proof_s", "s", "time the proof of a repair takes"),
    ("ready_at", "s", "moment at which all that needs no technician is finished"),
    ("ready_at_best", "s", "the same with low durations and nobody short of hands"),
    ("ready_at_late", "s", "the same with high durations"),
    ("ready_at_p50", "s", "moment by which the site is ready in half of the runs"),
    ("ready_at_p80", "s", "moment by which the site is ready in 8 of 10 runs"),
    ("repair_s", "s", "time a repair takes"),
    ("room_m3", "m3", "volume of the room a unit serves"),
    ("round_s", "s", "length of a round of a port check"),
    ("saturation_c", "degC", "dew or bubble point at the pressure of a gauge"),
    ("schedule", "s", "moments of start and finish"),
    ("share_pct", "%", "charge of the allowed refrigerant"),
    ("shift_s", "s", "length of a shift"),
    ("size_bytes", "byte", "size of a photo"),
    ("smallest_room_m3", "m3", "room in which a charge is at its limit"),
    ("start_s", "s", "moment of the planned start"),
    ("straight_after_m", "m", "straight tube after a joint"),
    ("straight_before_m", "m", "straight tube before a joint"),
    ("straight_limit_m", "m", "straight tube needed before and after a joint"),
    ("subcooling_k", "K", "bubble point minus line"),
    ("superheat_k", "K", "line minus dew point"),
    ("supply_tolerance_pct", "%", "allowed deviation from the nominal voltage"),
    ("temperature_c", "degC", "temperature"),
    ("tilt_deg", "deg", "angle of a joint away from level or vertical"),
    ("tilt_limit_deg", "deg", "allowed tilt of a joint"),
    ("tolerance_pct", "%", "allowed deviation from the nominal voltage"),
    ("true_unbalance_pct", "%", "negative-sequence over positive-sequence voltage"),
    ("unbalance_limit_pct", "%", "allowed voltage unbalance"),
    ("unbalance_pct", "%", "largest deviation of a voltage from the mean, of the mean"),
    ("utc_offset_s", "s", "local time minus UTC"),
    ("v_ab_v", "V", "voltage from the first to the second conductor"),
    ("v_bc_v", "V", "voltage from the second to the third conductor"),
    ("v_ca_v", "V", "voltage from the third to the first conductor"),
    ("values", "K", "temperature changes, one for each round"),
    ("visit_s", "s", "hours of one technician on the return visit"),
    ("visit_start_at", "s", "moment at which the return visit can start"),
    ("volume_m3", "m3", "volume inside"),
    ("wall_m", "m", "wall of a tube"),
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
