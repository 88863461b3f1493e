"""The as-built sheet: what imports, and what is said about what does not."""

from typing import Any

import pytest

from flarenut.jobs.columns import COLUMNS
from flarenut.jobs.shapes import MOST_UNITS
from flarenut.jobs.sheet import check_sheet
from flarenut.jobs.template import template_csv, template_xlsx
from tests.server.jobs.sheets import changed, csv_sheet, errors_of, example_rows, large_rows, xlsx_sheet


@pytest.mark.parametrize("template", [template_csv, template_xlsx])
def test_the_template_imports_as_it_is(template: Any) -> None:
    content = template()

    checked = check_sheet(content)

    assert checked["errors"] == []
    assert checked["counts"]["units"] == 9
    assert [system["kind"] for system in checked["systems"]] == ["heat_recovery", "heat_pump"]


@pytest.mark.parametrize("written", [csv_sheet, xlsx_sheet])
def test_parents_and_systems_come_back_as_ids(written: Any) -> None:
    checked = check_sheet(written(example_rows()))

    units = {unit["tag"]: unit for unit in checked["units"]}
    systems = {system["tag"]: system for system in checked["systems"]}

    assert units["IU-1"]["parent_id"] == units["BB-1"]["id"]
    assert units["IU-1"]["system_id"] == systems["S1"]["id"]
    assert (units["IU-1"]["port"], units["BB-1"]["port_count"]) == (1, 4)
    assert units["CC-1"]["system_id"] is None
    assert systems["S1"]["nominal_v"] == 400
    assert units["IU-1"]["room_m3"] == 92.5
    assert (units["IU-1"]["line_size"], units["IU-1"]["line_length_m"]) == ("3/8 coil", 12.5)
    assert (units["IU-2"]["line_size"], units["IU-2"]["line_length_m"]) == (None, None)
    assert units["OM-1"]["floor_order"] > units["IU-1"]["floor_order"] > units["IU-3"]["floor_order"]


# What is wrong, the unit, its changed cells, and the row, column and code that are reported.
BAD_ROWS: list[tuple[str, dict[str, Any], tuple[int, str, str]]] = [
    ("IU-1", {"tag": ""}, (5, "tag", "tag_missing")),
    ("IU-2", {"tag": "iu-1"}, (6, "tag", "tag_twice")),
    ("IU-1", {"kind": "teapot"}, (5, "kind", "unknown_kind")),
    ("IU-1", {"kind": ""}, (5, "kind", "kind_missing")),
    ("IU-1", {"parent": "BB-9"}, (5, "parent", "unknown_parent")),
    ("IU-3", {"parent": "WC-1"}, (9, "parent", "parent_wrong_kind")),
    ("IU-3", {"parent": "OM-1"}, (9, "parent", "parent_other_system")),
    ("OM-2", {"parent": "J-1"}, (8, "parent", "parent_not_wanted")),
    ("WC-1", {"parent": ""}, (7, "parent", "parent_missing")),
    ("J-1", {"parent": "J-1"}, (3, "parent", "parent_circle")),
    ("IU-1", {"port": ""}, (5, "port", "port_missing")),
    ("IU-1", {"port": 5}, (5, "port", "port_out_of_range")),
    ("IU-1", {"port": 0}, (5, "port", "port_out_of_range")),
    ("IU-1", {"port": -1}, (5, "port", "port_out_of_range")),
    ("IU-1", {"port": "1.5"}, (5, "port", "port_not_a_number")),
    ("IU-2", {"port": 1}, (6, "port", "port_twice")),
    ("IU-3", {"port": 1}, (9, "port", "port_without_box")),
    ("WC-1", {"port": 1}, (7, "port", "port_not_wanted")),
    ("BB-1", {"port_count": ""}, (4, "port_count", "port_count_missing")),
    ("BB-1", {"port_count": "four"}, (4, "port_count", "port_count_not_a_number")),
    ("BB-1", {"port_count": 99}, (4, "port_count", "port_count_out_of_range")),
    ("IU-1", {"port_count": 4}, (5, "port_count", "port_count_not_wanted")),
    ("IU-1", {"room_m3": "large"}, (5, "room_m3", "room_m3_not_a_number")),
    ("IU-1", {"line_size": "3/8"}, (5, "line_size", "unknown_line_size")),
    ("IU-1", {"line_length_m": -1}, (5, "line_length_m", "line_length_m_out_of_range")),
    ("IU-1", {"room_m3": "nan"}, (5, "room_m3", "room_m3_not_a_number")),
    ("IU-1", {"room_m3": 0}, (5, "room_m3", "room_m3_out_of_range")),
    ("IU-1", {"room_m3": -20}, (5, "room_m3", "room_m3_out_of_range")),
    ("IU-1", {"room_m3": "1,234"}, (5, "room_m3", "room_m3_not_a_number")),
    ("IU-2", {"group_address": "01"}, (6, "group_address", "address_twice")),
    ("IU-3", {"central_address": "1"}, (9, "central_address", "central_address_twice")),
    ("IU-1", {"system": "S9"}, (5, "system", "unknown_system")),
    ("IU-1", {"system": ""}, (5, "system", "system_missing")),
    ("IU-1", {"floor": ""}, (5, "floor", "floor_missing")),
    ("OM-1", {"nominal_v": ""}, (2, "nominal_v", "nominal_v_missing")),
    ("OM-1", {"nominal_v": 12}, (2, "nominal_v", "nominal_v_out_of_range")),
    ("OM-1", {"system_kind": ""}, (2, "system_kind", "system_kind_missing")),
    ("OM-1", {"system_kind": "kettle"}, (2, "system_kind", "unknown_system_kind")),
    ("OM-2", {"system": "S1", "refrigerant": ""}, (8, "system_kind", "two_system_kinds")),
    ("IU-1", {"place": "=1+1"}, (5, "place", "formula")),
    ("IU-1", {"place": "#REF!"}, (5, "place", "formula")),
    ("IU-1", {"place": "x" * 201}, (5, "place", "too_long")),
]


