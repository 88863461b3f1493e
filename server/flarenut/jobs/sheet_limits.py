"""Limits on the sheet: of the whole job, on the rows of outdoor modules, with where they come from."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from flarenut.jobs.limits import FROM_SHEET
from flarenut.jobs.structure import UNIT_KINDS

SOURCE = "limits_source"
LIMIT_COLUMNS = (*FROM_SHEET, SOURCE)
VACUUM = ("vacuum_limit_pa", "vacuum_hold_s")
ROOM = "room_limit_kg_m3"

Row = Mapping[str, Any]


class BadLimit(NamedTuple):
    """What is wrong with one cell, by the place of its row in the list."""

    place: int
    column: str
    code: str
    reason: str


def limits_on(rows: Sequence[Row]) -> dict[str, Any]:
    """What the sheet says once for the whole job; nothing where it names no limit."""
    said = {column: next((row[column] for row in rows if row[column]), None) for column in LIMIT_COLUMNS}
    limits = {name: said[name] for name in FROM_SHEET if said[name] is not None}
    return {**limits, "source": said[SOURCE]} if limits else {}


def limit_problems(rows: Sequence[Row]) -> Iterator[BadLimit]:
    """Each with its row: a limit of the job is said once, alike, and never without its source."""
    said = limits_on(rows)
    for column in LIMIT_COLUMNS:
        places = [place for place, row in enumerate(rows) if row[column]]
        yield from _misplaced(rows, places, column=column)
        if column in said and not said["source"]:
            reason = f"write into {SOURCE} where this limit comes from: contract, manual or standard"
            yield BadLimit(places[0], column, "limits_source_missing", reason)
    for one, other in (VACUUM, VACUUM[::-1]):
        if one in said and other not in said:
            place = next(place for place, row in enumerate(rows) if row[one])
            yield BadLimit(place, other, f"{other}_missing", f"{one} needs {other} beside it; give both or neither")
    yield from _several_refrigerants(rows)


def _misplaced(rows: Sequence[Row], places: list[int], *, column: str) -> Iterator[BadLimit]:
    for place in places:
        first, here = rows[places[0]][column], rows[place][column]
        kind = rows[place]["kind"]
        if kind in UNIT_KINDS and kind != "outdoor_module":
            reason = f"{column} belongs on the row of an outdoor module; it is a limit of the whole job"
            yield BadLimit(place, column, f"{column}_not_wanted", reason)
        elif here != first:
            reason = f"an earlier row says {first}; a job has one {column}"
            yield BadLimit(place, column, f"two_{column}", reason)


def _several_refrigerants(rows: Sequence[Row]) -> Iterator[BadLimit]:
    """What one refrigerant may have in a room says nothing of another."""
    kinds = {row["refrigerant"].lower() for row in rows if row["kind"] == "outdoor_module" and row["refrigerant"]}
    if len(kinds) > 1:
        reason = "the systems have different refrigerants; leave this empty and type the limit at each check"
        for place, row in enumerate(rows):
            if row[ROOM]:
                yield BadLimit(place, ROOM, "several_refrigerants", reason)
