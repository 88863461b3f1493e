"""Read a workbook in a process of its own: bytes in, rows of text out as JSON.

A workbook is a zip from a stranger. One cell in the last row of the last column makes a
reader reserve room for seventeen billion cells, and a few kilobytes of zip can hold
gigabytes. The process has little memory and little time, and may die of either without
anyone else noticing.

Run as `python -m flarenut.jobs.workbook < sheet.xlsx`.
"""

import datetime as dt
import io
import json
import resource
import sys
import zipfile

MEMORY_BYTES = 1 << 30  # Enough for the largest sheet that is taken, several times over (P).
TIME_S = 20  # The largest takes about one (measured).
UNPACKED_BYTES = 64 << 20
MOST_ROWS = 20_000  # More is no as-built list; the limit of units is told when the rows are counted.
MOST_COLUMNS = 200


class NotAWorkbook(Exception):
    """The words are for the person who sent it."""


def unpacked(content: bytes) -> bytes:
    """The same zip, written anew without compression, so that nothing in it can still unfold."""
    room, plain = UNPACKED_BYTES, io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as packed, zipfile.ZipFile(plain, "w") as written:
        for entry in packed.infolist():
            with packed.open(entry) as file:
                body = file.read(room + 1)
            room -= len(body)
            if room < 0:
                raise NotAWorkbook(f"unpacked it is larger than {UNPACKED_BYTES >> 20} MB, which is the limit")
            written.writestr(entry.filename, body)
    return plain.getvalue()


def read_rows(content: bytes) -> list[list[str]]:
    """The first sheet of the workbook, every cell as text."""
    from python_calamine import CalamineWorkbook  # noqa: PLC0415 -- only the process with little memory loads it.

    with CalamineWorkbook.from_filelike(io.BytesIO(unpacked(content))) as workbook:
        sheet = workbook.get_sheet_by_index(0)
        if sheet.total_height > MOST_ROWS or sheet.total_width > MOST_COLUMNS:
            raise NotAWorkbook(f"it has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns, which is the limit")
        return [[as_text(cell) for cell in row] for row in sheet.to_python(skip_empty_area=False)]


def as_text(cell: object) -> str:
    """A cell as a person would type it: whole numbers have no point."""
    if isinstance(cell, bool):
        return "TRUE" if cell else "FALSE"
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    if isinstance(cell, (dt.date, dt.time)):
        return cell.isoformat()
    return str(cell)


def main() -> None:
    """Answer with rows, or with why there are none."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (TIME_S, TIME_S))
    try:
        answer: dict[str, object] = {"rows": read_rows(sys.stdin.buffer.read())}
    except NotAWorkbook as error:
        answer = {"error": str(error)}
    except Exception:  # noqa: BLE001 -- a reader of hostile files may fail in any way; the person is told one.
        answer = {"error": "it is damaged, or protected by a password"}
    sys.stdout.write(json.dumps(answer))


if __name__ == "__main__":
    main()
