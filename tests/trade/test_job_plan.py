"""What gates what on a job, unit by unit."""

import pytest

from flarenut.trade import sequence
from tests.trade.jobs import REFRIGERANT_STEPS, Job, group_of, work_of
from tests.trade.runtimes import error_of, here, on_the_phone

CAUSE_LEAK = {"kind": "issue", "id": "leak"}


def test_a_leak_after_the_hold_has_passed_takes_back_the_refrigerant_side_only() -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record", "addresses"))
    job.raise_issue("leak", on="B1", category="leak")

    plan = job.plan()

    assert plan["resets"] == [{"issue": "leak", "steps": [f"S1:{code}" for code in REFRIGERANT_STEPS]}]
    for code in REFRIGERANT_STEPS:
        group = group_of(plan, f"S1:{code}")
        assert (group["state"], group["done"], group["reset_by"]) == ("gated", 0, ["leak"])
        assert CAUSE_LEAK in group["why"]
        assert group_of(plan, f"S2:{code}")["state"] == "done"
    test_run = group_of(plan, "S1:test_run")
    assert test_run["state"] == "gated"
    assert test_run["root_issues"] == ["leak"]
    assert {"kind": "step", "id": "S1:charge"} in test_run["why"]
    assert group_of(plan, "S1:addresses")["state"] == "doable"
    assert "S1:addresses" in plan["doable_now"]
    assert "leak" not in group_of(plan, "S2:test_run")["root_issues"]


def test_the_rows_carry_the_reset_once_the_leak_is_answered() -> None:
    job = Job()
    job.mark_all(but=(*REFRIGERANT_STEPS, "test_run", "port_check", "measure", "record"))
    for step in job.steps:
        if step["code"] in REFRIGERANT_STEPS and step["system_id"] == "S1":
            step["reset_by"] = "leak"
    job.raise_issue("leak", on="B1", category="leak", state="answered")

    plan = job.plan()

    # The contractor holds pressure again without waiting for the technician's proof.
    assert group_of(plan, "S1:pressure_hold")["state"] == "doable"
    assert group_of(plan, "S1:pressure_hold")["reset_by"] == ["leak"]
    assert group_of(plan, "S1:test_run")["root_issues"] == ["leak"]
    assert plan["must_be_proved_first"] == ["leak"]


def test_an_answered_repair_is_proved_before_the_technician_goes_on() -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record"))
    job.raise_issue("drain", on="L1", category="drain", state="answered")

    plan = job.plan()

    assert plan["must_be_proved_first"] == ["drain"]
    assert group_of(plan, "S1:test_run")["why"] == [{"kind": "issue", "id": "drain"}]
    assert plan["state"] == "to_book"
    assert work_of(plan, "proof:drain")["finish_s"] <= work_of(plan, "S1:test_run")["start_s"]
    assert [work for work in plan["schedule"] if work["kind"] == "repair"] == []


def test_a_turned_supply_that_is_answered_is_proved_before_the_test_run() -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record"))
    job.raise_issue("turned", on="M1", category="supply_rotation", state="answered")

    plan = job.plan()

    assert group_of(plan, "S1:supply")["state"] == "done"
    assert group_of(plan, "S1:test_run")["why"] == [{"kind": "issue", "id": "turned"}]
    assert plan["must_be_proved_first"] == ["turned"]


@pytest.mark.parametrize("state", ["proved", "accepted"])
def test_an_issue_that_is_closed_stops_nothing(state: str) -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record"))
    job.raise_issue("leak", on="B1", category="leak", state=state)

    plan = job.plan()

    assert plan["resets"] == []
    assert group_of(plan, "S1:test_run")["state"] == "doable"
    assert plan["headline"]["issue_id"] is None


def test_no_power_at_one_indoor_unit_stops_that_unit_and_not_its_neighbours() -> None:
    job = Job()
    job.mark("power_units")
    job.mark("power_units", state="todo", unit="L2")
    job.raise_issue("dark", on="L2", category="no_power")

    plan = job.plan()

    addresses = group_of(plan, "S1:addresses")
    assert addresses["state"] == "partly"
    assert addresses["doable_units"] == ["L1", "L3"]
    assert addresses["stopped_units"] == ["L2"]
    assert group_of(plan, "S1:count")["state"] == "gated"
    assert group_of(plan, "S2:addresses")["state"] == "doable"
    assert "S1:addresses" in plan["doable_now"]


