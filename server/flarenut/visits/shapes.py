"""What a phone may say about visits and steps."""

from marshmallow import fields

from flarenut.shape import (
    NOTE,
    Shape,
    Whole,
    choice,
    choice_if_given,
    moment,
    moment_if_given,
    record_or_none,
    row_id,
    text,
)

PURPOSES = ("part_one", "part_two", "follow_up")
STEP_STATES = ("todo", "done", "failed", "not_applicable")

# The shortest and the longest visit that anyone plans, in seconds. Common practice (P).
SHORTEST_VISIT_S = 15 * 60
LONGEST_VISIT_S = 14 * 24 * 3600

# A summary lists groups of steps, a line each: 200 kB is some two thousand lines (P).
SUMMARY_BYTES = 200_000


class VisitPlan(Shape):
    purpose = choice(PURPOSES)
    starts_at = moment()
    planned_s = Whole(low=SHORTEST_VISIT_S, high=LONGEST_VISIT_S, required=True)
    person_id = row_id()
    note = text(NOTE)


class VisitSet(Shape):
    purpose = choice_if_given(PURPOSES)
    starts_at = moment_if_given()
    planned_s = Whole(low=SHORTEST_VISIT_S, high=LONGEST_VISIT_S)
    person_id = fields.UUID()
    note = text(NOTE)


class VisitCancel(Shape):
    note = text(NOTE)


class VisitClose(Shape):
    summary = record_or_none(SUMMARY_BYTES)
    note = text(NOTE)


class StepMark(Shape):
    state = choice_if_given(STEP_STATES)
    note = text(NOTE)
