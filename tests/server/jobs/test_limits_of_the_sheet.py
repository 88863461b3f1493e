"""Limits of the job on the as-built sheet: taken with their source, or refused with row, column and reason."""

from typing import Any

import pytest

from flarenut.jobs.cells import written
from flarenut.jobs.limits import FROM_SHEET, LIMITS
from flarenut.jobs.sheet import check_sheet
from tests.builders import CastMember, a_sheet, new_id
from tests.server.jobs.sheets import changed, csv_sheet, errors_of, example_rows, xlsx_sheet
from tests.server.telling import tell
from tests.trade.examples import examples
from tests.trade.runtimes import error_of

NONE = {**dict.fromkeys(FROM_SHEET, ""), "limits_source": ""}
ALL: dict[str, Any] = {
    "vacuum_limit_pa": 66.7,
    "vacuum_hold_s": 3600,
    "leak_to_exclude_pa_m3_s": 0.0004,
    "room_limit_kg_m3": 0.42,
    "straight_limit_m": 0.6,
    "tilt_limit_deg": 5,
    "max_share_on": 0.5,
    "limits_source": "invented contract, section 4",
}


def with_limits(**cells: Any) -> list[dict[str, Any]]:
    """One refrigerant, and the limits on the row of the first module."""
    one = {"refrigerant": "R-410A"}
    rows = changed("OM-1", **{**NONE, **one, **cells})
    return [{**row, **one} if row["tag"] == "OM-2" else row for row in rows]


@pytest.mark.parametrize("written", [csv_sheet, xlsx_sheet])
def test_limits_on_the_sheet_become_limits_of_the_job(written: Any, client_as: Any, ana: CastMember) -> None:
    phone, job_id = client_as(ana), new_id()
    checked = check_sheet(written(with_limits(**ALL)))

    sheet = a_sheet(systems=checked["systems"], units=checked["units"], limits=checked["limits"])
    receipt = tell(phone, job_id, "job.create", job_id, **sheet)

    assert receipt["outcome"] == "applied", receipt
    limits = {row["name"]: row for row in phone.rows("limit").values()}
    assert len(limits) == len(LIMITS) + len(FROM_SHEET)
    for name in FROM_SHEET:
        assert limits[name]["value"] == ALL[name]
        assert limits[name]["source"] == "from the sheet: invented contract, section 4"
        assert limits[name]["mark"] == "M"


def test_a_sheet_without_limits_gives_none() -> None:
    checked = check_sheet(csv_sheet(with_limits()))

    assert (checked["errors"], checked["limits"]) == ([], {})


def test_a_limit_may_stand_on_every_module_as_long_as_it_is_the_same() -> None:
    rows = with_limits(**ALL)

    alike = [{**row, "vacuum_hold_s": 3600} if row["tag"] == "OM-2" else row for row in rows]
    other = [{**row, "vacuum_hold_s": 7200} if row["tag"] == "OM-2" else row for row in rows]

    assert check_sheet(csv_sheet(alike))["limits"]["vacuum_hold_s"] == 3600
    assert errors_of(check_sheet(csv_sheet(other))) == [(8, "vacuum_hold_s", "two_vacuum_hold_s")]


@pytest.mark.parametrize(
    ("cells", "column", "code"),
    [
        ({"vacuum_limit_pa": 0}, "vacuum_limit_pa", "vacuum_limit_pa_out_of_range"),
        ({"vacuum_limit_pa": "500 micron"}, "vacuum_limit_pa", "vacuum_limit_pa_not_a_number"),
        ({"vacuum_hold_s": 1}, "vacuum_hold_s", "vacuum_hold_s_out_of_range"),
        ({"vacuum_hold_s": ""}, "vacuum_hold_s", "vacuum_hold_s_missing"),
        ({"vacuum_limit_pa": ""}, "vacuum_limit_pa", "vacuum_limit_pa_missing"),
        (
            {"leak_to_exclude_pa_m3_s": 11},
            "leak_to_exclude_pa_m3_s",
            "leak_to_exclude_pa_m3_s_out_of_range",
        ),
        ({"room_limit_kg_m3": 420}, "room_limit_kg_m3", "room_limit_kg_m3_out_of_range"),
        ({"straight_limit_m": 600}, "straight_limit_m", "straight_limit_m_out_of_range"),
        ({"max_share_on": 60}, "max_share_on", "max_share_on_out_of_range"),
        ({"limits_source": "x" * 201}, "limits_source", "too_long"),
    ],
)
def test_a_bad_limit_is_told_with_row_and_column(cells: dict[str, Any], column: str, code: str) -> None:
    checked = check_sheet(csv_sheet(with_limits(**{**ALL, **cells})))

    assert errors_of(checked) == [(2, column, code)]
    assert checked["limits"] == {}
    if code.endswith("out_of_range"):
        low, high, unit = FROM_SHEET[column]
        assert f"is not between {written(low)} and {written(high)} {unit}" in checked["errors"][0]["reason"]


def test_a_limit_without_its_source_is_not_taken() -> None:
    checked = check_sheet(csv_sheet(with_limits(**{**ALL, "limits_source": ""})))

    assert set(errors_of(checked)) == {(2, name, "limits_source_missing") for name in FROM_SHEET}


def test_a_limit_of_the_job_belongs_on_the_row_of_a_module() -> None:
    rows = changed("IU-1", vacuum_hold_s=3600)

    assert errors_of(check_sheet(csv_sheet(rows))) == [(5, "vacuum_hold_s", "vacuum_hold_s_not_wanted")]


def test_one_room_limit_is_not_taken_for_two_refrigerants() -> None:
    rows = changed("OM-1", **ALL)

    assert [row["refrigerant"] for row in example_rows() if row["kind"] == "outdoor_module"] == ["R-410A", "R-32"]
    assert errors_of(check_sheet(csv_sheet(rows))) == [(2, "room_limit_kg_m3", "several_refrigerants")]


def test_a_job_with_a_limit_that_the_engine_would_refuse_is_refused(client_as: Any, ana: CastMember) -> None:
    phone, job_id = client_as(ana), new_id()
    limits = {"room_limit_kg_m3": 2, "source": "invented contract"}

    receipt = tell(phone, job_id, "job.create", job_id, **a_sheet(), limits=limits)

    assert receipt["outcome"] != "applied"
    assert "between 0.001 and 1 kg/m3" in str(receipt)


@pytest.mark.parametrize(
    ("calculation", "name", "field"),
    [
        ("vacuum_stand", "vacuum_limit_pa", "limit_pa"),
        ("vacuum_stand", "vacuum_hold_s", "hold_s"),
        ("pressure_hold", "leak_to_exclude_pa_m3_s", "leak_to_exclude_pa_m3_s"),
        ("room_limit", "room_limit_kg_m3", "limit_kg_m3"),
        ("joint_geometry", "straight_limit_m", "straight_limit_m"),
        ("joint_geometry", "tilt_limit_deg", "tilt_limit_deg"),
        ("port_check_plan", "max_share_on", "max_share_on"),
    ],
)
def test_the_sheet_takes_what_the_engine_judges_by(calculation: str, name: str, field: str) -> None:
    data = next(data for asked, data in examples() if asked == calculation)

    error = error_of(calculation, {**data, field: -1})

    low, high, _unit = FROM_SHEET[name]
    assert (error["field"], error["limits"]["low"], error["limits"]["high"]) == (field, low, high)
