"""Readings are computed again on the server, never edited, and settle their step."""

import json
from typing import Any

import pytest

from flarenut.readings.recompute import is_same
from flarenut.trade import entry
from tests.builders import Phone, a_visit, new_id
from tests.server.site import Site
from tests.server.telling import code_of, tell

GOOD = {"v_ab_v": 401.0, "v_bc_v": 400.0, "v_ca_v": 399.0, "nominal_v": 400.0, "rotation": "forward"}
REVERSED = {**GOOD, "rotation": "reverse"}
NOT_MEASURED = {**GOOD, "rotation": "not_measured"}

# Hours before the close of a visit and hours after it, as the phone's clock has it.
ANY_CLOCK = pytest.mark.parametrize("taken_at", ["2025-06-02T06:00:00.000Z", "2025-06-02T12:00:00.000Z"])
# What ends a visit, and why it then takes no reading.
ENDS = {"visit.close": "visit_closed", "visit.cancel": "visit_cancelled"}
ANY_END = pytest.mark.parametrize("ended", ENDS)


def on_the_phone(inputs: dict[str, Any]) -> dict[str, Any]:
    """What the phone shows: it runs the same engine."""
    result: dict[str, Any] = json.loads(entry.compute("supply_power", json.dumps(inputs)))["result"]
    return result


def record(site: Site, inputs: dict[str, Any], /, *, by: Phone | None = None, **changed: Any) -> dict[str, Any]:
    """A supply reading at the outdoor module; the receipt says which reading it was."""
    outputs = changed.pop("outputs", None) or on_the_phone(inputs)
    fields = {
        "calculation": "supply_power",
        "system_id": site.job.system_id,
        "unit_id": site.job.units["OM-1"],
        "step_id": site.step_id("supply", tag="OM-1"),
        "visit_id": None,
        "inputs": inputs,
        "entered": {"v_ab_v": {"text": "401", "unit": "V"}},
        "outputs": outputs,
        "verdict": outputs.get("verdict"),
        "engine_version": entry.VERSION,
        "instrument": {
            "name": "Invented meter",
            "range": "0-600 V",
            "resolution": "1 V",
            "calibrated_on": "2025-01-01",
        },
        "reason": None,
        "replaces_id": None,
        "taken_at": "2025-06-02T08:30:00.000Z",
        **changed,
    }
    reading_id = new_id()
    return {"reading": reading_id, **tell(by or site.phone, site.job.id, "reading.record", reading_id, **fields)}


def reading_of(site: Site, receipt: dict[str, Any]) -> dict[str, Any]:
    """The reading as every phone of the company gets it."""
    found: dict[str, Any] = site.office.rows("reading")[receipt["reading"]]
    return found


def test_a_passing_reading_sets_its_step_done(site: Site) -> None:
    receipt = record(site, GOOD)

    assert receipt["outcome"] == "applied"
    step = site.step("supply", tag="OM-1")
    assert (step["state"], step["done_by_name"], step["reading_id"]) == ("done", "Ben", receipt["reading"])
    assert step["done_at"] == "2025-06-02T08:30:00.000Z"


def test_a_failing_reading_sets_its_step_failed(site: Site) -> None:
    record(site, REVERSED)

    assert site.step("supply", tag="OM-1")["state"] == "failed"


def test_an_unclear_reading_leaves_its_step_as_it_was(site: Site) -> None:
    receipt = record(site, NOT_MEASURED)

    assert reading_of(site, receipt)["verdict"] == "unclear"
    assert site.step("supply", tag="OM-1")["state"] == "todo"


def test_what_was_typed_is_kept_beside_what_was_computed(site: Site) -> None:
    reading = reading_of(site, record(site, GOOD))

    assert reading["inputs"] == GOOD
    assert reading["entered"] == {"v_ab_v": {"text": "401", "unit": "V"}}
    assert reading["instrument"]["name"] == "Invented meter"
    assert reading["outputs"] == reading["server_outputs"]
    assert reading["differs"] is False
    assert reading["by_name"] == "Ben"


def test_a_phone_that_saw_another_verdict_is_told_of_and_proves_nothing(site: Site) -> None:
    receipt = record(site, REVERSED, outputs={**on_the_phone(REVERSED), "verdict": "pass"})

    reading = reading_of(site, receipt)
    assert (reading["verdict"], reading["server_outputs"]["verdict"]) == ("pass", "fail")
    assert reading["differs"] is True
    assert site.step("supply", tag="OM-1")["state"] == "failed"


def test_a_number_that_differs_is_told_of(site: Site) -> None:
    outputs = on_the_phone(GOOD)

    near = record(site, GOOD, outputs={**outputs, "mean_v": outputs["mean_v"] * (1 + 1e-12)})
    far = record(site, GOOD, outputs={**outputs, "mean_v": outputs["mean_v"] * (1 + 1e-6)})

    assert reading_of(site, near)["differs"] is False
    assert reading_of(site, far)["differs"] is True


def test_a_calculation_that_nobody_knows_is_set_aside_with_the_engines_error(site: Site) -> None:
    receipt = record(site, GOOD, calculation="tea_leaves")

    assert receipt["outcome"] == "set_aside"
    assert code_of(receipt) == "unknown_calculation"
    assert site.office.rows("reading") == {}


