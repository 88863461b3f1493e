"""Reading a port check."""

from itertools import product
from typing import Any, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flarenut.trade import port_claims
from tests.trade.checks import Check
from tests.trade.port_installs import SEED, Truth, codes_for, names, reading, reasons_of, seeded, two_swaps
from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, here, on_the_phone, result_of

INSTALLS = 300
UNITS = 27
WRONG_SHARE = 0.01
WORDS = ["0011", "0110", "1001", "1100"]
SHOWN = [[9.1, 0.4, 1.2, 8.7], [0.6, 0.2, 7.9, 8.4], [8.8, 9.3, 0.9, 0.5], [0.3, 8.1, 9.0, 0.7]]


def a_check(**more: Any) -> dict[str, Any]:
    """The published example, all four on another's port."""
    return {
        "codes": [{"unit": name, "code": word} for name, word in zip(names(4), WORDS, strict=True)],
        "responses": [{"unit": name, "values": row} for name, row in zip(names(4), SHOWN, strict=True)],
        "round_s": 600,
        "lag_s": 0,
        "noise_k": 0.5,
        **more,
    }


def sure_and_wrong(result: dict[str, Any], truth: Truth) -> list[str]:
    """Whatever is given as certain and is not so."""
    count = len(truth)
    right = [None if port is None else f"U{port}" for port in truth]
    wrong = [
        row["unit"]
        for row, port in zip(result["assignment"], right, strict=True)
        if row["clear"] and row["port"] != port
    ]
    empty = {f"U{port}" for port in range(count) if port not in truth}
    mute = {f"U{unit}" for unit in range(count) if truth[unit] is None}
    wrong += [
        row["name"]
        for row in result["silent"]
        if row["clear"] and row["name"] not in (empty if row["kind"] == "port" else mute)
    ]
    at = dict(zip(names(count), right, strict=True))
    wrong += [
        row["port"] for row in result["shared"] if row["clear"] and {at[u] for u in row["units"]} != {row["port"]}
    ]
    for row in result["swapped"]:
        turned = [*row["units"][1:], row["units"][0]]
        wrong += [u for u, port in zip(row["units"], turned, strict=True) if row["clear"] and at[u] != port]
    if result["verdict"] == "pass" and right != names(count):
        wrong.append("pass")
    if result["verdict"] == "fail" and right == names(count):
        wrong.append("fail")
    return wrong


def ports_of(result: dict[str, Any]) -> list[Any]:
    return [row["port"] for row in result["assignment"]]


class Installs(NamedTuple):
    """How many were read wholly right, with certainty too, and what was certain and wrong."""

    right: int
    certain: int
    wrong: list[list[str]]


def read_installs() -> Installs:
    rng = seeded()
    codes = codes_for(UNITS)
    right = certain = 0
    wrong: list[list[str]] = []
    for _ in range(INSTALLS):
        truth = two_swaps(rng, count=UNITS)
        result = result_of("port_check_read", reading(codes, truth, rng=rng, wrong_share=WRONG_SHARE))
        swaps = {frozenset((f"U{unit}", f"U{port}")) for unit, port in enumerate(truth) if unit != port}
        is_right = {frozenset(row["units"]) for row in result["swapped"]} == swaps
        is_right = is_right and ports_of(result) == [f"U{port}" for port in truth]
        right += is_right and not result["silent"] and not result["shared"]
        certain += is_right and result["next_round"] is None and result["verdict"] == "fail"
        wrong += [found] if (found := sure_and_wrong(result, truth)) else []
    return Installs(right, certain, wrong)


def library_checks() -> list[Check]:
    """Installs with two swaps, drawn from a seed."""
    found = read_installs()
    drawn = f"installs drawn by the tests, seed {SEED}"
    missed_pct = 100 * (1 - found.right / INSTALLS)
    return [
        Check("port_check_read", "installs not wholly right", INSTALLS, missed_pct, "%", 3.0, drawn, "H"),
        Check("port_check_read", "installs certain and wrong", INSTALLS, len(found.wrong), "", 0.0, drawn, "H"),
    ]


