"""The sheet on its way through the route: a file goes up, and a whole job or every reason comes back."""

from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import Engine, text
from werkzeug.test import TestResponse

from flarenut.jobs.rows import LARGEST_FILE_BYTES
from flarenut.jobs.template import EXAMPLE
from tests.builders import CastMember, Phone, a_mutation, a_sheet, new_id, push
from tests.server.jobs.sheets import changed, csv_sheet, example_rows, large_rows, xlsx_sheet

Enter = Callable[..., Phone]
Writer = Callable[..., bytes]

BOUNDARY = "the-end-of-a-part"
COUNTS = {
    "systems": 2,
    "units": 9,
    "outdoor_module": 2,
    "branch_box": 1,
    "joint": 1,
    "indoor_unit": 3,
    "wall_controller": 1,
    "central_controller": 1,
}


def _check(phone: Phone, content: bytes, *, name: str, field: str = "sheet") -> TestResponse:
    """The form as a browser words it; the test client would leave a file of its own open for a large one."""
    disposition = f'Content-Disposition: form-data; name="{field}"; filename="{name}"'
    head = f"--{BOUNDARY}\r\n{disposition}\r\nContent-Type: application/octet-stream\r\n\r\n"
    body = b"".join([head.encode(), content, f"\r\n--{BOUNDARY}--\r\n".encode()])
    form = f"multipart/form-data; boundary={BOUNDARY}"
    return phone.post("/api/as-built/check", data=body, content_type=form)


def _jobs(owner: Engine) -> int:
    with owner.connect() as connection:
        return int(connection.scalar(text("SELECT count(*) FROM job")) or 0)


@pytest.mark.parametrize(("written", "name"), [(xlsx_sheet, "hall.xlsx"), (csv_sheet, "hall.csv")])
def test_a_good_sheet_comes_back_as_systems_and_units_and_becomes_a_job(
    written: Writer, name: str, client_as: Enter, ana: CastMember, owner: Engine
) -> None:
    office, job_id = client_as(ana), new_id()

    answer = _check(office, written(example_rows()), name=name)
    checked = answer.get_json()
    jobs_after_the_check = _jobs(owner)
    fields = a_sheet(systems=checked["systems"], units=checked["units"])
    lane = push(office, job_id, [a_mutation("job.create", job_id, **fields)])

    assert (answer.status_code, checked["errors"], checked["counts"]) == (200, [], COUNTS)
    assert jobs_after_the_check == 0  # a check writes nothing
    assert lane["receipts"][0]["outcome"] == "applied", lane
    units = office.rows("unit")
    by_tag = {unit["tag"]: unit for unit in units.values()}
    assert set(by_tag) == {row["tag"] for row in EXAMPLE}
    assert (by_tag["IU-1"]["room"], by_tag["IU-1"]["room_m3"], by_tag["IU-1"]["port"]) == ("Reading room", 92.5, 1)
    assert units[by_tag["IU-1"]["parent_id"]]["tag"] == "BB-1"
    assert {system["tag"]: system["nominal_v"] for system in office.rows("system").values()} == {"S1": 400, "S2": 400}


@pytest.mark.parametrize("written", [xlsx_sheet, csv_sheet])
def test_bad_rows_come_back_with_row_column_and_reason_and_not_one_unit(
    written: Writer, client_as: Enter, ana: CastMember
) -> None:
    rows = [
        {**row, "room_m3": "large"} if row["tag"] == "IU-3" else row for row in changed("IU-1", parent="BB-9", port=7)
    ]

    answer = _check(client_as(ana), written(rows), name="hall")

    assert answer.status_code == 200
    assert answer.get_json() == {
        "systems": [],
        "limits": {},
        "units": [],
        "counts": {},
        "errors": [
            {
                "row": 5,
                "column": "parent",
                "code": "unknown_parent",
                "reason": "no unit on the sheet has the tag BB-9",
            },
            {
                "row": 9,
                "column": "room_m3",
                "code": "room_m3_not_a_number",
                "reason": "'large' is not a number",
            },
        ],
    }


def test_a_workbook_of_four_hundred_units_comes_back_whole(client_as: Enter, ana: CastMember) -> None:
    answer = _check(client_as(ana), xlsx_sheet(large_rows(400)), name="large.xlsx")

    assert answer.get_json()["counts"]["indoor_unit"] == 400


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_template_goes_down_and_comes_up_again_as_it_is(ending: str, client_as: Enter, ana: CastMember) -> None:
    office = client_as(ana)

    template = office.get(f"/api/as-built/template.{ending}")
    checked = _check(office, template.data, name=f"as-built.{ending}").get_json()

    assert template.headers["Content-Disposition"] == f'attachment; filename="as-built.{ending}"'
    assert (checked["errors"], checked["counts"]) == ([], COUNTS)


def test_a_workbook_that_is_cut_short_is_told_in_words(client_as: Enter, ana: CastMember) -> None:
    whole = xlsx_sheet(example_rows())

    checked = _check(client_as(ana), whole[: len(whole) // 2], name="cut.xlsx").get_json()

    assert checked["units"] == []
    [error] = checked["errors"]
    assert (error["row"], error["code"]) == (0, "not_a_sheet")
    assert "damaged" in error["reason"]


def test_a_file_over_the_limit_is_refused_with_the_limit(client_as: Enter, ana: CastMember) -> None:
    answer = _check(client_as(ana), b"x" * (LARGEST_FILE_BYTES + 1), name="huge.xlsx")

    error = answer.get_json()["error"]
    assert (answer.status_code, error["code"]) == (413, "file_too_large")
    assert "5 MB" in error["message"]


def test_a_request_without_the_file_names_the_field(client_as: Enter, ana: CastMember) -> None:
    answer = _check(client_as(ana), csv_sheet(example_rows()), name="hall.csv", field="another")

    fields: dict[str, Any] = answer.get_json()["error"]["fields"]
    assert answer.status_code == 422
    assert "sheet" in fields
