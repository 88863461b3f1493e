"""What of a job, its systems, units and limits travels to the phones."""

from flarenut.jobs.tables import Job, Limit, System, Unit

WIRE_FIELDS = {
    Job: [
        "name",
        "address",
        "contractor_firm",
        "time_zone",
        "shift_start",
        "shift_end",
        "shift_days",
        "state",
        "invented",
        "created_at",
    ],
    System: ["tag", "kind", "refrigerant", "nominal_v", "supply_tolerance_pct", "unbalance_limit_pct"],
    Unit: [
        "system_id",
        "kind",
        "tag",
        "floor",
        "floor_order",
        "place",
        "room",
        "room_m3",
        "parent_id",
        "port",
        "port_count",
        "group_address",
        "central_address",
        "feeder",
        "line_size",
        "line_length_m",
        "model_note",
    ],
    Limit: ["name", "value", "unit", "source", "mark"],
}