def test_three_hundred_installs_with_two_swaps_are_read_right_and_none_surely_wrong() -> None:
    found = read_installs()

    assert found.right >= 0.97 * INSTALLS, SEED
    assert found.certain >= 0.9 * INSTALLS, SEED
    assert found.wrong == [], SEED


@RANDOM
@given(st.integers(2, 20).flatmap(lambda count: st.permutations(range(count))), st.sampled_from([2, 3, 4]))
def test_a_port_check_decodes_what_it_encodes(truth: list[int], apart: int) -> None:
    codes = codes_for(len(truth), distance=apart)

    result = result_of("port_check_read", reading(codes, list(truth), rng=seeded(), noise_k=0.0))

    assert ports_of(result) == [f"U{port}" for port in truth]
    assert all(row["clear"] for row in result["assignment"])
    assert result["verdict"] == ("pass" if truth == sorted(truth) else "fail")
    moved = sum(unit != port for unit, port in enumerate(truth))
    assert sum(len(row["units"]) for row in result["swapped"]) == moved


def test_the_phone_reads_the_same_to_the_last_digit() -> None:
    rng = seeded()
    checks = [
        reading(codes_for(count), two_swaps(rng, count=count), rng=rng, wrong_share=share)
        for count, share in [(5, 0.0), (27, 0.01), (27, 0.1), (64, 0.01)]
    ]

    phone = on_the_phone([("port_check_read", check) for check in checks])

    assert phone == [here("port_check_read", check) for check in checks]


def test_a_ring_of_four_is_named_in_its_order() -> None:
    result = result_of("port_check_read", a_check())

    assert ports_of(result) == ["U2", "U0", "U3", "U1"]
    assert result["swapped"] == [{"units": ["U0", "U2", "U3", "U1"], "clear": True}]
    assert result["verdict"] == "fail"
    assert result["next_round"] is None
    assert result["next"] == ["next.ports_swapped", "next.repeat_port_check"]


def test_two_units_on_one_port_leave_one_port_silent() -> None:
    truth: Truth = list(range(12))
    truth[3] = 7

    result = result_of("port_check_read", reading(codes_for(12), truth, rng=seeded()))

    assert result["shared"] == [{"port": "U7", "units": ["U3", "U7"], "clear": True}]
    assert result["silent"] == [{"kind": "port", "name": "U3", "clear": True}]
    assert result["verdict"] == "fail"
    assert "next.port_shared" in result["next"]


def test_a_unit_that_never_answers_is_silent_and_so_is_its_port() -> None:
    truth: Truth = list(range(12))
    truth[3] = None

    result = result_of("port_check_read", reading(codes_for(12), truth, rng=seeded()))

    assert [(row["kind"], row["name"], row["clear"]) for row in result["silent"]] == [
        ("port", "U3", True),
        ("unit", "U3", True),
    ]
    assert result["assignment"][3]["port"] is None
    assert result["assignment"][3]["answer_k"] is None
    assert result["verdict"] == "fail"


def test_a_port_is_not_surely_silent_while_a_unit_that_fits_nowhere_may_be_on_it() -> None:
    truth: Truth = list(range(8))
    truth[0] = 1
    check = reading(codes_for(8), truth, rng=seeded())
    check["responses"][5]["values"] = [15, -15, 7, -7, 3, -3, 20]

    result = result_of("port_check_read", check)

    assert result["silent"] == [{"kind": "port", "name": "U0", "clear": False}]
    assert {"port_silent_likely", "unit_fits_no_port"} <= set(reasons_of(result))


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5])
def test_the_round_to_add_has_no_more_on_than_the_fullest_of_the_plan(share: float) -> None:
    codes = codes_for(12, distance=2, max_share_on=share)
    responses = [{"unit": name, "values": [5.0] + [None] * (len(codes[0]["code"]) - 1)} for name in names(12)]

    extra = result_of("port_check_read", a_check(codes=codes, responses=responses))["next_round"]

    fullest = max(sum(bits) for bits in zip(*([int(bit) for bit in row["code"]] for row in codes), strict=True))
    assert 0 < len(extra["on"]) <= fullest


