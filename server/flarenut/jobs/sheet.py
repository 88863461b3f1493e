"""The as-built sheet: read it whole, report every bad cell, hand on all of it or nothing."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any
from uuid import uuid4

from flarenut.jobs.cells import kind_of, numbers_of, text_problems, word_problems
from flarenut.jobs.columns import COLUMNS, MUST_BE_THERE
from flarenut.jobs.floors import floor_orders
from flarenut.jobs.rows import NotASheet, Rows, read_file
from flarenut.jobs.shapes import LARGEST_SHEET_BYTES, MOST_UNITS
from flarenut.jobs.sheet_limits import limit_problems, limits_on
from flarenut.jobs.structure import UNIT_KINDS, check_structure
from flarenut.shape import size_bytes

# The texts of a unit that the sheet has under another name, or under the same.
TEXTS = {
    "floor": "floor",
    "place": "place",
    "room": "room",
    "group_address": "group_address",
    "central_address": "central_address",
    "feeder": "feeder",
    "model_note": "note",
}


@dataclass
class Sheet:
    """What was found so far."""

    rows: list[dict[str, Any]] = field(default_factory=list)
    row_numbers: list[int] = field(default_factory=list)
    errors: list[dict[str, Any]] = field(default_factory=list)
    systems: dict[str, dict[str, Any]] = field(default_factory=dict)
    wrong_cells: set[tuple[int, str]] = field(default_factory=set)

    def report(self, row: int, column: str, *, code: str, reason: str) -> None:
        """One sentence for one cell; the first thing that is wrong with it is enough."""
        if (row, column) not in self.wrong_cells:
            self.wrong_cells.add((row, column))
            self.errors.append({"row": row, "column": column, "code": code, "reason": reason})


def check_sheet(content: bytes) -> dict[str, Any]:
    """Everything that a new job needs, or every reason why it cannot be had. Writes nothing."""
    sheet = Sheet()
    try:
        _read_rows(sheet, read_file(content))
    except NotASheet as error:
        sheet.report(0, "", code=error.code, reason=error.message)
    _gather_systems(sheet)
    units = [_unit(row, sheet=sheet) for row in sheet.rows]
    _resolve_parents(sheet, units)
    _check_together(sheet, units)
    return _answer(sheet, units)


def _read_rows(sheet: Sheet, rows: Rows) -> None:
    numbered = [(number, cells) for number, cells in enumerate(rows.cells, start=1) if any(map(str.strip, cells))]
    if not numbered:
        raise NotASheet("sheet_empty", "The sheet is empty.")
    header_row, header = numbered[0]
    columns = _columns(sheet, header_row, header, body=[cells for _, cells in numbered[1:]])
    if sheet.errors:
        return
    if len(numbered) == 1:
        raise NotASheet("no_units", "The sheet has a header and no units below it.")
    if len(numbered) - 1 > MOST_UNITS:
        message = f"The sheet has {len(numbered) - 1} units; at most {MOST_UNITS} can be taken at once."
        raise NotASheet("too_many_rows", message)
    for number, cells in numbered[1:]:
        _read_row(sheet, number, _named(cells, columns), decimal_comma=rows.decimal_comma)


def _columns(sheet: Sheet, row: int, header: list[str], *, body: list[list[str]]) -> list[str]:
    """The name of each column. A column that nobody reads would be lost unseen, so it is an error."""
    names = [kind_of(said.lstrip("\ufeff")) for said in header]
    for name in MUST_BE_THERE:
        if name not in names:
            sheet.report(row, name, code="header_missing", reason=f"the header has no column called {name}")
    for index, name in enumerate(names):
        is_used = any(index < len(cells) and cells[index].strip() for cells in body)
        if name and names.index(name) != index:
            sheet.report(row, name[:60], code="header_twice", reason="two columns have this name")
        elif name not in COLUMNS and (name or is_used):
            _report_unknown(sheet, row, column=name[:60])
    return names


def _report_unknown(sheet: Sheet, row: int, *, column: str) -> None:
    """The names are many: they are listed with the first of such columns."""
    is_listed = any(error["code"] == "unknown_column" for error in sheet.errors)
    names = "the names that are listed above" if is_listed else f"these: {', '.join(COLUMNS)}"
    sheet.report(row, column, code="unknown_column", reason=f"remove this column or call it one of {names}")


def _named(cells: list[str], columns: list[str]) -> dict[str, str]:
    row = dict.fromkeys(COLUMNS, "")
    row.update({name: said.strip() for name, said in zip(columns, cells, strict=False) if name in COLUMNS})
    row["kind"], row["system_kind"] = kind_of(row["kind"]), kind_of(row["system_kind"])
    return row


def _read_row(sheet: Sheet, number: int, row: dict[str, str], *, decimal_comma: bool) -> None:
    values, wrong_numbers = numbers_of(row, decimal_comma=decimal_comma)
    for column, code, reason in (*text_problems(row), *word_problems(row), *wrong_numbers):
        sheet.report(number, column, code=code, reason=reason)
    sheet.rows.append({**row, **values})
    sheet.row_numbers.append(number)


_SYSTEM_WORDS = {"system_kind": "kind", "refrigerant": "refrigerant", "nominal_v": "nominal_v"}


def _gather_systems(sheet: Sheet) -> None:
    """A system is what its outdoor modules say it is, and they must all say the same."""
    for number, row in zip(sheet.row_numbers, sheet.rows, strict=True):
        if row["kind"] != "outdoor_module" or not row["system"]:
            continue
        said = {name: row[column] for column, name in _SYSTEM_WORDS.items()}
        system = sheet.systems.setdefault(row["system"].lower(), {"id": str(uuid4()), "tag": row["system"], **said})
        for column, name in _SYSTEM_WORDS.items():
            if system[name] != row[column] and system[name] and row[column]:
                reason = f"{row['system']} is {system[name]} on an earlier row; one system has one {column}"
                sheet.report(number, column, code=f"two_{column}s", reason=reason)


def _unit(row: dict[str, Any], *, sheet: Sheet) -> dict[str, Any]:
    system = sheet.systems.get(row["system"].lower())
    return {
        "id": str(uuid4()),
        "system_id": system["id"] if system else None,
        "kind": row["kind"],
        "tag": row["tag"],
        "room_m3": row["room_m3"],
        "parent_id": None,
        "port": row["port"],
        "port_count": row["port_count"],
        "line_size": row["line_size"] or None,
        "line_length_m": row["line_length_m"],
        **{name: row[column] for name, column in TEXTS.items()},
    }


def _resolve_parents(sheet: Sheet, units: list[dict[str, Any]]) -> None:
    """Tags become ids; small and large letters are the same to people on site."""
    by_tag: dict[str, str] = {}
    for unit in units:
        by_tag.setdefault(unit["tag"].lower(), unit["id"])
    for number, row, unit in zip(sheet.row_numbers, sheet.rows, units, strict=True):
        if row["system"] and unit["system_id"] is None:
            reason = f"no outdoor module on the sheet belongs to a system called {row['system'][:60]}"
            sheet.report(number, "system", code="unknown_system", reason=reason)
        if row["parent"]:
            unit["parent_id"] = by_tag.get(row["parent"].lower())
            if unit["parent_id"] is None:
                reason = f"no unit on the sheet has the tag {row['parent'][:60]}"
                sheet.report(number, "parent", code="unknown_parent", reason=reason)


def _check_together(sheet: Sheet, units: list[dict[str, Any]]) -> None:
    """What fits together can only be asked of units whose kind is known."""
    known = [index for index, unit in enumerate(units) if unit["kind"] in UNIT_KINDS and unit["tag"]]
    judged = [units[index] for index in known]
    for problem in check_structure(list(sheet.systems.values()), judged):
        number = sheet.row_numbers[known[problem.place]]
        if _is_news(sheet, number, column=problem.column):
            sheet.report(number, problem.column, code=problem.code, reason=problem.reason)
    for bad in limit_problems(sheet.rows):
        sheet.report(sheet.row_numbers[bad.place], bad.column, code=bad.code, reason=bad.reason)


def _is_news(sheet: Sheet, number: int, *, column: str) -> bool:
    """A port whose box is unknown is no second mistake: mending the parent may mend it."""
    causes = {(number, "parent"), (number, "system")}
    return not (column == "port" and causes & sheet.wrong_cells)


def _answer(sheet: Sheet, units: list[dict[str, Any]]) -> dict[str, Any]:
    found = {} if sheet.errors else _found(sheet, units)
    _check_size(sheet, found)
    if sheet.errors:
        ordered = sorted(sheet.errors, key=lambda error: error["row"])
        return {"systems": [], "units": [], "limits": {}, "errors": ordered, "counts": {}}
    return {**found, "errors": [], "counts": dict(_counts(found["systems"], units))}


def _found(sheet: Sheet, units: list[dict[str, Any]]) -> dict[str, Any]:
    orders = floor_orders([unit["floor"] for unit in units])
    for unit in units:
        unit["floor_order"] = orders[unit["floor"]]
    return {"systems": list(sheet.systems.values()), "units": units, "limits": limits_on(sheet.rows)}


def _check_size(sheet: Sheet, found: dict[str, Any]) -> None:
    """What is checked must also arrive as one change, or it would be clean here and turned away there."""
    size = size_bytes(found)
    if size > LARGEST_SHEET_BYTES:
        limit = f"All rows together come to {size:,} bytes; a job may have at most {LARGEST_SHEET_BYTES:,} bytes."
        reason = f"{limit} Shorten notes and other texts."
        sheet.report(0, "", code="sheet_too_large", reason=reason)


def _counts(systems: list[dict[str, Any]], units: list[dict[str, Any]]) -> Iterator[tuple[str, int]]:
    yield "systems", len(systems)
    yield "units", len(units)
    for kind in UNIT_KINDS:
        yield kind, sum(unit["kind"] == kind for unit in units)