def test_an_impossible_input_is_set_aside_with_the_field_and_its_limits(site: Site) -> None:
    receipt = record(site, {**GOOD, "v_ab_v": -1.0}, outputs=on_the_phone(GOOD))

    assert receipt["outcome"] == "set_aside"
    said = receipt["detail"]["fields"]["inputs.v_ab_v"]
    assert said["code"] == code_of(receipt) == "out_of_range"
    assert said["limits"]["unit"] == "V"
    assert site.step("supply", tag="OM-1")["state"] == "todo"


def test_a_correction_replaces_a_reading_and_leaves_it_standing(site: Site) -> None:
    wrong = record(site, REVERSED)

    right = record(site, GOOD, replaces_id=wrong["reading"])

    assert right["outcome"] == "applied"
    assert reading_of(site, right)["replaces_id"] == wrong["reading"]
    assert reading_of(site, wrong)["inputs"] == REVERSED
    assert site.step("supply", tag="OM-1")["state"] == "done"


def test_a_reading_replaces_only_one_of_the_same_unit(site: Site) -> None:
    before = record(site, GOOD)

    receipt = record(site, GOOD, replaces_id=before["reading"], unit_id=site.job.units["IU-1"], step_id=None)

    assert code_of(receipt) == "replaces_another_kind"


def test_a_reading_is_never_written_over(site: Site) -> None:
    first = record(site, GOOD)
    fields = {
        "calculation": "supply_power",
        "inputs": REVERSED,
        "outputs": on_the_phone(REVERSED),
        "verdict": "fail",
        "engine_version": entry.VERSION,
        "taken_at": "2025-06-02T08:40:00.000Z",
    }

    receipt = tell(site.phone, site.job.id, "reading.record", first["reading"], **fields)

    assert receipt["outcome"] == "set_aside"
    assert reading_of(site, first)["inputs"] == GOOD


def test_a_reading_proves_nothing_about_another_units_step(site: Site) -> None:
    receipt = record(site, GOOD, unit_id=site.job.units["IU-1"])

    assert code_of(receipt) == "wrong_step"


@ANY_CLOCK
def test_a_closed_visit_takes_no_new_readings(site: Site, taken_at: str) -> None:
    visit = a_visit(site.office, job=site.job, person=site.ben)
    tell(site.phone, site.job.id, "visit.close", visit)

    late = record(site, GOOD, visit_id=visit, taken_at=taken_at)

    assert code_of(late) == "visit_closed"
    assert site.office.rows("reading") == {}


@ANY_CLOCK
@ANY_END
def test_whoever_had_been_told_that_the_visit_is_over_records_nothing_on_it(
    site: Site, taken_at: str, ended: str
) -> None:
    visit = a_visit(site.office, job=site.job, person=site.ben)
    end = tell(site.office, site.job.id, ended, visit)

    late = record(site, GOOD, visit_id=visit, taken_at=taken_at, base_rev=end["rev"])

    assert code_of(late) == ENDS[ended]
    assert site.office.rows("reading") == {}


@ANY_CLOCK
@ANY_END
def test_a_reading_by_one_who_did_not_know_that_the_visit_was_over_is_taken(
    site: Site, taken_at: str, ended: str
) -> None:
    visit = a_visit(site.office, job=site.job, person=site.ben)
    end = tell(site.office, site.job.id, ended, visit)

    receipt = record(site, GOOD, visit_id=visit, taken_at=taken_at, base_rev=end["rev"] - 1)

    assert receipt["outcome"] == "applied"
    assert reading_of(site, receipt)["taken_at"] == taken_at


def test_only_a_technician_records_readings(site: Site) -> None:
    assert code_of(record(site, GOOD, by=site.office)) == "not_allowed"
    assert code_of(record(site, GOOD, by=site.link)) == "not_allowed"


def test_a_contractor_gets_no_readings(site: Site) -> None:
    record(site, GOOD)

    assert site.link.rows("reading") == {}


@pytest.mark.parametrize(
    ("phone", "server", "same"),
    [
        ({"a": 1}, {"a": 1.0}, True),
        ({"a": 1}, {"a": True}, False),
        ({"a": 1}, {}, False),
        ({"a": [1, 2]}, {"a": [1]}, False),
        ({"a": None}, {"a": None}, True),
        ({"a": "pass"}, {"a": "fail"}, False),
        ({"a": 1e-17}, {"a": 0.0}, True),
        ({"a": 1e6}, {"a": 1e6 + 1}, False),
    ],
)
def test_outputs_are_compared_to_the_last_leaf(phone: Any, server: Any, same: bool) -> None:  # noqa: FBT001
    assert is_same(phone, server) is same


def test_a_supply_reading_settles_no_step_of_another_kind(site: Site) -> None:
    receipt = record(site, GOOD, step_id=site.step_id("charge"))

    assert code_of(receipt) == "wrong_step"
    assert site.step("charge")["state"] == "todo"


def test_a_verdict_that_is_none_is_named(site: Site) -> None:
    receipt = record(site, GOOD, verdict="fine")

    assert code_of(receipt) == "invalid"
    assert list(receipt["detail"]["fields"]) == ["verdict"]
