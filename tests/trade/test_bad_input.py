"""Whatever is typed into whatever field: an error that names it, or an answer in real numbers."""

import copy
import functools
import json
import math
import re
from collections.abc import Iterator
from typing import Any

import pytest

from flarenut.trade import entry
from tests.trade.examples import examples
from tests.trade.runtimes import texts_on_the_phone

Place = tuple[str | int, ...]
Call = tuple[str, dict[str, Any], Place, str, str]

LEFT_OUT = ""
NOT_NUMBERS = ['"x"', '""', "true", "[]", "{}", "[null]"]
BEYOND_ALL = ["1e999", "-1e999", "1e308", "-1e308", "9" * 400]
PERHAPS = ["null", "-1", "0", "0.5", "1e12", "1e-300"]
BAD = [LEFT_OUT, *NOT_NUMBERS, *BEYOND_ALL, *PERHAPS]
CODES = {"missing", "not_a_number", "not_a_choice", "out_of_range", "contradictory"}
# A port and an address may be a word as well as a number.
WORDS_TOO = re.compile(r"(port|reported_ports(\[\d\])?|group|central)$")
# The phone takes ten times as long. The kinds of bad values are no multiple of it, so that all come up.
EVERY = 5


def _places(value: Any, *, place: Place = ()) -> Iterator[Place]:
    """Every field of an input, of its lists the first two rows."""
    rows = value.items() if isinstance(value, dict) else enumerate(value[:2]) if isinstance(value, list) else []
    for key, inside in rows:
        yield (*place, key)
        yield from _places(inside, place=(*place, key))


def _at(data: Any, place: Place) -> Any:
    for key in place:
        data = data[key]
    return data


def _field(place: Place) -> str:
    """As an error names it: readings[0].t_s."""
    return "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in place).removeprefix(".")


def _spoilt(data: dict[str, Any], *, place: Place, bad: str) -> str:
    """The input as text with one field left out, or holding what JSON text can say."""
    data = copy.deepcopy(data)
    rows = _at(data, place[:-1])
    if bad == LEFT_OUT:
        del rows[place[-1]]
        return json.dumps(data)
    rows[place[-1]] = "@"
    return json.dumps(data).replace('"@"', bad)


@functools.cache
def _calls() -> list[Call]:
    """Made by the process that runs these tests: every process of a run reads this file."""
    return [
        (name, data, place, bad, _spoilt(data, place=place, bad=bad))
        for name, data in examples()
        for place in _places(data)
        for bad in BAD
    ]


def _refuse(word: str) -> Any:
    raise AssertionError(word)


def _answer(text: str) -> Any:
    """JSON to the letter: NaN and Infinity are none."""
    return json.loads(text, parse_constant=_refuse)


def _has_limits(error: dict[str, Any]) -> bool:
    limits = error["limits"]
    return all(math.isfinite(limits[end]) for end in ("low", "high")) and "unit" in limits


@pytest.mark.parametrize(("name", "data"), examples())
def test_every_field_that_is_described_is_in_the_examples(name: str, data: dict[str, Any]) -> None:
    answer = _answer(entry.compute(name, json.dumps(data)))
    described = next(row for row in json.loads(entry.describe()) if row["name"] == name)

    assert answer["ok"], answer
    asked = {row["name"].replace("[]", "") for row in described["inputs"]}
    all_given = {
        ".".join(str(key) for key in place if not isinstance(key, int))
        for other, rows in examples()
        if other == name
        for place in _every_place(rows)
    }
    assert asked <= all_given


def _every_place(value: Any, *, place: Place = ()) -> Iterator[Place]:
    rows = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else []
    for key, inside in rows:
        yield (*place, key)
        yield from _every_place(inside, place=(*place, key))


def test_every_calculation_has_an_example() -> None:
    assert {name for name, _ in examples()} == {row["name"] for row in json.loads(entry.describe())}


def test_a_bad_field_is_answered_or_refused_by_name_and_never_breaks_the_engine() -> None:
    assert len(_calls()) > 3000

    for name, data, place, bad, text in _calls():
        answer = _answer(entry.compute(name, text))

        if not answer["ok"]:
            error = answer["error"]
            said = (name, _field(place), bad, error)
            assert error["code"] in CODES, said
            assert re.split(r"[.\[]", error["field"])[0] in {*data, "barometer_pa", "pressure_pa"}, said
            assert error["message"], said
            assert error["code"] not in {"not_a_number", "out_of_range"} or _has_limits(error), said


def test_what_is_no_number_or_beyond_all_numbers_names_its_own_field_and_the_limits() -> None:
    checked = 0
    for name, data, place, bad, text in _calls():
        value = _at(data, place)
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or bad not in [*NOT_NUMBERS, *BEYOND_ALL] or WORDS_TOO.search(_field(place)):
            continue

        answer = _answer(entry.compute(name, text))

        said = (name, _field(place), bad, answer)
        assert not answer["ok"], said
        assert answer["error"]["code"] == ("out_of_range" if bad in BEYOND_ALL else "not_a_number"), said
        assert answer["error"]["field"] == _field(place), said
        assert _has_limits(answer["error"]), said
        checked += 1
    assert checked > 1000


@pytest.mark.parametrize("bad", [LEFT_OUT, "null"])
def test_a_field_that_must_be_there_is_missed_by_its_name(bad: str) -> None:
    described = {row["name"]: row["inputs"] for row in json.loads(entry.describe())}
    needed = {
        (name, field["name"].replace("[]", "[0]"))
        for name, fields in described.items()
        for field in fields
        if field["required"]
    }

    seen = set()
    for name, _, place, how, text in _calls():
        if how == bad and (name, _field(place)) in needed:
            seen.add((name, _field(place)))
            error = _answer(entry.compute(name, text))["error"]
            assert (error["code"], error["field"]) == ("missing", _field(place)), name
    assert seen == needed


def test_a_number_is_missed_with_its_limits_and_a_word_with_those_it_can_be() -> None:
    told = {(name, place, bad): _answer(entry.compute(name, text)) for name, _, place, bad, text in _calls()}

    checked = 0
    for (name, place, bad), answer in told.items():
        of_a_word = told[(name, place, '"x"')]
        if bad != LEFT_OUT or answer["ok"] or of_a_word["ok"]:
            continue
        missed, refused = answer["error"], of_a_word["error"]
        if not missed["field"] == refused["field"] == _field(place):
            continue
        if "will do as well" in missed["message"]:  # One of two: the limits of the first are not the whole truth.
            continue
        assert missed["limits"] == refused["limits"], (name, missed)
        assert refused["message"].partition("must be one of")[2] in missed["message"], (name, missed)
        checked += 1
    assert checked > 50


def test_yes_or_no_is_not_guessed_from_another_word() -> None:
    for name, data, place, bad, text in _calls():
        if isinstance(_at(data, place), bool) and bad not in {LEFT_OUT, "null", "true"}:
            error = _answer(entry.compute(name, text))["error"]
            assert error["field"] == _field(place), (name, bad)


def test_the_phone_refuses_and_answers_alike() -> None:
    some = _calls()[::EVERY]

    phone = texts_on_the_phone([(name, text) for name, _, _, _, text in some])

    for (name, _, place, bad, text), said in zip(some, phone, strict=True):
        assert _answer(said) == _answer(entry.compute(name, text)), (name, _field(place), bad)
