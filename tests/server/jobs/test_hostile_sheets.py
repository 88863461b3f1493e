"""Files that mean harm, or are no sheets at all: each is answered quickly and in words."""

import hashlib
import io
import zipfile

import pytest
import xlsxwriter

from flarenut.jobs.rows import LARGEST_FILE_BYTES
from flarenut.jobs.sheet import check_sheet
from tests.server.jobs.sheets import changed, csv_sheet, errors_of, example_rows, xlsx_sheet


def _zip_of(name: str, body: bytes) -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(name, body)
    return written.getvalue()


def _noise(seed: int) -> bytes:
    """Bytes without any order, the same on every run."""
    return hashlib.shake_256(bytes([seed])).digest(100_000)


def _far_cell() -> bytes:
    written = io.BytesIO()
    with xlsxwriter.Workbook(written, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        sheet.write(0, 0, "kind")
        sheet.write(1_048_575, 16_383, "the last cell of all")
    return written.getvalue()


def _broken_sheet_xml() -> bytes:
    good, written = xlsx_sheet(example_rows()), io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as read, zipfile.ZipFile(written, "w") as packed:
        for entry in read.infolist():
            body = read.read(entry)
            packed.writestr(entry.filename, body[: len(body) // 2] if "sheet1.xml" in entry.filename else body)
    return written.getvalue()


def _old_workbook() -> bytes:
    return b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2_000)


HOSTILE = {
    "a small zip that unfolds to two hundred megabytes": _zip_of("xl/workbook.xml", bytes(200_000_000)),
    "one cell in the last row of the last column": _far_cell(),
    "a zip that is no workbook": _zip_of("readme.txt", b"hello"),
    "half a workbook": xlsx_sheet(example_rows())[:2_000],
    "a workbook with half a sheet": _broken_sheet_xml(),
    "random bytes": _noise(7),
    "random bytes that begin like a zip": b"PK\x03\x04" + _noise(8),
    "nothing but separators": b"," * 1_000_000,
    "nothing but lines": b"a\n" * 100_000,
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE.keys())
def test_a_hostile_file_is_refused_in_words(content: bytes) -> None:
    checked = check_sheet(content)

    assert checked["units"] == []
    assert errors_of(checked)[0][0] in (0, 1)
    assert checked["errors"][0]["code"] in ("not_a_sheet", "header_missing")
    assert len(checked["errors"][0]["reason"]) > 20


def test_an_old_workbook_is_told_what_to_do() -> None:
    checked = check_sheet(_old_workbook())

    assert errors_of(checked) == [(0, "", "old_workbook")]
    assert ".xlsx" in checked["errors"][0]["reason"]


def test_a_file_over_the_limit_is_refused_with_the_limit() -> None:
    checked = check_sheet(b"x" * (LARGEST_FILE_BYTES + 1))

    assert errors_of(checked) == [(0, "", "file_too_large")]
    assert "5 MB" in checked["errors"][0]["reason"]


def test_a_quote_that_never_closes_is_refused_in_words() -> None:
    text = csv_sheet(example_rows()).decode().replace("north side", '"north side')

    assert errors_of(check_sheet(text.encode()))[0][2] == "not_a_sheet"


def test_a_nul_character_in_a_workbook_cell_is_named_by_its_cell() -> None:
    good, written = xlsx_sheet(changed("IU-1", place="PLACE")), io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as read, zipfile.ZipFile(written, "w") as packed:
        for entry in read.infolist():
            packed.writestr(entry.filename, read.read(entry).replace(b"PLACE", b"PL_x0000_ACE"))

    checked = check_sheet(written.getvalue())

    assert errors_of(checked) == [(5, "place", "not_text")]
