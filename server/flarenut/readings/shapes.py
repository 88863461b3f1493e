"""What a phone may say about a reading."""

from flarenut.shape import (
    LINE,
    NOTE,
    Shape,
    choice_or_none,
    moment,
    record,
    record_or_none,
    row_id_or_none,
    text,
    words,
)
from flarenut.trade import verdicts

# A day's hold logged every ten seconds is some 9,000 points of 60 bytes (P).
INPUTS_BYTES = 600_000
INSTRUMENT_BYTES = 4_000


class ReadingRecord(Shape):
    calculation = words(LINE)
    system_id = row_id_or_none()
    unit_id = row_id_or_none()
    step_id = row_id_or_none()
    visit_id = row_id_or_none()
    inputs = record(INPUTS_BYTES)
    entered = record_or_none(INPUTS_BYTES)
    outputs = record(INPUTS_BYTES)
    verdict = choice_or_none((verdicts.PASS, verdicts.FAIL, verdicts.UNCLEAR))
    engine_version = words(LINE)
    instrument = record_or_none(INSTRUMENT_BYTES)
    reason = text(NOTE)
    replaces_id = row_id_or_none()
    taken_at = moment()
