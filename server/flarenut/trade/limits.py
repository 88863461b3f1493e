"""A limit, and where it is from: of the limits sheet, or usual where the sheet has none."""

from . import ranges, verdicts

COMMON = "common practice"
SHEET = "limits sheet"


class Limit:
    """A limit and where it comes from."""

    def __init__(self, value: float, *, unit: str, source: str, mark: str) -> None:
        self.value = value
        self.unit = unit
        self.source = source
        self.mark = mark

    def compared(self, code: str, *, value: float) -> dict[str, object]:
        """A reason that holds a number against this limit."""
        return verdicts.against_limit(
            code,
            value=value,
            limit=self.value,
            unit=self.unit,
            source=self.source,
            mark=self.mark,
        )


def given(data: dict[str, object], name: str, *, value: float, unit: str) -> Limit:
    """A limit that came with the input, with `name_source` and `name_mark` beside it."""
    # A blank says as little as nothing: no limit is shown without a place where it is from.
    source = ranges.text_or(data, name + "_source", default="").strip() or SHEET
    mark = verdicts.FROM_MEMORY
    if data.get(name + "_mark") is not None:
        mark = ranges.choice(data, name + "_mark", choices=verdicts.MARKS)
    return Limit(value, unit=unit, source=source, mark=mark)


def usual(value: float, *, unit: str) -> Limit:
    """A limit of common practice, which has no source."""
    return Limit(value, unit=unit, source=COMMON, mark=verdicts.COMMON_PRACTICE)
