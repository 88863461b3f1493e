"""As-built sheets for tests: a good one, changed where a test says so."""

import csv
import io
from collections.abc import Sequence
from typing import Any

import xlsxwriter

from flarenut.jobs.columns import COLUMNS
from flarenut.jobs.template import EXAMPLE

Rows = Sequence[dict[str, Any]]


def example_rows() -> list[dict[str, Any]]:
    """The template's rows. In the sheet they stand in rows 2 to 10."""
    return [dict(row) for row in EXAMPLE]


def changed(tag: str, /, **cells: Any) -> list[dict[str, Any]]:
    """The example with some cells of one unit changed."""
    return [{**row, **cells} if row["tag"] == tag else row for row in example_rows()]


def csv_sheet(rows: Rows, *, header: Sequence[str] = tuple(COLUMNS), separator: str = ",") -> bytes:
    """The rows as CSV."""
    written = io.StringIO(newline="")
    table = csv.DictWriter(written, header, restval="", delimiter=separator, extrasaction="ignore")
    table.writeheader()
    table.writerows(rows)
    return written.getvalue().encode()


def xlsx_sheet(rows: Rows, *, header: Sequence[str] = tuple(COLUMNS)) -> bytes:
    """The rows as a workbook."""
    written = io.BytesIO()
    with xlsxwriter.Workbook(written, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, header)
        for number, row in enumerate(rows, start=1):
            sheet.write_row(number, 0, [row.get(name, "") for name in header])
    return written.getvalue()


def large_rows(indoor_units: int) -> list[dict[str, Any]]:
    """One heat recovery system with this many indoor units, twelve on a box."""
    system = {"system": "S1", "system_kind": "heat_recovery", "nominal_v": 400}
    rows: list[dict[str, Any]] = [{"kind": "outdoor_module", "tag": "OM-1", "floor": "Roof", **system}]
    for number in range(indoor_units):
        box, port = divmod(number, 12)
        floor = str(1 + box // 10)
        if port == 0:
            place = {"parent": "OM-1", "port_count": 12, "floor": floor, "system": "S1"}
            rows.append({"kind": "branch_box", "tag": f"BB-{box + 1}", **place})
        at = {"parent": f"BB-{box + 1}", "port": port + 1, "floor": floor, "system": "S1"}
        more = {"room": f"Room {number}", "room_m3": 31.5, "group_address": str(number + 1)}
        rows.append({"kind": "indoor_unit", "tag": f"IU-{number + 1}", **at, **more})
    return rows


def errors_of(checked: dict[str, Any]) -> list[tuple[int, str, str]]:
    """Row, column and code of every error."""
    return [(error["row"], error["column"], error["code"]) for error in checked["errors"]]
