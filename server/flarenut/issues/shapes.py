"""What a phone may say about an issue."""

from typing import Any

from marshmallow import fields

from flarenut.shape import (
    LINE,
    NOTE,
    Shape,
    choice,
    choice_if_given,
    day_or_none,
    row_id,
    row_id_or_none,
    text,
    words,
)
from flarenut.trade.categories import CODES, WHO
from flarenut.trade.sequence import STOPPABLE_SIDES


def _stops() -> fields.List[Any]:
    return fields.List(choice_if_given(STOPPABLE_SIDES))


class IssueRaise(Shape):
    unit_id = row_id()
    category = choice(CODES)
    # A photo and a category can say it all when gloves are on.
    words = text(NOTE)
    action = text(NOTE)
    evidence = text(NOTE)
    stops = _stops()
    opens_circuit = fields.Boolean()
    who_must_act = choice(WHO)
    visit_id = row_id_or_none()
    due_on = day_or_none()


class IssueSet(Shape):
    unit_id = fields.UUID()
    category = choice_if_given(CODES)
    words = text(NOTE)
    action = text(NOTE)
    evidence = text(NOTE)
    stops = _stops()
    opens_circuit = fields.Boolean()
    who_must_act = choice_if_given(WHO)
    due_on = day_or_none()


class IssueAnswer(Shape):
    words = text(NOTE)
    fixed = fields.Boolean(required=True)
    promised_on = day_or_none()


class IssueProve(Shape):
    words = text(NOTE)


class IssueSendBack(Shape):
    words = words(NOTE)


class IssueAccept(Shape):
    name = words(LINE)
    reason = words(NOTE)