@pytest.mark.parametrize(("tag", "cells", "expected"), BAD_ROWS, ids=[bad[2][2] for bad in BAD_ROWS])
def test_a_bad_row_is_reported_with_row_column_and_reason(
    tag: str, cells: dict[str, Any], expected: tuple[int, str, str]
) -> None:
    checked = check_sheet(csv_sheet(changed(tag, **cells)))

    assert expected in errors_of(checked)
    assert all(error["reason"] for error in checked["errors"])
    assert checked["units"] == []
    assert checked["systems"] == []


def test_each_code_of_a_bad_row_has_a_sentence_of_its_own() -> None:
    reasons = {
        error["code"]: error["reason"]
        for tag, cells, _ in BAD_ROWS
        for error in check_sheet(csv_sheet(changed(tag, **cells)))["errors"]
    }

    assert len(reasons) >= 30
    assert len(set(reasons.values())) == len(reasons)


@pytest.mark.parametrize(
    ("cells", "reason"),
    [
        ({"room_m3": "-20"}, "-20 is not between 0.1 and 1000000 m3"),
        ({"room_m3": "12345678"}, "12345678 is not between 0.1 and 1000000 m3"),
        ({"port": "1234567.5"}, "1234567.5 is not a whole number"),
    ],
)
def test_a_number_is_told_as_it_is_written_on_a_sheet(cells: dict[str, Any], reason: str) -> None:
    checked = check_sheet(csv_sheet(changed("IU-1", **cells)))

    assert [error["reason"] for error in checked["errors"]] == [reason]


def test_one_mistake_gives_one_sentence_and_not_three() -> None:
    checked = check_sheet(csv_sheet(changed("IU-1", parent="BB-9")))

    assert errors_of(checked) == [(5, "parent", "unknown_parent")]


def test_every_bad_row_is_reported_at_once() -> None:
    rows = [{**row, "floor": ""} for row in example_rows()]

    checked = check_sheet(xlsx_sheet(rows))

    assert errors_of(checked) == [(number, "floor", "floor_missing") for number in range(2, 11)]