def test_a_wiring_defect_at_a_branch_box_stops_the_box_and_the_units_on_it_only() -> None:
    job = Job()
    job.hang("L1", on="B1")
    job.hang("L2", on="B1")
    job.hang("L3", on="B2")
    job.mark("power_units")
    for unit in ("B1", "L1", "L2"):
        job.mark("power_units", state="todo", unit=unit)
    job.raise_issue("wires", on="B1", category="wiring")

    plan = job.plan()

    assert group_of(plan, "S1:addresses")["state"] == "partly"
    assert group_of(plan, "S1:addresses")["doable_units"] == ["L3"]
    assert group_of(plan, "S1:addresses")["stopped_units"] == ["L1", "L2"]
    assert group_of(plan, "S1:port_switches")["stopped_units"] == ["B1"]
    assert group_of(plan, "S1:count")["state"] == "gated"
    assert group_of(plan, "S1:supply")["state"] == "doable"
    assert group_of(plan, "S1:pressure_hold")["state"] == "doable"


def test_a_wiring_defect_at_an_outdoor_module_stops_the_controls_of_the_whole_system() -> None:
    job = Job()
    job.raise_issue("wires", on="M1", category="wiring")

    plan = job.plan()

    assert group_of(plan, "S1:power_units")["state"] == "gated"
    assert group_of(plan, "S1:addresses")["stopped_units"] == ["L1", "L2", "L3"]
    assert "S1:power_units" not in plan["doable_this_visit"]
    assert "S1:addresses" not in plan["doable_this_visit"]
    assert group_of(plan, "S1:supply")["state"] == "doable"
    assert group_of(plan, "S2:addresses")["state"] == "gated"
    assert group_of(plan, "S2:power_units")["state"] == "doable"


def test_a_central_controller_without_power_leaves_addressing_alone() -> None:
    job = Job()
    job.mark("power_units")
    job.mark("power_units", state="todo", unit="C1")
    job.raise_issue("dark", on="C1", category="no_power")

    plan = job.plan()

    assert group_of(plan, "S1:addresses")["state"] == "doable"
    for system in ("S1", "S2"):
        assert "dark" in group_of(plan, f"{system}:central_seen")["root_issues"]


def test_a_defect_found_after_a_step_was_done_gates_what_builds_on_it() -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record"))
    job.raise_issue("turned", on="M1", category="supply_rotation")

    plan = job.plan()

    assert group_of(plan, "S1:supply")["state"] == "done"
    assert group_of(plan, "S1:test_run")["why"] == [{"kind": "issue", "id": "turned"}]


def test_a_heat_pump_system_has_no_branch_box_steps() -> None:
    job = Job()

    codes = {step["code"] for step in job.steps if step["system_id"] == "S2"}

    assert codes.isdisjoint({"port_switches", "port_check"})
    assert "S2:record" in [group["id"] for group in job.plan()["groups"]]


def test_without_a_central_controller_nobody_looks_for_it() -> None:
    units = [unit for unit in Job().units if unit["kind"] != "central_controller"]

    steps = sequence.steps_for(Job().systems, units=units)

    assert "central_seen" not in {step["code"] for step in steps}


def test_a_central_controller_for_all_systems_is_powered_once_and_seen_by_each() -> None:
    steps = Job().steps

    powered = [step["system_id"] for step in steps if step["unit_id"] == "C1"]
    seen = [step["system_id"] for step in steps if step["code"] == "central_seen"]

    assert powered == ["S1"]
    assert seen == ["S1", "S2"]


def test_what_follows_from_doable_steps_can_be_done_on_this_visit() -> None:
    job = Job()
    job.raise_issue("leak", on="B1", category="leak")

    plan = job.plan()

    assert "S1:addresses" not in plan["doable_now"]
    assert "S1:addresses" in plan["doable_this_visit"]
    assert "S1:test_run" not in plan["doable_this_visit"]
    assert plan["headline"]["issue_id"] == "leak"
    # Hold, evacuation, standing vacuum, charge, preheat, test run, port check, measure, record.
    assert plan["headline"]["stopped_count"] == 9
    assert plan["headline"]["doable_count"] == len(plan["doable_this_visit"])
    assert plan["headline"]["doable_s"] == plan["doable_this_visit_s"]


def test_the_headline_is_the_issue_that_shuts_most_and_not_one_that_is_answered() -> None:
    job = Job()
    job.mark("power_units")
    job.mark("power_units", state="todo", unit="L2")
    job.raise_issue("dark", on="L2", category="no_power", state="answered")
    job.raise_issue("leak", on="B1", category="leak")

    headline = job.plan()["headline"]

    assert headline["issue_id"] == "leak"
    assert headline["stopped_count"] == 9


