"""What of visits and steps travels to the phones."""

from flarenut.visits.tables import Step, Visit

WIRE_FIELDS = {
    Visit: [
        "purpose",
        "state",
        "starts_at",
        "planned_s",
        "person_id",
        "person_name",
        "note",
        "summary",
        "closed_at",
    ],
    Step: [
        "system_id",
        "unit_id",
        "code",
        "state",
        "done_at",
        "done_by_name",
        "note",
        "reading_id",
        "reset_by",
    ],
}
