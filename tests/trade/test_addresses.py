"""Addresses: what is wrong with them, and that the proposals put it right."""

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.trade.random_graphs import RANDOM
from tests.trade.runtimes import error_of, here, on_the_phone, result_of

SAID = st.one_of(
    st.none(),
    st.integers(0, 14),
    st.sampled_from(["", " ", "1", "01", "007", " 7", "A", "a", "1-2", "²", "12345", "Ä", "ä", "\u00a03"]),
)


@st.composite
def sites(draw: st.DrawFn) -> dict[str, Any]:
    """Up to ten units of two systems, and a range that may be too small for them."""
    rows = draw(st.lists(st.tuples(SAID, SAID, st.sampled_from([None, "S1", "S2"])), min_size=1, max_size=10))
    units = [
        {"unit": f"IU-{n}", "group": group, "central": central, "system": system}
        for n, (group, central, system) in enumerate(rows)
    ]
    low = draw(st.integers(0, 3))
    data: dict[str, Any] = {"units": units, "group_range": [low, low + draw(st.integers(0, 12))]}
    if draw(st.booleans()):
        data["central_range"] = [0, draw(st.integers(0, 12))]
    if draw(st.booleans()):
        split = draw(st.integers(1, len(units)))
        data["units"], data["others"] = units[:split], units[split:]
    return data


def proposed(data: dict[str, Any]) -> dict[str, Any]:
    """The site with every proposal followed."""
    units = {unit["unit"]: dict(unit) for unit in data["units"]}
    for row in result_of("addresses", data)["proposals"]:
        units[row["unit"]][row["kind"]] = row["address"]
    return {**data, "units": list(units.values())}


@RANDOM
@given(sites())
def test_who_follows_the_proposals_has_no_double_and_nothing_out_of_range(data: dict[str, Any]) -> None:
    after = result_of("addresses", proposed(data))

    left = [row for row in result_of("addresses", data)["proposals"] if row["address"] is None]
    assert after["duplicates"] == []
    assert after["out_of_range"] == []
    assert len(after["missing"]) == len(left)
    assert (after["verdict"] == "pass") == (left == [])


def test_an_address_that_another_system_has_is_taken_though_that_system_is_not_judged() -> None:
    data: dict[str, Any] = {
        "units": [{"unit": "A", "system": "S1", "central": 1}, {"unit": "B", "system": "S1"}],
        "others": [{"unit": "C", "system": "S2", "central": 1}, {"unit": "D", "system": "S2", "central": 2}],
        "central_range": [1, 64],
    }

    result = result_of("addresses", {**data, "others": [*data["others"], {"unit": "E", "central": "x"}]})

    assert result["verdict"] == "fail"
    assert [row["units"] for row in result["duplicates"]] == [["C", "A"]]
    assert [(row["unit"], row["address"]) for row in result["proposals"]] == [("A", 3), ("B", 4)]
    assert result["out_of_range"] == []
    assert result_of("addresses", proposed(data))["verdict"] == "pass"


def test_a_tag_is_there_once_in_both_lists() -> None:
    row = {"unit": "A", "group": 1}

    error = error_of("addresses", {"units": [row], "others": [row], "group_range": [1, 2]})

    assert (error["code"], error["field"]) == ("contradictory", "units[0].unit")


@RANDOM
@given(sites())
def test_a_unit_whose_address_is_right_keeps_it(data: dict[str, Any]) -> None:
    result = result_of("addresses", data)

    wrong = {(row["kind"], row["unit"]) for row in (*result["missing"], *result["out_of_range"])}
    ours = {unit["unit"] for unit in data["units"]}
    later = {(row["kind"], unit) for row in result["duplicates"] for unit in row["units"][1:] if unit in ours}
    assert {(row["kind"], row["unit"]) for row in result["proposals"]} == wrong | later


def numbered(data: dict[str, Any], *, kind: str) -> list[dict[str, Any]]:
    """Units that are judged, and the others where they have a plain number."""
    said = [(unit, str(unit[kind]).strip(" \t\r\n")) for unit in data.get("others", [])]
    return data["units"] + [unit for unit, text in said if text.isascii() and text.isdigit() and len(text) < 5]


@RANDOM
@given(sites())
def test_a_proposal_is_the_smallest_address_that_is_free(data: dict[str, Any]) -> None:
    result = result_of("addresses", data)
    changed = {(row["kind"], row["unit"]) for row in result["proposals"]}
    system = {unit["unit"]: unit["system"] for unit in data["units"]}

    for row in result["proposals"]:
        kind = row["kind"]
        low, high = data[f"{kind}_range"]
        kept = {
            int(str(unit[kind]).strip())
            for unit in numbered(data, kind=kind)
            if (kind, unit["unit"]) not in changed and (kind == "central" or unit["system"] == system[row["unit"]])
        }
        earlier = {
            other["address"]
            for other in result["proposals"][: result["proposals"].index(row)]
            if other["kind"] == kind and (kind == "central" or system[other["unit"]] == system[row["unit"]])
        }
        free = [address for address in range(low, high + 1) if address not in kept | earlier]
        assert row["address"] == (free[0] if free else None)


def test_addresses_come_out_the_same_on_the_phone() -> None:
    inputs: list[dict[str, Any]] = []

    @RANDOM
    @given(sites())
    def gather(data: dict[str, Any]) -> None:
        inputs.append(data)

    gather()

    phone = on_the_phone([("addresses", data) for data in inputs])

    assert len(inputs) > 50
    assert phone == [here("addresses", data) for data in inputs]
