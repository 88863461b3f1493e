"""Which step a reading settles, and which it leaves alone."""

import json
from typing import Any

import pytest

from flarenut.readings.verbs import PROVES
from flarenut.trade import entry
from flarenut.trade.sequence import CODES
from tests.builders import new_id
from tests.server.site import Site
from tests.server.telling import code_of, tell

COUNT = {"expected": [{"unit": "IU-1"}, {"unit": "IU-2"}], "reported_units": 2}
SHORT = {**COUNT, "reported_units": 1}
DEAD = {**COUNT, "fan_seen": [{"unit": "IU-2", "running": False}]}
RIGHT = {"units": [{"unit": "IU-1", "group": "1"}, {"unit": "IU-2", "group": "2"}], "group_range": [1, 64]}
TWICE = {**RIGHT, "units": [{"unit": "IU-1", "group": "1"}, {"unit": "IU-2", "group": "1"}]}
OTHERS = {**RIGHT, "units": [{"unit": "IU-2", "group": "2"}]}
SWITCHES = {"boxes": [{"box": "BB-1", "ports": 4, "ports_per_board": 4, "used": [1, 2]}]}


def record(site: Site, calculation: str, inputs: dict[str, Any], /, **changed: Any) -> dict[str, Any]:
    """A reading as the phone sends it: computed there by the same engine."""
    outputs = json.loads(entry.compute(calculation, json.dumps(inputs)))["result"]
    fields = {
        "calculation": calculation,
        "system_id": site.job.system_id,
        "inputs": inputs,
        "outputs": outputs,
        "verdict": outputs.get("verdict"),
        "engine_version": entry.VERSION,
        "taken_at": "2025-06-02T08:30:00.000Z",
        **changed,
    }
    return tell(site.phone, site.job.id, "reading.record", new_id(), **fields)


def at_unit(site: Site, tag: str) -> dict[str, str]:
    """The reading is about the addresses, and is kept at this unit's step."""
    return {"unit_id": site.job.units[tag], "step_id": site.step_id("addresses", tag=tag)}


def test_every_proof_is_a_calculation_of_the_engine_and_a_step_of_the_sequence() -> None:
    described = {row["name"]: row for row in json.loads(entry.describe())}

    for calculation, code in PROVES.items():
        outputs = [field["name"] for field in described[calculation]["outputs"]]
        assert "verdict" in outputs
        assert code in CODES


@pytest.mark.parametrize(
    ("inputs", "state"), [(COUNT, "done"), (SHORT, "failed"), (DEAD, "todo")], ids=["whole", "short", "one fan dead"]
)
def test_a_count_settles_the_step_of_its_system(site: Site, inputs: dict[str, Any], state: str) -> None:
    receipt = record(site, "unit_count", inputs, step_id=site.step_id("count"))

    assert receipt["outcome"] == "applied"
    assert site.step("count")["state"] == state


def test_a_count_settles_no_step_that_it_does_not_name(site: Site) -> None:
    record(site, "unit_count", COUNT)

    assert site.step("count")["state"] == "todo"


def test_addresses_that_are_right_settle_the_step_of_the_unit_they_are_kept_at(site: Site) -> None:
    record(site, "addresses", RIGHT, **at_unit(site, "IU-1"))

    assert site.step("addresses", tag="IU-1")["state"] == "done"
    assert site.step("addresses", tag="IU-2")["state"] == "todo"


def test_a_unit_may_be_named_by_its_id(site: Site) -> None:
    named = {**RIGHT, "units": [{"unit": site.job.units["IU-1"], "group": 1}]}

    record(site, "addresses", named, **at_unit(site, "IU-1"))

    assert site.step("addresses", tag="IU-1")["state"] == "done"


@pytest.mark.parametrize("inputs", [TWICE, OTHERS], ids=["one address twice", "this unit is not among them"])
def test_addresses_that_say_nothing_of_this_unit_alone_settle_nothing(site: Site, inputs: dict[str, Any]) -> None:
    receipt = record(site, "addresses", inputs, **at_unit(site, "IU-1"))

    assert receipt["outcome"] == "applied"
    assert site.step("addresses", tag="IU-1")["state"] == "todo"


def test_addresses_do_not_settle_the_step_of_a_unit_that_the_reading_is_not_kept_at(site: Site) -> None:
    receipt = record(site, "addresses", RIGHT, step_id=site.step_id("addresses", tag="IU-1"))

    assert code_of(receipt) == "wrong_step"


def test_positions_of_switches_are_kept_and_settle_nothing(site: Site) -> None:
    kept = record(site, "port_switches", SWITCHES)

    refused = record(site, "port_switches", SWITCHES, step_id=site.step_id("port_switches", tag="BB-1"))

    assert kept["outcome"] == "applied"
    assert code_of(refused) == "wrong_step"
    assert site.step("port_switches", tag="BB-1")["state"] == "todo"
