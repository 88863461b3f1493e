"""What of readings travels to the phones. A contractor gets none."""

from flarenut.readings.tables import Reading

WIRE_FIELDS = {
    Reading: [
        "made_rev",
        "calculation",
        "system_id",
        "unit_id",
        "step_id",
        "visit_id",
        "inputs",
        "entered",
        "outputs",
        "server_outputs",
        "verdict",
        "engine_version",
        "differs",
        "instrument",
        "reason",
        "taken_at",
        "by_name",
        "replaces_id",
    ],
}