def test_row_numbers_are_those_of_the_sheet_even_after_empty_rows() -> None:
    lines = csv_sheet(changed("IU-1", floor="")).decode().splitlines()

    checked = check_sheet("\n".join(["", *lines[:2], ",,,", *lines[2:]]).encode())

    assert errors_of(checked) == [(7, "floor", "floor_missing")]


@pytest.mark.parametrize("name", ["kind", "tag", "system", "system_kind", "nominal_v", "floor"])
def test_a_missing_column_is_named(name: str) -> None:
    header = [column for column in COLUMNS if column != name]

    checked = check_sheet(csv_sheet(example_rows(), header=header))

    assert errors_of(checked) == [(1, name, "header_missing")]


def test_a_column_that_nobody_would_read_is_an_error_and_not_lost_unseen() -> None:
    checked = check_sheet(csv_sheet(example_rows(), header=[*COLUMNS, "room_volume"]))

    assert errors_of(checked) == [(1, "room_volume", "unknown_column")]


def test_the_columns_that_a_sheet_may_have_are_listed_once() -> None:
    checked = check_sheet(b"a,b,c\n1,2,3\n")

    unknown = [error["reason"] for error in checked["errors"] if error["code"] == "unknown_column"]
    assert [", ".join(COLUMNS) in reason for reason in unknown] == [True, False, False]
    assert unknown[1] == "remove this column or call it one of the names that are listed above"


def test_a_column_twice_is_an_error() -> None:
    checked = check_sheet(csv_sheet(example_rows(), header=[*COLUMNS, "tag"]))

    assert errors_of(checked) == [(1, "tag", "header_twice")]


def test_headers_and_kinds_are_read_as_people_write_them() -> None:
    text = csv_sheet(example_rows()).decode().replace("room_m3", "Room M3").replace("indoor_unit", "Indoor Unit")

    assert check_sheet(text.encode())["errors"] == []


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_any_usual_separator_is_found(separator: str) -> None:
    assert check_sheet(csv_sheet(example_rows(), separator=separator))["errors"] == []


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_usual_encoding_is_read(encoding: str) -> None:
    text = csv_sheet(changed("IU-1", room="Lesesäle")).decode()

    checked = check_sheet(text.encode(encoding))

    assert [unit["room"] for unit in checked["units"]][3] == "Lesesäle"


@pytest.mark.parametrize(
    ("separator", "said", "meant"),
    [
        (";", "92,5", 92.5),
        (",", "92,5", 92.5),
        (";", "1.234,5", 1234.5),
        (",", "1,234.5", 1234.5),
        (";", "1,234", 1.234),
    ],
)
def test_decimal_commas_are_read(separator: str, said: str, meant: float) -> None:
    checked = check_sheet(csv_sheet(changed("IU-1", room_m3=said), separator=separator))

    assert [unit["room_m3"] for unit in checked["units"]][3] == meant


@pytest.mark.parametrize("written", [csv_sheet, xlsx_sheet])
def test_a_sheet_of_four_hundred_units_imports(written: Any) -> None:
    checked = check_sheet(written(large_rows(400)))

    assert checked["errors"] == []
    assert checked["counts"]["indoor_unit"] == 400


def test_more_units_than_a_job_can_hold_are_refused_with_the_limit() -> None:
    checked = check_sheet(csv_sheet(large_rows(MOST_UNITS)))

    assert errors_of(checked) == [(0, "", "too_many_rows")]
    assert str(MOST_UNITS) in checked["errors"][0]["reason"]


@pytest.mark.parametrize(("content", "code"), [(b"", "sheet_empty"), (b" \n \n", "sheet_empty")])
def test_an_empty_file_is_called_empty(content: bytes, code: str) -> None:
    assert errors_of(check_sheet(content)) == [(0, "", code)]


def test_a_header_alone_is_no_sheet() -> None:
    assert errors_of(check_sheet(csv_sheet([]))) == [(0, "", "no_units")]
