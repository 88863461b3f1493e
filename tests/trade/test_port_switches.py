"""Switches of branch boxes: every position is one of used, unused and absent."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import result_of


@st.composite
def boxes(draw: st.DrawFn) -> dict[str, Any]:
    ports = draw(st.integers(1, 64))
    return {
        "box": "B1",
        "ports": ports,
        "ports_per_board": draw(st.integers(1, 64)),
        "used": draw(st.lists(st.integers(1, ports), unique=True)),
    }


@RANDOM
@given(boxes())
def test_every_port_has_one_position_and_the_rest_of_the_last_board_is_absent(box: dict[str, Any]) -> None:
    result = result_of("port_switches", {"boxes": [box]})["boxes"][0]

    positions = [position for board in result["boards"] for position in board["positions"]]
    there = [position["port"] for position in positions if position["state"] != "absent"]
    assert there == list(range(1, box["ports"] + 1))
    assert [position["port"] for position in positions if position["state"] == "used"] == sorted(box["used"])
    assert all(len(board["positions"]) == box["ports_per_board"] for board in result["boards"])
    absent = [position for position in positions if position["state"] == "absent"]
    assert len(absent) == -box["ports"] % box["ports_per_board"]
    assert absent == positions[len(positions) - len(absent) :]


@RANDOM
@given(boxes())
def test_all_that_is_not_used_is_switched_out(box: dict[str, Any]) -> None:
    result = result_of("port_switches", {"boxes": [box]})

    out = result["boxes"][0]["switch_out"]
    count = len(result["boxes"][0]["boards"]) * box["ports_per_board"]
    assert len(out) == count - len(box["used"])
    assert {row["port"] for row in out}.isdisjoint(box["used"])
    assert result["next"] == (["next.switch_out_positions"] if out else [])
