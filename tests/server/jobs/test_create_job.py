"""A job is set up from its as-built list, whole or not at all."""

from typing import Any
from uuid import UUID, uuid5

import pytest

from flarenut.jobs.shapes import MOST_UNITS
from flarenut.jobs.sheet import check_sheet
from tests.builders import CastMember, a_job, a_sheet, new_id
from tests.server.jobs.sheets import csv_sheet, errors_of, large_rows
from tests.server.telling import code_of, tell


def test_a_job_has_its_systems_units_steps_and_limits(client_as: Any, ana: CastMember) -> None:
    phone = client_as(ana)

    job = a_job(phone)

    assert phone.rows("job")[job.id]["state"] == "open"
    assert phone.rows("system")[job.system_id]["supply_tolerance_pct"] == 10
    assert len(phone.rows("unit")) == 7
    limits = {limit["name"]: limit for limit in phone.rows("limit").values()}
    assert limits["unbalance_limit_pct"]["value"] == 2
    assert limits["unbalance_limit_pct"]["mark"] == "P"
    assert all(limit["source"] for limit in limits.values())


def test_a_phone_can_work_out_the_id_of_a_step(client_as: Any, ana: CastMember) -> None:
    phone = client_as(ana)

    job = a_job(phone)

    steps = phone.rows("step")
    hold = str(uuid5(UUID(job.id), f"{job.system_id}:pressure_hold:"))
    supply = str(uuid5(UUID(job.id), f"{job.system_id}:supply:{job.units['OM-1']}"))
    assert steps[hold]["code"] == "pressure_hold"
    assert steps[supply]["unit_id"] == job.units["OM-1"]
    assert {step["state"] for step in steps.values()} == {"todo"}


def test_a_checked_sheet_becomes_a_job(client_as: Any, ana: CastMember) -> None:
    phone, job_id = client_as(ana), new_id()
    checked = check_sheet(csv_sheet(large_rows(400)))

    sheet = a_sheet(systems=checked["systems"], units=checked["units"])
    receipt = tell(phone, job_id, "job.create", job_id, **sheet)

    assert receipt["outcome"] == "applied", receipt
    assert len(phone.rows("unit")) == checked["counts"]["units"]


def test_units_may_come_before_what_they_hang_on(client_as: Any, ana: CastMember) -> None:
    phone, job_id, sheet = client_as(ana), new_id(), a_sheet()
    sheet["units"].reverse()

    assert tell(phone, job_id, "job.create", job_id, **sheet)["outcome"] == "applied"


def _refused(phone: Any, sheet: dict[str, Any]) -> dict[str, Any]:
    job_id = new_id()
    receipt = tell(phone, job_id, "job.create", job_id, **sheet)
    assert receipt["outcome"] in ("refused", "set_aside")
    assert phone.rows("job") == {}
    assert phone.rows("unit") == {}
    return receipt


def test_a_list_that_does_not_fit_together_is_refused_and_says_where(client_as: Any, ana: CastMember) -> None:
    sheet = a_sheet()
    sheet["units"][4]["port"] = 1

    receipt = _refused(client_as(ana), sheet)

    assert code_of(receipt) == "structure"
    assert receipt["detail"]["fields"] == {"units.4.port": "port 1 of this branch box is already used by IU-1"}


def test_two_units_with_one_id_are_refused(client_as: Any, ana: CastMember) -> None:
    sheet = a_sheet()
    sheet["units"][1]["id"] = sheet["units"][0]["id"]

    assert code_of(_refused(client_as(ana), sheet)) == "id_twice"


def test_a_field_out_of_its_limits_is_named_with_the_limit(client_as: Any, ana: CastMember) -> None:
    sheet = a_sheet(time_zone="Mars/Olympus", shift_start="7", shift_days=[1, 1])
    sheet["systems"][0]["nominal_v"] = 12

    fields = _refused(client_as(ana), sheet)["detail"]["fields"]

    assert set(fields) == {"time_zone", "shift_start", "shift_days", "systems"}
    assert "100 and 1000 V" in str(fields["systems"])


