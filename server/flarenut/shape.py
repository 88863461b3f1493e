"""What every shape of a mutation is made of: fields whose errors name the field and its limit.

Fields that a shape does not know travel through untouched: a phone may be newer than the server.
"""

import datetime as dt
import json
import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from marshmallow import INCLUDE, Schema, ValidationError, fields, validate

# A name or a tag, a note, and the longest thing a person types by thumb. Common practice (P).
LINE = 200
NOTE = 4_000

# The most that one change may have, as JSON in UTF-8, which is how it comes over the line (P).
LARGEST_CHANGE_BYTES = 1_000_000


class Shape(Schema):
    """The base of every shape."""

    class Meta:
        unknown = INCLUDE


def size_bytes(value: Any) -> int:
    """How much this is over the line, spelled as a phone spells it."""
    written = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return len(written.encode(errors="surrogatepass"))


def _check_length(limit: int) -> Callable[[str], None]:
    def check(text: str) -> None:
        if len(text) > limit:
            raise ValidationError(f"may be at most {limit} characters long; this is {len(text)}")

    return check


def _check_not_blank(text: str) -> None:
    if not text.strip():
        raise ValidationError("must not be empty")


def words(limit: int = NOTE) -> fields.String:
    """Text that must be there and say something."""
    return fields.String(required=True, validate=[_check_not_blank, _check_length(limit)])


def text(limit: int = NOTE) -> fields.String:
    """Text that may be missing, empty or null."""
    return fields.String(allow_none=True, validate=_check_length(limit))


def choice(names: Sequence[str]) -> fields.String:
    """One of a few words, which must be there."""
    return fields.String(required=True, validate=_one_of(names))


def choice_if_given(names: Sequence[str]) -> fields.String:
    """One of a few words, or nothing said."""
    return fields.String(validate=_one_of(names))


def choice_or_none(names: Sequence[str]) -> fields.String:
    """One of a few words, or null."""
    return fields.String(allow_none=True, validate=_one_of(names))


def _one_of(names: Sequence[str]) -> validate.OneOf:
    return validate.OneOf(names, error=f"must be one of: {', '.join(names)}")


def row_id() -> fields.UUID:
    """The id of a row that must be named."""
    return fields.UUID(required=True)


def row_id_or_none() -> fields.UUID:
    """The id of a row, or null where there is none."""
    return fields.UUID(allow_none=True)


class _Moment(fields.AwareDateTime):
    """Brought to UTC at once: PostgreSQL refuses offsets that Python and a hostile phone can spell."""

    def _deserialize(self, *said: Any, **more: Any) -> dt.datetime:
        try:
            return super()._deserialize(*said, **more).astimezone(dt.UTC)
        except OverflowError as error:
            raise self.make_error("invalid", input=said[0], obj_type=self.OBJ_TYPE) from error


def moment() -> fields.AwareDateTime:
    """A moment with its zone, always spoken of in UTC."""
    return _Moment(required=True, format="iso", validate=_check_year)


def moment_if_given() -> fields.AwareDateTime:
    """A moment with its zone, or nothing said."""
    return _Moment(format="iso", validate=_check_year)


def day_or_none() -> fields.Date:
    """A calendar day, `YYYY-MM-DD`, or null."""
    return fields.Date(allow_none=True, format="iso", validate=_check_year)


# A job's moments lie within these years; a phone with a broken clock may say anything.
_YEARS = (2000, 2100)


def is_in_years(value: dt.date) -> bool:
    """Could anything of a job have happened then?"""
    return _YEARS[0] <= value.year < _YEARS[1]


def _check_year(value: Any) -> None:
    if not is_in_years(value):
        raise ValidationError(f"must lie between the years {_YEARS[0]} and {_YEARS[1] - 1}")


class Quantity(fields.Float):
    """A finite number between two limits, in a unit that the error names."""

    def __init__(self, *, low: float, high: float, unit: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.low, self.high, self.unit = low, high, unit

    def _deserialize(self, value: Any, *_where: Any, **_kwargs: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
            raise ValidationError(f"must be a number in {self.unit}")
        if not self.low <= value <= self.high:
            raise ValidationError(f"must lie between {self.low:g} and {self.high:g} {self.unit}")
        return float(value)


class Whole(fields.Integer):
    """A whole number between two limits."""

    def __init__(self, *, low: int, high: int, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.low, self.high = low, high

    def _deserialize(self, value: Any, *_where: Any, **_kwargs: Any) -> int:
        if isinstance(value, bool) or not isinstance(value, int):
            raise ValidationError("must be a whole number")
        if not self.low <= value <= self.high:
            raise ValidationError(f"must lie between {self.low} and {self.high}")
        return value


def record(limit_bytes: int) -> fields.Dict:
    """A JSON object that must be there, kept as it came."""
    return fields.Dict(keys=fields.String(), required=True, validate=_check_json(limit_bytes))


def record_or_none(limit_bytes: int) -> fields.Dict:
    """A JSON object, or null."""
    return fields.Dict(keys=fields.String(), allow_none=True, validate=_check_json(limit_bytes))


def _check_json(limit_bytes: int) -> Callable[[Mapping[str, Any]], None]:
    def check(value: Mapping[str, Any]) -> None:
        try:
            written = json.dumps(value, ensure_ascii=False, allow_nan=False)
        except ValueError as error:
            raise ValidationError("contains a number that is not finite") from error
        size = len(written.encode())
        if size > limit_bytes:
            raise ValidationError(f"may be at most {limit_bytes} bytes of JSON; this is {size}")

    return check