def test_a_failed_step_is_to_be_done_again() -> None:
    job = Job()
    job.mark("supply")
    job.mark("supply", state="failed", unit="M1")

    supply = group_of(job.plan(), "S1:supply")

    assert (supply["state"], supply["done"], supply["total"]) == ("failed", 1, 2)
    assert supply["doable_units"] == ["M1"]


def test_a_step_that_does_not_apply_is_not_counted_and_gates_nothing() -> None:
    job = Job()
    job.mark("power_units")
    job.mark("power_units", state="not_applicable", unit="W1")

    plan = job.plan()

    power = group_of(plan, "S1:power_units")
    assert (power["state"], power["done"], power["total"]) == ("done", 6, 6)
    assert group_of(plan, "S1:count")["state"] == "doable"


def test_hours_of_the_limits_sheet_replace_the_usual_ones() -> None:
    job = Job()
    job.mark_all(but=("charge", "preheat", "test_run", "port_check", "measure", "record"))
    rows = job.rows()
    rows["durations"] = {"charge": {"low": 60, "likely": 120, "high": 180}}

    plan = here("job_plan", rows)["result"]

    assert group_of(plan, "S1:charge")["duration_s"] == {"low": 60, "likely": 120, "high": 180}
    usual = next(reason for reason in plan["reasons"] if reason["code"] == "usual_hours")
    assert "charge" not in usual["values"]["codes"]
    assert usual["values"]["mark"] == "P"


def test_when_everything_is_done_nothing_is_left() -> None:
    job = Job()
    job.mark_all()

    plan = job.plan()

    assert plan["state"] == "nothing_left"
    assert plan["visit_start_at"] is None
    assert plan["schedule"] == []
    assert plan["waits_for"] == []


def test_an_open_issue_that_stops_nothing_is_still_something_left() -> None:
    job = Job()
    job.mark_all()
    job.raise_issue("hanger", on="B1", category="pipe_support")

    plan = job.plan()

    assert plan["state"] == "wait_contractor"
    assert [wait["issue_id"] for wait in plan["waits_for"]] == ["hanger"]


def test_an_issue_that_stops_nothing_does_not_delay_the_visit() -> None:
    job = Job()
    job.mark_all(but=("test_run", "port_check", "measure", "record"))
    job.raise_issue("hanger", on="B1", category="pipe_support", promised_on="2027-03-01")

    plan = job.plan()

    assert plan["state"] == "to_book"
    assert plan["ready_at"] == job.now
    codes = [reason["code"] for reason in plan["reasons"]]
    assert "proof_after_visit" in codes


@pytest.mark.parametrize(
    ("table", "field", "value", "code"),
    [
        ("steps", "code", "dance", "not_a_choice"),
        ("steps", "state", "half", "not_a_choice"),
        ("steps", "system_id", "S9", "not_a_choice"),
        ("steps", "unit_id", "nobody", "not_a_choice"),
        ("units", "kind", "boiler", "not_a_choice"),
        ("units", "id", None, "missing"),
        ("issues", "category", "magic", "not_a_choice"),
        ("issues", "stops", ["everything"], "not_a_choice"),
        ("issues", "promised_on", "soon", "not_a_choice"),
        ("issues", "promised_on", "2026-02-30", "not_a_choice"),
        ("issues", "who_must_act", None, "missing"),
    ],
)
def test_a_bad_row_is_named_by_table_place_and_field(table: str, field: str, value: object, code: str) -> None:
    job = Job()
    job.raise_issue("leak", on="B1", category="leak")
    rows = job.rows()
    rows[table][0][field] = value

    error = error_of("job_plan", rows)

    assert (error["code"], error["field"]) == (code, f"{table}[0].{field}")


def test_the_phone_plans_jobs_exactly_as_the_server_does() -> None:
    leaking, answered, finished = Job(), Job(), Job()
    leaking.mark_all(but=("addresses", "test_run", "record"))
    leaking.raise_issue("leak", on="B1", category="leak", promised_on="2026-12-04")
    leaking.raise_issue("dark", on="L2", category="no_power")
    answered.raise_issue("drain", on="L1", category="drain", state="answered")
    finished.mark_all()
    jobs = [leaking.rows(), answered.rows(), finished.rows(), {"now": "soon"}]

    phone = on_the_phone([("job_plan", rows) for rows in jobs])

    assert phone == [here("job_plan", rows) for rows in jobs]