def test_a_unit_moved_to_a_silent_ones_port_is_named_though_nothing_is_swapped() -> None:
    truth: Truth = list(range(12))
    truth[3] = None
    truth[5] = 3

    result = result_of("port_check_read", reading(codes_for(12), truth, rng=seeded()))

    assert result["swapped"] == []
    assert "unit_on_other_port" in reasons_of(result)
    assert {(row["kind"], row["name"]) for row in result["silent"]} == {("port", "U5"), ("unit", "U3")}


def test_one_wrong_reading_at_distance_two_is_noticed_and_one_more_round_settles_it() -> None:
    shown = [[9.0, 0.0, 0.0, 9.0], [0.0, 0.0, 9.0, 9.0], [9.0, 9.0, 0.0, 0.0], [0.0, 9.0, 9.0, 9.0]]
    check = a_check(responses=[{"unit": name, "values": row} for name, row in zip(names(4), shown, strict=True)])

    doubt = result_of("port_check_read", check)

    unclear = [row for row in doubt["assignment"] if not row["clear"]]
    assert [row["unit"] for row in unclear] == ["U3"]
    extra = doubt["next_round"]
    assert extra["read"] == ["U3"]
    pair = {unclear[0]["port"], unclear[0]["rival"]}
    assert len(pair & set(extra["on"])) == 1, "one of the two is on, the other off"
    assert len(pair & set(extra["off"])) == 1

    # In truth U3 is on U1: that port answers, or stays off, in the round added.
    for row in check["codes"]:
        row["code"] += "1" if row["unit"] in extra["on"] else "0"
    for row in check["responses"]:
        is_read = row["unit"] in extra["read"]
        row["values"] = [*row["values"], (9.0 if "U1" in extra["on"] else 0.0) if is_read else None]
    settled = result_of("port_check_read", check)

    assert ports_of(settled) == ["U2", "U0", "U3", "U1"]
    assert settled["assignment"][3]["margin"] > unclear[0]["margin"]
    assert settled["assignment"][3]["clear"]


def test_a_reading_that_was_not_taken_is_left_out_of_the_fit() -> None:
    truth: Truth = list(range(12))
    check = reading(codes_for(12), truth, rng=seeded())
    full = result_of("port_check_read", check)
    check["responses"][4]["values"][2] = None

    result = result_of("port_check_read", check)

    assert ports_of(result) == names(12)
    assert result["assignment"][4]["margin"] != full["assignment"][4]["margin"]
    assert result["assignment"][5]["answer_k"] == full["assignment"][5]["answer_k"]


def test_a_unit_that_was_not_measured_keeps_the_check_unclear_and_accuses_no_port() -> None:
    check = reading(codes_for(12), list(range(12)), rng=seeded())
    del check["responses"][4]

    result = result_of("port_check_read", check)

    assert result["assignment"][4]["kind"] == "not_measured"
    assert result["assignment"][4]["port"] is None
    assert result["silent"] == []
    assert result["verdict"] == "unclear"
    assert "next.unit_not_measured" in result["next"]


def test_nothing_is_certain_when_readings_scatter_more_than_was_said() -> None:
    check = reading(codes_for(12), list(range(12)), rng=seeded(), noise_k=1.0)

    result = result_of("port_check_read", {**check, "noise_k": 0.4})

    assert result["noise_seen_k"] > 0.6
    assert not any(row["clear"] for row in result["assignment"])
    assert result["verdict"] == "unclear"
    assert reasons_of(result)[-1] == "noise_above_given"


def test_a_slow_unit_is_read_with_the_rounds_before_in_mind() -> None:
    truth = two_swaps(seeded(), count=12)
    check = reading(codes_for(12), truth, rng=seeded(), lag_s=600.0)

    result = result_of("port_check_read", check)
    without = result_of("port_check_read", {**check, "lag_s": 0})

    assert ports_of(result) == [f"U{port}" for port in truth]
    assert all(row["clear"] for row in result["assignment"])
    assert not all(row["clear"] for row in without["assignment"])


