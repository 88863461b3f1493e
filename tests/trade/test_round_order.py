"""The round: units in walking order."""

from typing import Any

import pytest

from tests.trade.runtimes import error_of, result_of


def a_unit(name: str, *, floor: str, place: str = "corridor", **more: Any) -> dict[str, Any]:
    return {"unit": name, "floor": floor, "place": place, **more}


def test_tags_are_counted_and_not_spelled() -> None:
    units = [a_unit(name, floor="1") for name in ("L1-10", "L1-2", "L1-1")]

    assert result_of("round_order", {"units": units})["order"] == ["L1-1", "L1-2", "L1-10"]


def test_a_place_is_finished_before_the_next_one() -> None:
    units = [
        a_unit("1", floor="1", place="Room 10"),
        a_unit("2", floor="1", place="Room 2"),
        a_unit("3", floor="1", place="Room 10"),
    ]

    result = result_of("round_order", {"units": units})

    assert result["order"] == ["2", "1", "3"]
    assert (result["length"], result["places_changed"]) == (1, 1)


def test_the_round_begins_where_one_stands_and_takes_the_nearer_end_first() -> None:
    units = [
        a_unit(f"{floor}-{n}", floor=floor, floor_order=order)
        for order, floor in enumerate(["Basement", "Ground", "First", "Roof"])
        for n in (1, 2)
    ]

    result = result_of("round_order", {"units": units, "start": "Ground-2"})

    assert result["order"] == [
        *("Ground-2", "Ground-1"),
        *("Basement-1", "Basement-2"),
        *("First-1", "First-2"),
        *("Roof-1", "Roof-2"),
    ]
    # Down one, up two, up one; three times the place is another one.
    assert result["floors_climbed"] == 4
    assert result["length"] == 4 + 3


def test_ids_are_walked_by_their_tags() -> None:
    units = [
        a_unit("0b", floor="1", tag="L1-2"),
        a_unit("0a", floor="1", tag="L1-10"),
    ]

    assert result_of("round_order", {"units": units})["order"] == ["0b", "0a"]


def test_no_units_make_no_round() -> None:
    assert result_of("round_order", {"units": []})["length"] == 0


@pytest.mark.parametrize(
    ("data", "code", "field"),
    [
        ({}, "missing", "units"),
        ({"units": [{"unit": "A"}]}, "missing", "units[0].floor"),
        ({"units": [a_unit("A", floor="1")], "start": "Z"}, "not_a_choice", "start"),
        ({"units": [a_unit("A", floor="1")] * 2}, "contradictory", "units[1].unit"),
        (
            {"units": [a_unit("A", floor="1", floor_order=900)]},
            "out_of_range",
            "units[0].floor_order",
        ),
    ],
)
def test_a_bad_input_is_named(data: dict[str, Any], code: str, field: str) -> None:
    error = error_of("round_order", data)

    assert (error["code"], error["field"]) == (code, field)
