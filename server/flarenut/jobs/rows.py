"""A file becomes rows of text: CSV of any usual kind, or a workbook."""

import csv
import json
import subprocess
import sys
from dataclasses import dataclass

from flarenut.errors import Invalid
from flarenut.jobs.workbook import MOST_COLUMNS, MOST_ROWS

LARGEST_FILE_BYTES = 5_000_000
SEPARATORS = (";", ",", "\t", "|")
WORKBOOK_PATIENCE_S = 30  # A little more than the reader allows itself.

# Longer than any cell that a shape would take later, and far below what csv refuses by itself.
LONGEST_CELL = 4_000


@dataclass(frozen=True)
class Rows:
    """The rows of a sheet, and how numbers are written in it."""

    cells: list[list[str]]
    decimal_comma: bool


class NotASheet(Invalid):
    """The file as a whole cannot be read. Row 0 of the answer says so."""


def read_file(content: bytes) -> Rows:
    """Whatever it is called, what it holds decides how it is read."""
    if not content.strip():
        raise NotASheet("sheet_empty", "The file is empty.")
    if len(content) > LARGEST_FILE_BYTES:
        limit = LARGEST_FILE_BYTES // 1_000_000
        raise NotASheet("file_too_large", f"The file is larger than {limit} MB, which is the limit.")
    if content.startswith(b"PK"):
        return Rows(_workbook_rows(content), decimal_comma=False)
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        raise NotASheet("old_workbook", "This is an old or protected workbook. Save it as .xlsx or .csv.")
    return _csv_rows(_decoded(content))


def _workbook_rows(content: bytes) -> list[list[str]]:
    command = [sys.executable, "-m", "flarenut.jobs.workbook"]
    try:
        done = subprocess.run(  # noqa: S603 -- our own module; the file goes in by a pipe and never by name.
            command, input=content, capture_output=True, timeout=WORKBOOK_PATIENCE_S, check=False
        )
        answer = json.loads(done.stdout) if done.returncode == 0 else {}
    except (subprocess.TimeoutExpired, ValueError):
        answer = {}
    if "rows" in answer:
        return list(answer["rows"])
    reason = answer.get("error", "reading it takes more memory or time than a sheet may take")
    raise NotASheet("not_a_sheet", f"The workbook cannot be read: {reason}.")


def _decoded(content: bytes) -> str:
    """The text, by its mark if it has one, else UTF-8, else what office programs of the West write."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif b"\x00" in content:
        raise NotASheet("not_a_sheet", "This is neither a CSV file nor a workbook.")
    else:
        encodings = ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise NotASheet("not_a_sheet", "This is neither a CSV file nor a workbook.")


def _csv_rows(text: str) -> Rows:
    separator = _separator(text)
    csv.field_size_limit(LARGEST_FILE_BYTES)  # Over-long cells are reported by name and row, not by this.
    try:
        reader = csv.reader(text.splitlines(keepends=True), delimiter=separator, strict=True)
        cells = [list(row) for row in reader]
    except csv.Error as error:
        raise NotASheet("not_a_sheet", f"The CSV file cannot be read: {error}.") from error
    if len(cells) > MOST_ROWS or any(len(row) > MOST_COLUMNS for row in cells):
        message = f"The sheet has more than {MOST_ROWS} rows or {MOST_COLUMNS} columns, which is the limit."
        raise NotASheet("not_a_sheet", message)
    return Rows(cells, decimal_comma=separator == ";")


def _separator(text: str) -> str:
    """What stands most often in the first line that says anything; that is the header."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    return max(SEPARATORS, key=header.count)
