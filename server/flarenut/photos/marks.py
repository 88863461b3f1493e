"""Marks drawn on a photo: kept beside the picture as strokes, so that its bytes stay what the camera saw."""

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields

# Two points each: where an arrow begins and what it points at; two opposite corners around a ring.
# A line drawn by hand has as many as it needs.
FEWEST_POINTS = 2
TOOLS = ("arrow", "ring", "line")

# More than this hides the picture, and a mark of this many points is smooth on any screen. (P)
MOST_MARKS = 40
MOST_POINTS = 120

Mark = dict[str, Any]


class Marks(fields.Field[list[Mark]]):
    """A list of marks; each point is a part of the picture's width and height, 0 to 1 from its upper left."""

    def _deserialize(self, value: Any, *_where: Any, **_more: Any) -> list[Mark]:
        if not isinstance(value, list):
            raise ValidationError("must be a list of marks")
        check_count(len(value))
        return [_mark(one, number=number) for number, one in enumerate(value, 1)]


def check_count(count: int) -> None:
    """A photo has room for so many marks."""
    if count > MOST_MARKS:
        raise ValidationError(f"a photo may have at most {MOST_MARKS} marks; this would be {count}")


def _mark(value: Any, *, number: int) -> Mark:
    """Only what a mark is made of is kept: whatever else a phone says here would be drawn by nobody."""
    if not isinstance(value, Mapping) or value.get("tool") not in TOOLS:
        raise ValidationError(f"mark {number}: tool must be one of: {', '.join(TOOLS)}")
    points, tool = value.get("points"), value["tool"]
    most = MOST_POINTS if tool == "line" else FEWEST_POINTS
    if not isinstance(points, list) or not FEWEST_POINTS <= len(points) <= most:
        raise ValidationError(f"mark {number}: points must be a list of {FEWEST_POINTS} to {most}")
    return {"tool": tool, "points": [_point(point, number=number) for point in points]}


def _point(value: Any, *, number: int) -> list[float]:
    if not isinstance(value, list) or len(value) != len("xy") or not all(map(_is_share, value)):
        raise ValidationError(f"mark {number}: a point must be two numbers between 0 and 1")
    return [float(share) for share in value]


def _is_share(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and 0 <= value <= 1
