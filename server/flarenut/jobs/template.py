"""The as-built sheet to fill in: the header, and invented rows that show one of each and import cleanly."""

import csv
import io
from typing import Any

import xlsxwriter  # type: ignore[import-untyped]

from flarenut.jobs.columns import COLUMNS, MUST_BE_THERE

BYTE_ORDER_MARK = "\ufeff"  # Office programs take a CSV file for UTF-8 only when it says so.

# Everything here is invented: the tags, the rooms, and the model.
_INVENTED = "invented example; replace"
EXAMPLE: tuple[dict[str, Any], ...] = (
    {
        "kind": "outdoor_module",
        "tag": "OM-1",
        "system": "S1",
        "system_kind": "heat_recovery",
        "refrigerant": "R-410A",
        "nominal_v": 400,
        "floor": "Roof",
        "place": "north side",
        "feeder": "F-1",
        "vacuum_limit_pa": 66.7,
        "vacuum_hold_s": 3600,
        "leak_to_exclude_pa_m3_s": 0.001,
        "straight_limit_m": 0.6,
        "limits_source": "invented contract, section 4",
        "note": _INVENTED,
    },
    {"kind": "joint", "tag": "J-1", "system": "S1", "parent": "OM-1", "floor": "2", "place": "riser"},
    {
        "kind": "branch_box",
        "tag": "BB-1",
        "system": "S1",
        "parent": "J-1",
        "port_count": 4,
        "floor": "2",
        "place": "corridor ceiling",
    },
    {
        "kind": "indoor_unit",
        "tag": "IU-1",
        "system": "S1",
        "parent": "BB-1",
        "port": 1,
        "floor": "2",
        "place": "east",
        "room": "Reading room",
        "room_m3": 92.5,
        "line_size": "3/8 coil",
        "line_length_m": 12.5,
        "group_address": "1",
        "central_address": "1",
    },
    {
        "kind": "indoor_unit",
        "tag": "IU-2",
        "system": "S1",
        "parent": "BB-1",
        "port": 2,
        "floor": "2",
        "place": "west",
        "room": "Map room",
        "room_m3": 48,
        "group_address": "2",
        "central_address": "2",
    },
    {
        "kind": "wall_controller",
        "tag": "WC-1",
        "system": "S1",
        "parent": "IU-1",
        "floor": "2",
        "place": "beside the door",
        "room": "Reading room",
        "group_address": "1",
    },
    {
        "kind": "outdoor_module",
        "tag": "OM-2",
        "system": "S2",
        "system_kind": "heat_pump",
        "refrigerant": "R-32",
        "nominal_v": 400,
        "floor": "Roof",
        "place": "south side",
        "feeder": "F-2",
        "note": _INVENTED,
    },
    {
        "kind": "indoor_unit",
        "tag": "IU-3",
        "system": "S2",
        "parent": "OM-2",
        "floor": "1",
        "place": "behind the desk",
        "room": "Entrance hall",
        "room_m3": 210,
        "group_address": "1",
        "central_address": "3",
    },
    {"kind": "central_controller", "tag": "CC-1", "floor": "1", "place": "plant room"},
)

NOTES = (
    "Fill in the first sheet, one row for each unit, and replace the example rows: they are invented.",
    "The header row must stay. Columns marked * must be there; the others may be left out.",
    "The limits are those of the whole job: write them on the row of one outdoor module, with where they come from.",
    "No formulas: write the values. Nothing is taken over until every row is right.",
)


def template_csv() -> bytes:
    """The template for any program that reads text."""
    written = io.StringIO(newline="")
    table = csv.DictWriter(written, fieldnames=list(COLUMNS), restval="")
    table.writeheader()
    table.writerows(EXAMPLE)
    return (BYTE_ORDER_MARK + written.getvalue()).encode()


def template_xlsx() -> bytes:
    """The template as a workbook, with a second sheet that says what belongs into each column."""
    written = io.BytesIO()
    with xlsxwriter.Workbook(written, {"in_memory": True}) as book:
        bold = book.add_format({"bold": True})
        _write_units(book.add_worksheet("As-built"), bold=bold)
        _write_notes(book.add_worksheet("Notes"), bold=bold)
    return written.getvalue()


def _write_units(sheet: Any, *, bold: Any) -> None:
    names = list(COLUMNS)
    sheet.write_row(0, 0, names, bold)
    sheet.freeze_panes(1, 2)
    sheet.set_column(0, len(names) - 1, 16)
    for row, unit in enumerate(EXAMPLE, start=1):
        for column, name in enumerate(names):
            sheet.write(row, column, unit.get(name, ""))


def _write_notes(sheet: Any, *, bold: Any) -> None:
    sheet.set_column(0, 0, 20)
    sheet.set_column(1, 1, 100)
    for row, note in enumerate(NOTES):
        sheet.write(row, 0, note)
    for row, (name, note) in enumerate(COLUMNS.items(), start=len(NOTES) + 1):
        sheet.write(row, 0, f"{name} *" if name in MUST_BE_THERE else name, bold)
        sheet.write(row, 1, note)
