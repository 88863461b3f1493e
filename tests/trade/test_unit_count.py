"""The count: suspects in their order, and what is to do next."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import here, on_the_phone, result_of

NAMES = [f"IU-{n}" for n in range(1, 9)]
SEEN = st.dictionaries(st.sampled_from(NAMES), st.booleans())


@st.composite
def counts(draw: st.DrawFn) -> dict[str, Any]:
    """A sheet of eight units on up to eight ports, a count, and what somebody saw."""
    ports = draw(st.lists(st.sampled_from([None, *range(1, 9)]), min_size=8, max_size=8))
    told = draw(st.sampled_from([None, "number", "names"]))
    data: dict[str, Any] = {
        "expected": [{"unit": name, "port": port} for name, port in zip(NAMES, ports, strict=True)],
        "reported_units": draw(st.integers(0, 10)),
        "fan_seen": [{"unit": unit, "running": value} for unit, value in draw(SEEN).items()],
        "powered": [{"unit": unit, "seen": value} for unit, value in draw(SEEN).items()],
    }
    if told == "number":
        data["reported_ports"] = draw(st.integers(0, 9))
    if told == "names":
        data["reported_ports"] = draw(st.lists(st.integers(1, 9), unique=True))
    return data


def runs(data: dict[str, Any]) -> dict[str, bool]:
    return {row["unit"]: row["running"] for row in data["fan_seen"]}


def power(data: dict[str, Any]) -> dict[str, bool]:
    return {row["unit"]: row["seen"] for row in data["powered"]}


def found_dead(data: dict[str, Any]) -> set[str]:
    """Seen standing still, or seen without power and no fan seen."""
    return {name for name in NAMES if not runs(data).get(name, power(data).get(name, True))}


@RANDOM
@given(counts())
def test_a_count_passes_only_where_nothing_speaks_against_it(data: dict[str, Any]) -> None:
    result = result_of("unit_count", data)

    missing = 8 - data["reported_units"]
    assert result["missing_count"] - result["extra_count"] == missing
    assert (result["verdict"] == "fail") == (missing != 0)
    if result["verdict"] == "pass":
        assert found_dead(data) == set()
        assert result["next"] == []
    else:
        assert result["next"] != []


@RANDOM
@given(counts())
def test_every_unit_that_nobody_saw_running_is_a_suspect_once(data: dict[str, Any]) -> None:
    result = result_of("unit_count", data)

    suspects = [row["unit"] for row in result["suspects"]]
    running = {name for name, value in runs(data).items() if value}
    assert len(suspects) == len(set(suspects))
    if result["missing_count"] > 0:
        assert set(suspects) == set(NAMES) - running
    else:
        assert suspects == []


@RANDOM
@given(counts())
def test_who_was_found_stands_before_who_was_not(data: dict[str, Any]) -> None:
    result = result_of("unit_count", data)

    scores = [row["score"] for row in result["suspects"]]
    dead = [row["unit"] in found_dead(data) for row in result["suspects"]]
    assert scores == sorted(scores, reverse=True)
    assert dead == sorted(dead, reverse=True)
    for row in result["suspects"]:
        assert row["score"] == sum(reason["values"]["points"] for reason in row["reasons"])


@pytest.mark.parametrize(("ports", "first"), [(2, "C"), (3, "A"), (4, "A")])
def test_the_number_of_ports_tells_whether_to_look_at_a_shared_port_or_at_a_unit_alone_on_one(
    ports: int, first: str
) -> None:
    # Two share a port, the others are each alone on one: three ports in all.
    expected = [{"unit": "A", "port": 1}, {"unit": "B", "port": 1}, {"unit": "C", "port": 2}, {"unit": "D", "port": 3}]

    result = result_of("unit_count", {"expected": expected, "reported_units": 3, "reported_ports": ports})

    assert result["suspects"][0]["unit"] == first
    assert sum("alone_on_port" in str(row["reasons"]) for row in result["suspects"]) == (2 if ports == 2 else 0)


@RANDOM
@given(counts())
def test_who_found_all_that_are_missing_counts_again(data: dict[str, Any]) -> None:
    data["reported_units"] = 8 - len(found_dead(data))

    result = result_of("unit_count", data)

    if result["missing_count"] > 0:
        assert result["next"] == ["next.mend_found_units", "next.recount"]


@RANDOM
@given(counts(), st.data())
def test_a_fan_that_turns_out_to_stand_still_moves_its_unit_up(data: dict[str, Any], more: st.DataObject) -> None:
    data["reported_units"] = 7
    unseen = [name for name in NAMES if name not in runs(data)]
    before = [row["unit"] for row in result_of("unit_count", data)["suspects"]]
    if not unseen:
        return
    name = more.draw(st.sampled_from(unseen))

    data["fan_seen"].append({"unit": name, "running": False})

    after = [row["unit"] for row in result_of("unit_count", data)["suspects"]]
    assert after.index(name) <= before.index(name)


def test_a_walk_ends_with_the_unit_and_the_count_after_it() -> None:
    """As it goes on site: nobody looked, then power, then fans, then the count again."""
    data: dict[str, Any] = {"expected": [{"unit": name} for name in NAMES], "reported_units": 7}
    first = [result_of("unit_count", data)["next"][0]]
    data["powered"] = [{"unit": name, "seen": True} for name in NAMES]
    first.append(result_of("unit_count", data)["next"][0])
    data["fan_seen"] = [{"unit": name, "running": name != "IU-6"} for name in NAMES]
    first.append(result_of("unit_count", data)["next"][0])
    mended = {**data, "fan_seen": [{"unit": name, "running": True} for name in NAMES]}
    first.append(result_of("unit_count", mended)["next"][0])

    counted = result_of("unit_count", {**mended, "reported_units": 8})

    assert first == ["next.look_for_power", "next.run_all_fans", "next.mend_found_units", "next.recount"]
    assert counted["verdict"] == "pass"


def test_counts_come_out_the_same_on_the_phone() -> None:
    inputs: list[dict[str, Any]] = []

    @RANDOM
    @given(counts())
    def gather(data: dict[str, Any]) -> None:
        inputs.append(data)

    gather()

    phone = on_the_phone([("unit_count", data) for data in inputs])

    assert len(inputs) > 50
    assert phone == [here("unit_count", data) for data in inputs]


def test_a_silent_port_with_two_units_is_named_once() -> None:
    expected = [{"unit": "A", "port": 1}, {"unit": "B", "port": 1}, {"unit": "C", "port": 2}]

    result = result_of("unit_count", {"expected": expected, "reported_units": 1, "reported_ports": [2]})

    [silent] = [reason for reason in result["reasons"] if reason["code"] == "ports_silent"]
    assert silent["values"]["ports"] == ["1"]
