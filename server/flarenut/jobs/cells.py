"""One row of the sheet: each cell becomes a value, or a problem in plain words."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from flarenut.jobs.limits import FROM_SHEET
from flarenut.jobs.rows import LONGEST_CELL
from flarenut.jobs.shapes import (
    ADDRESS,
    HIGHEST_V,
    LARGEST_ROOM_M3,
    LOWEST_V,
    SMALLEST_ROOM_M3,
)
from flarenut.jobs.structure import SYSTEM_KINDS, UNIT_KINDS
from flarenut.shape import LINE
from flarenut.sync.plain import is_storable
from flarenut.trade import charge_lines, tubes

# Column, code, reason.
Wrong = tuple[str, str, str]

_LONGEST = {"note": LONGEST_CELL, "group_address": ADDRESS, "central_address": ADDRESS}
_ENDS = {
    **FROM_SHEET,
    "nominal_v": (LOWEST_V, HIGHEST_V, "V"),
    "room_m3": (SMALLEST_ROOM_M3, LARGEST_ROOM_M3, "m3"),
    "line_length_m": (0.0, charge_lines.LONGEST_M, "m"),
}
_THOUSANDS = re.compile(r"^\d{1,3},\d{3}$")
_NUMBER = re.compile(r"^-?\d+(\.\d+)?$")
MOST_DIGITS = 20
_BROKEN = ("#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!")


class NotANumber(ValueError):
    """The words say what was expected."""


def parse_number(said: str, *, decimal_comma: bool) -> float:
    """A number as people write it. What could mean two things is not guessed."""
    plain = said.replace("\u00a0", "").replace(" ", "").replace("\u2212", "-")
    if "," in plain and "." in plain:
        # The later of the two marks the decimals; the other one groups thousands.
        thousands = "," if plain.rfind(".") > plain.rfind(",") else "."
        plain = plain.replace(thousands, "").replace(",", ".")
    elif _THOUSANDS.match(plain) and not decimal_comma:
        bare = plain.replace(",", "")
        raise NotANumber(f"{said} can mean two numbers; write {bare} or {plain.replace(',', '.')}")
    plain = plain.replace(",", ".")
    if not _NUMBER.match(plain) or len(plain) > LINE:
        raise NotANumber(f"{said[:40]!r} is not a number")
    return float(plain)


def text_problems(row: dict[str, str]) -> Iterator[Wrong]:
    """What no cell may hold, whatever its column."""
    for column, said in row.items():
        limit = _LONGEST.get(column, LINE)
        if said.startswith("=") or said.upper() in _BROKEN:
            yield column, "formula", "this is a formula or its error; write the value instead"
        elif not is_storable(said):
            yield column, "not_text", "this holds a character that cannot be stored; type it again"
        elif len(said) > limit:
            yield column, "too_long", f"this is {len(said)} characters long; at most {limit} are kept"


def word_problems(row: dict[str, str]) -> Iterator[Wrong]:
    """What must be said on every row, or on the rows of outdoor modules."""
    kind = row["kind"]
    if not kind:
        yield "kind", "kind_missing", "say what kind of unit this is"
    elif kind not in UNIT_KINDS:
        yield "kind", "unknown_kind", f"{kind[:40]!r} is no kind of unit; write one of: {', '.join(UNIT_KINDS)}"
    if not row["tag"]:
        yield "tag", "tag_missing", "every unit needs a tag"
    if not row["floor"]:
        yield "floor", "floor_missing", "say on which floor this unit stands"
    if not row["system"] and kind != "central_controller":
        yield "system", "system_missing", "say which system this unit belongs to"
    if row["line_size"] and row["line_size"] not in tubes.names():
        reason = f"{row['line_size'][:40]!r} is no size of the tube table; write one of: {', '.join(tubes.names())}"
        yield "line_size", "unknown_line_size", reason
    if kind == "outdoor_module":
        yield from _system_word_problems(row)


def _system_word_problems(row: dict[str, str]) -> Iterator[Wrong]:
    said = row["system_kind"]
    if not said:
        yield "system_kind", "system_kind_missing", f"write one of: {', '.join(SYSTEM_KINDS)}"
    elif said not in SYSTEM_KINDS:
        yield "system_kind", "unknown_system_kind", f"{said[:40]!r} is none of: {', '.join(SYSTEM_KINDS)}"
    if not row["nominal_v"]:
        yield "nominal_v", "nominal_v_missing", "an outdoor module needs the nominal voltage of its supply, in V"


def numbers_of(row: dict[str, str], *, decimal_comma: bool) -> tuple[dict[str, Any], list[Wrong]]:
    """The numbers of a row, and what is wrong with them."""
    values: dict[str, Any] = {}
    wrong: list[Wrong] = []
    for column in ("nominal_v", "port", "port_count", "room_m3", "line_length_m", *FROM_SHEET):
        values[column] = None
        if not row[column]:
            continue
        try:
            number = parse_number(row[column], decimal_comma=decimal_comma)
            values[column] = _fitting(column, number)
        except NotANumber as error:
            wrong.append((column, f"{column}_not_a_number", str(error)))
        except ValueError as error:
            wrong.append((column, f"{column}_out_of_range", str(error)))
    return values, wrong


def _fitting(column: str, number: float) -> float | int:
    if column in ("port", "port_count"):
        if not number.is_integer():
            raise NotANumber(f"{written(number)} is not a whole number")
        if number < 0:
            raise ValueError(f"{written(number)} is less than 1")
        return int(min(number, 1_000_000))
    low, high, unit = _ENDS[column]
    if not low <= number <= high:
        raise ValueError(f"{written(number)} is not between {written(low)} and {written(high)} {unit}")
    return number


def written(number: float) -> str:
    """As it would stand in a cell: all of its digits, and as a power of ten only where nobody would count them."""
    digits = f"{Decimal(str(number)).normalize():f}"
    return digits if len(digits) <= MOST_DIGITS else f"{number:g}"


def kind_of(said: str) -> str:
    """Kinds may be written as people say them: `Indoor unit` is indoor_unit."""
    return "_".join(said.lower().replace("-", " ").replace("_", " ").split())
