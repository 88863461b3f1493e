"""The as-built template, filled in as an office would: its own header, and rows of an invented library."""

import csv
from pathlib import Path
from typing import Any

import xlsxwriter
from python_calamine import CalamineWorkbook

Row = dict[str, Any]

_S1 = {"system": "S1", "floor": "1"}
# Everything here is invented: the site, the tags, the rooms.
GOOD: tuple[Row, ...] = (
    {
        "kind": "outdoor_module",
        "tag": "HY-M1",
        "system": "S1",
        "system_kind": "heat_recovery",
        "refrigerant": "R-410A",
        "nominal_v": 400,
        "floor": "Roof",
        "feeder": "F-7",
        "note": "invented",
    },
    {"kind": "joint", "tag": "HY-J1", "parent": "HY-M1", "place": "riser", **_S1},
    {"kind": "branch_box", "tag": "HY-B1", "parent": "HY-J1", "port_count": 4, **_S1},
    {"kind": "indoor_unit", "tag": "HY-01", "parent": "HY-B1", "port": 1, "room": "Stacks", "room_m3": 72.5, **_S1},
    {"kind": "indoor_unit", "tag": "HY-02", "parent": "HY-B1", "port": 2, "room": "Desk", "room_m3": 40, **_S1},
    {"kind": "wall_controller", "tag": "HY-W1", "parent": "HY-01", "place": "beside the door", **_S1},
    {"kind": "central_controller", "tag": "HY-C1", "floor": "1", "place": "plant room"},
)
TAGS = {row["tag"] for row in GOOD}

# The same with four mistakes; rows are counted as the sheet counts them, the header being row 1.
_MISTAKES: dict[str, Row] = {"HY-B1": {"parent": "HY-J9"}, "HY-02": {"port": 1, "room_m3": "big"}}
BAD: tuple[Row, ...] = (
    *({**row, **_MISTAKES.get(row["tag"], {})} for row in GOOD),
    {"kind": "teapot", "tag": "HY-T1", **_S1},
)
REPORTED = (
    ("4", "parent", "no unit on the sheet has the tag HY-J9"),
    ("6", "room_m3", "'big' is not a number"),
    ("6", "port", "port 1 of this branch box is already used by HY-01"),
    ("9", "kind", "teapot"),
)


def header_of(template: Path) -> list[str]:
    """The first row of a template as it was saved on the device."""
    if template.suffix == ".csv":
        return next(csv.reader([template.read_text(encoding="utf-8-sig").splitlines()[0]]))
    return [str(cell) for cell in CalamineWorkbook.from_path(template).get_sheet_by_index(0).to_python()[0]]


def filled(template: Path, *, rows: tuple[Row, ...], name: str) -> Path:
    """A sheet of the same kind beside the template, with its header and these rows in place of the examples."""
    path = template.with_name(f"{name}{template.suffix}")
    table = [header_of(template), *([row.get(column, "") for column in header_of(template)] for row in rows)]
    if template.suffix == ".csv":
        with path.open("w", newline="") as file:
            csv.writer(file).writerows(table)
        return path
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        for number, cells in enumerate(table):
            sheet.write_row(number, 0, cells)
    return path
