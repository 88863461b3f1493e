"""The columns of the as-built sheet: which there are, which must be there, and what each means."""

# Header, and what belongs into the column.
COLUMNS = {
    "kind": "outdoor_module, branch_box, joint, indoor_unit, wall_controller or central_controller",
    "tag": "The unit's name on site; no two units have the same.",
    "system": "The system the unit belongs to; empty for a central controller of all systems.",
    "system_kind": "heat_recovery or heat_pump; on the rows of outdoor modules.",
    "refrigerant": "As on the nameplate; on the rows of outdoor modules.",
    "nominal_v": "Nominal voltage of the supply, line to line, in V; on the rows of outdoor modules.",
    "parent": "The tag of the unit that this one hangs on.",
    "port": "Which port of the branch box; on the rows of indoor units of a heat recovery system.",
    "port_count": "How many ports a branch box has.",
    "floor": "The floor as people on site call it.",
    "place": "Where on the floor, in a few words.",
    "room": "The room that the unit serves.",
    "room_m3": "Volume of that room in m3.",
    "group_address": "Address of the indoor unit within its system.",
    "central_address": "Address that the central controller uses for the unit.",
    "feeder": "The supply that feeds the unit.",
    "line_size": "Liquid line that leads to the unit: a size of the tube table, such as 3/8 coil.",
    "line_length_m": "How long that line is, in m.",
    "vacuum_limit_pa": "Standing vacuum: what it must stay below, in Pa; on the row of an outdoor module, for the job.",
    "vacuum_hold_s": "Standing vacuum: how long it must stand, in s; goes with vacuum_limit_pa.",
    "leak_to_exclude_pa_m3_s": "Pressure hold: the smallest leak that must be ruled out, in Pa m3/s; for the job.",
    "room_limit_kg_m3": "Most refrigerant in the air of a room, in kg/m3; where all systems have one refrigerant.",
    "straight_limit_m": "Joints and boxes: least straight tube before and after, in m; for the job.",
    "tilt_limit_deg": "Joints and boxes: most out of level or upright, in degrees; for the job.",
    "max_share_on": "Port check: share of the units that may run at once, such as 0.5; for the job.",
    "limits_source": "Where these limits come from: contract, manual, standard with its edition.",
    "note": "Anything else, the model for example.",
}

# Without these a sheet cannot be understood; any other column may be left out.
MUST_BE_THERE = ("kind", "tag", "system", "system_kind", "nominal_v", "floor")
