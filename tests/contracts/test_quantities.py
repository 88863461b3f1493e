"""Every quantity has one name and one unit everywhere, and the glossary is where they are written."""

import json
from typing import Any

import pytest

from flarenut.sync.wire import WIRE
from flarenut.trade import entry
from flarenut.trade.glossary import ENDINGS, GLOSSARY

UNIT_OF = {name: unit for name, unit, _what in GLOSSARY}


def _unit_in(name: str) -> str | None:
    return next((unit for ending, unit in ENDINGS if name.endswith(ending)), None)


def _wire_quantities() -> list[tuple[str, str]]:
    return [(name, unit) for _model, names in WIRE.values() for name in names if (unit := _unit_in(name))]


def _engine_quantities() -> list[tuple[str, str]]:
    described: list[dict[str, Any]] = json.loads(entry.describe())
    return [
        (field["name"].split("[].")[-1].split(".")[-1], field["unit"])
        for calculation in described
        for field in (*calculation["inputs"], *calculation["outputs"])
        if field["unit"]
    ]


@pytest.mark.parametrize(("name", "unit"), sorted(set(_wire_quantities())))
def test_a_quantity_on_the_wire_is_in_the_glossary(name: str, unit: str) -> None:
    assert UNIT_OF.get(name) == unit


@pytest.mark.parametrize(("name", "unit"), sorted(set(_engine_quantities())))
def test_a_quantity_of_the_engine_is_in_the_glossary(name: str, unit: str) -> None:
    assert UNIT_OF.get(name) == unit


def test_a_name_in_the_glossary_ends_in_its_unit() -> None:
    wrong = [(name, unit) for name, unit in UNIT_OF.items() if (ending := _unit_in(name)) and ending != unit]

    assert wrong == []
    assert len(UNIT_OF) == len(GLOSSARY), "a name stands in the glossary twice"