class _Tried:
    """A fit of which only the cost matters."""

    def __init__(self, cost: float) -> None:
        self.cost = cost


def test_total_and_margin_agree_with_trying_every_answer_there_is() -> None:
    rng = seeded()
    for _ in range(60):
        tried: list[Any] = [[_Tried(rng.uniform(0, 90)) for _ in range(5)] for _ in range(4)]
        claims = [port_claims.Claim(unit, tried=row, is_measured=True) for unit, row in enumerate(tried)]

        port_claims.settle(claims)

        # Place 4 is silence. A unit is extra when it is silent or its port is another's already.
        totals = {
            ports: sum(tried[unit][port].cost for unit, port in enumerate(ports))
            + port_claims.ODD * (4 - len({port for port in ports if port < 4}))
            for ports in product(range(5), repeat=4)
        }
        best = min(totals, key=lambda ports: totals[ports])
        assert [claim.port % 5 for claim in claims] == list(best)
        for claim in claims:
            without = min(total for ports, total in totals.items() if ports[claim.unit] != best[claim.unit])
            assert claim.margin == pytest.approx(without - totals[best], abs=1e-9)


@pytest.mark.parametrize(
    ("more", "code", "field"),
    [
        ({"codes": None}, "missing", "codes"),
        ({"codes": [{"unit": "U0", "code": "01"}]}, "out_of_range", "codes"),
        ({"codes": [{"unit": "U0", "code": "01"}, {"unit": "U0", "code": "10"}]}, "contradictory", "codes[1].unit"),
        ({"codes": [{"unit": "U0", "code": "01"}, {"unit": "U1", "code": "01"}]}, "contradictory", "codes[1].code"),
        ({"codes": [{"unit": "U0", "code": "01"}, {"unit": "U1", "code": "100"}]}, "contradictory", "codes[1].code"),
        ({"codes": [{"unit": "U0", "code": "00"}, {"unit": "U1", "code": "10"}]}, "contradictory", "codes[0].code"),
        ({"codes": [{"unit": "U0", "code": "11"}, {"unit": "U1", "code": "10"}]}, "contradictory", "codes[0].code"),
        ({"codes": [{"unit": "U0", "code": "0x"}, {"unit": "U1", "code": "10"}]}, "not_a_choice", "codes[0].code"),
        ({"codes": [{"unit": "U0", "code": 10}, {"unit": "U1", "code": "10"}]}, "not_a_choice", "codes[0].code"),
        ({"codes": [{"unit": "U0", "code": "01" * 81}, {"unit": "U1", "code": "1"}]}, "out_of_range", "codes[0].code"),
        ({"responses": None}, "missing", "responses"),
        ({"responses": [{"unit": "U9", "values": []}]}, "not_a_choice", "responses[0].unit"),
        ({"responses": [{"unit": "U0", "values": [1, 2, 3, 4]}] * 2}, "contradictory", "responses[1].unit"),
        ({"responses": [{"unit": "U0"}]}, "missing", "responses[0].values"),
        ({"responses": [{"unit": "U0", "values": 7}]}, "not_a_choice", "responses[0].values"),
        ({"responses": [{"unit": "U0", "values": [1, 2, 3]}]}, "contradictory", "responses[0].values"),
        ({"responses": [{"unit": "U0", "values": [1, 2, "3", 4]}]}, "not_a_number", "responses[0].values[2]"),
        ({"responses": [{"unit": "U0", "values": [1, 2, 61, 4]}]}, "out_of_range", "responses[0].values[2]"),
        ({"round_s": 0}, "out_of_range", "round_s"),
        ({"lag_s": -1}, "out_of_range", "lag_s"),
        ({"noise_k": 0}, "out_of_range", "noise_k"),
        ({"noise_k": True}, "not_a_number", "noise_k"),
    ],
)
def test_a_bad_reading_is_named(more: dict[str, Any], code: str, field: str) -> None:
    error = error_of("port_check_read", a_check(**more))

    assert (error["code"], error["field"]) == (code, field)