def test_a_shift_that_ends_before_it_starts_is_refused(client_as: Any, ana: CastMember) -> None:
    receipt = _refused(client_as(ana), a_sheet(shift_start="15:00", shift_end="07:00"))

    assert "shift_end" in receipt["detail"]["fields"]


def test_a_unit_of_another_job_cannot_be_taken_over(client_as: Any, ana: CastMember) -> None:
    phone = client_as(ana)
    before, job_id, sheet = a_job(phone), new_id(), a_sheet()
    sheet["units"][0]["id"] = before.units["OM-1"]

    receipt = tell(phone, job_id, "job.create", job_id, **sheet)

    assert receipt["outcome"] in ("refused", "set_aside")
    assert len(phone.rows("unit")) == 7


def test_what_the_sheet_says_of_a_unit_can_be_corrected_on_site(
    client_as: Any, ana: CastMember, ben: CastMember
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    unit_id = job.units["IU-1"]

    receipt = tell(phone, job.id, "unit.set", unit_id, room_m3=48.5, place="above the door", group_address="2")

    assert receipt["outcome"] == "applied"
    unit = phone.rows("unit")[unit_id]
    assert (unit["room_m3"], unit["place"], unit["group_address"]) == (48.5, "above the door", "2")
    assert phone.rows("unit")[job.units["IU-2"]]["room_m3"] == 60


def test_a_room_without_a_size_that_makes_sense_is_refused(client_as: Any, ana: CastMember) -> None:
    phone = client_as(ana)
    job = a_job(phone)

    receipt = tell(phone, job.id, "unit.set", job.units["IU-1"], room_m3=-1)

    assert receipt["outcome"] == "set_aside"
    assert "0.1" in str(receipt["detail"]["fields"]["room_m3"])


@pytest.mark.parametrize(("name", "widest"), [("supply_tolerance_pct", 20), ("unbalance_limit_pct", 5)])
def test_a_limit_that_the_engine_would_not_judge_by_is_refused(
    name: str, widest: float, client_as: Any, ana: CastMember
) -> None:
    phone = client_as(ana)
    told = []

    for value in (widest, widest + 0.1):
        sheet, job_id = a_sheet(), new_id()
        sheet["systems"][0][name] = value
        told.append(tell(phone, job_id, "job.create", job_id, **sheet)["outcome"])

    assert told == ["applied", "set_aside"]
    assert [system[name] for system in phone.rows("system").values()] == [widest]


# What is added to each unit, so that all of them together come close to what one change may have.
NOTE_LETTERS = 100


def test_the_largest_job_that_a_sheet_may_hold_is_created(client_as: Any, ana: CastMember) -> None:
    phone, job_id = client_as(ana), new_id()
    rows = [{**row, "note": "ä" * NOTE_LETTERS} for row in large_rows(1_383)]
    checked = check_sheet(csv_sheet(rows))

    sheet = a_sheet(systems=checked["systems"], units=checked["units"], address="x" * 4_000)
    receipt = tell(phone, job_id, "job.create", job_id, **sheet)

    assert checked["counts"]["units"] == MOST_UNITS
    assert receipt["outcome"] == "applied", receipt
    assert len(phone.rows("unit")) == MOST_UNITS


def test_what_a_check_finds_too_large_is_what_the_server_would_not_take(client_as: Any, ana: CastMember) -> None:
    phone, job_id = client_as(ana), new_id()
    whole = check_sheet(csv_sheet(large_rows(1_000)))
    for unit in whole["units"]:
        unit["model_note"] = "x" * 1_000

    receipt = tell(phone, job_id, "job.create", job_id, **a_sheet(systems=whole["systems"], units=whole["units"]))
    checked = check_sheet(csv_sheet([{**row, "note": "x" * 1_000} for row in large_rows(1_000)]))

    assert code_of(receipt) == "too_large"
    assert errors_of(checked) == [(0, "", "sheet_too_large")]
    assert "950,000 bytes" in checked["errors"][0]["reason"]
