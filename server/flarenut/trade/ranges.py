"""Checks of what comes in: every refusal names the field and its limits."""

import math


class InputError(Exception):
    """Input that cannot be judged. Nothing is guessed in its place."""

    def __init__(
        self,
        code: str,
        *,
        field: str,
        message: str,
        limits: dict[str, object] | None = None,
    ) -> None:
        super().__init__(message)
        self.code = code
        self.field = field
        self.message = message
        self.limits = limits


def missing(
    field: str, *, limits: dict[str, object] | None = None, choices: list[str] | None = None
) -> InputError:
    """The field was left out or is null; what would do is told where it can be told in one line."""
    message = field + " is missing"
    if choices:
        message += "; it must be one of: " + ", ".join(choices)
    return InputError("missing", field=field, message=message, limits=limits)


def contradictory(field: str, *, message: str) -> InputError:
    """Values that are fine alone and impossible together."""
    return InputError("contradictory", field=field, message=message)


def out_of_range(field: str, *, low: float, high: float, unit: str) -> InputError:
    """A number outside what this calculation is valid for."""
    limits: dict[str, object] = {"low": low, "high": high, "unit": unit}
    return InputError(
        "out_of_range",
        field=field,
        message=field + " is outside its limits",
        limits=limits,
    )


def not_a_choice(field: str, *, choices: list[str]) -> InputError:
    """A word that is not one of the known words, or not a word at all."""
    message = field + " must be one of: " + ", ".join(choices)
    return InputError("not_a_choice", field=field, message=message)


def wrong_kind(field: str, *, wanted: str) -> InputError:
    """A list, a text or a record was wanted and something else came."""
    return InputError("not_a_choice", field=field, message=field + " must be " + wanted)


def number(
    row: dict[str, object],
    name: str,
    *,
    low: float,
    high: float,
    unit: str,
    where: str = "",
) -> float:
    """A finite number within its limits; true and false are not numbers."""
    field = where + name
    value = row.get(name)
    if value is None:
        raise missing(field, limits={"low": low, "high": high, "unit": unit})
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise _not_a_number(field, low=low, high=high, unit=unit)
    if value != value:  # noqa: PLR0124 -- only NaN; math.isnan stumbles over whole numbers of 400 digits.
        raise _not_a_number(field, low=low, high=high, unit=unit)
    if value < low or value > high:
        raise out_of_range(field, low=low, high=high, unit=unit)
    return value


def number_or(
    row: dict[str, object],
    name: str,
    *,
    default: float,
    low: float,
    high: float,
    unit: str,
    where: str = "",
) -> float:
    """As `number`, with a stated default when the field is absent or null."""
    if row.get(name) is None:
        return default
    return number(row, name, low=low, high=high, unit=unit, where=where)


def whole(
    row: dict[str, object], name: str, *, low: int, high: int, unit: str, where: str = ""
) -> int:
    """A whole number within its limits."""
    value = number(row, name, low=low, high=high, unit=unit, where=where)
    if value != math.floor(value):
        raise _not_a_number(where + name, low=low, high=high, unit=unit)
    return int(value)


def choice(row: dict[str, object], name: str, *, choices: list[str], where: str = "") -> str:
    """One of the known words."""
    value = row.get(name)
    if value is None:
        raise missing(where + name, choices=choices)
    if not isinstance(value, str) or value not in choices:
        raise not_a_choice(where + name, choices=choices)
    return value


def choices_of(
    row: dict[str, object], name: str, *, choices: list[str], where: str = ""
) -> list[str]:
    """A list of known words; absent means none."""
    values = texts_or_none(row, name, where=where)
    for value in values:
        if value not in choices:
            raise not_a_choice(where + name, choices=choices)
    return values


def text(row: dict[str, object], name: str, *, where: str = "") -> str:
    """A text that says something; blanks alone do not."""
    value = text_or(row, name, default="", where=where)
    if value.strip() == "":
        raise missing(where + name)
    return value


def text_or(row: dict[str, object], name: str, *, default: str, where: str = "") -> str:
    """A text, with a stated default when the field is absent or null."""
    value = row.get(name)
    if value is None:
        return default
    if not isinstance(value, str):
        raise wrong_kind(where + name, wanted="text")
    return value


def yes(row: dict[str, object], name: str, *, where: str = "") -> bool:
    """True or false; absent means false. A word or a number for it is refused, not guessed."""
    value = row.get(name)
    if value is None:
        return False
    if not isinstance(value, bool):
        raise not_a_choice(where + name, choices=["true", "false"])
    return value


def record(row: dict[str, object], name: str, *, where: str = "") -> dict[str, object]:
    """A record with named fields."""
    value = row.get(name)
    if value is None:
        raise missing(where + name)
    if not isinstance(value, dict):
        raise wrong_kind(where + name, wanted="a record")
    return value


def record_or_empty(row: dict[str, object], name: str, *, where: str = "") -> dict[str, object]:
    """A record; absent means one without fields."""
    if row.get(name) is None:
        return {}
    return record(row, name, where=where)


def records(row: dict[str, object], name: str, *, where: str = "") -> list[dict[str, object]]:
    """A list of records, in the order given."""
    value = row.get(name)
    if value is None:
        raise missing(where + name)
    if not isinstance(value, list):
        raise wrong_kind(where + name, wanted="a list")
    for index, item in enumerate(value):
        if not isinstance(item, dict):
            raise wrong_kind(place(where + name, index=index), wanted="a record")
    return value


def records_or_none(
    row: dict[str, object], name: str, *, where: str = ""
) -> list[dict[str, object]]:
    """A list of records; absent means none."""
    if row.get(name) is None:
        return []
    return records(row, name, where=where)


def texts_or_none(row: dict[str, object], name: str, *, where: str = "") -> list[str]:
    """A list of texts; absent means none."""
    value = row.get(name)
    if value is None:
        return []
    if not isinstance(value, list):
        raise wrong_kind(where + name, wanted="a list")
    for index, item in enumerate(value):
        if not isinstance(item, str):
            raise wrong_kind(place(where + name, index=index), wanted="text")
    return value


def place(name: str, *, index: int) -> str:
    """Where in a list a field stands, counted from 0 as in JSON: `tasks[2]`."""
    return name + "[" + str(index) + "]"


def _not_a_number(field: str, *, low: float, high: float, unit: str) -> InputError:
    limits: dict[str, object] = {"low": low, "high": high, "unit": unit}
    message = field + " must be a number"
    return InputError("not_a_number", field=field, message=message, limits=limits)
