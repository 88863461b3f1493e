"""What of issues and their history travels to the phones."""

from flarenut.issues.tables import Issue, IssueEvent

WIRE_FIELDS = {
    Issue: [
        "number",
        "unit_id",
        "system_id",
        "category",
        "words",
        "action",
        "evidence",
        "stops",
        "opens_circuit",
        "who_must_act",
        "state",
        "visit_id",
        "raised_at",
        "raised_by_name",
        "due_on",
        "promised_on",
        "answered_at",
        "answered_by_name",
        "proved_by_name",
        "closed_at",
        "times_reopened",
        "accepted_by_name",
        "accepted_reason",
    ],
    IssueEvent: ["made_rev", "issue_id", "kind", "words", "promised_on", "by_name", "by_person_id", "by_role", "at"],
}
