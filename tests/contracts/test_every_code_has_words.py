"""Codes travel from the engine, never sentences: each must have its sentence on the phone."""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from flarenut.trade import entry
from tests.trade.handbook import cases

PREFIXED = re.compile(r"(next|caution)\.[a-z_]+")


def _modules(project: Path) -> list[Path]:
    return sorted((project / "server/flarenut/trade").glob("*.py"))


def _sentences(project: Path) -> set[str]:
    found: set[str] = set()
    for path in (project / "pwa/src/text/en").rglob("*.json"):
        found |= json.loads(path.read_text()).keys()
    return found


def _takers(trees: list[ast.Module]) -> set[str]:
    """Functions and methods whose first argument, after self, is a reason's `code`."""
    found: set[str] = set()
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                names = [one.arg for one in node.args.args if one.arg != "self"]
                if names[:1] == ["code"]:
                    found.add(node.name)
    return found


def _words(node: ast.expr) -> Iterator[str]:
    """The codes that an expression can come to; a variable is looked for elsewhere."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _words(node.body)
        yield from _words(node.orelse)


def _reason_codes(trees: list[ast.Module], *, takers: set[str]) -> set[str]:
    """Codes given to such a function, and those that a variable named `code` is set to first.

    A code of one word, such as a kind of issue, is no reason.
    """
    found: set[str] = set()
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and node.args and _name(node.func) in takers:
                found |= set(_words(node.args[0]))
            elif isinstance(node, ast.Assign) and [_name(one) for one in node.targets] == ["code"]:
                found |= set(_words(node.value))
    return {code for code in found if "_" in code}


def _told(value: Any) -> set[str]:
    """The codes of all reasons anywhere in a result."""
    if isinstance(value, list):
        return {code for one in value for code in _told(one)}
    if not isinstance(value, dict):
        return set()
    own = {str(value["code"])} if value.keys() == {"code", "values"} else set()
    return own | {code for one in value.values() for code in _told(one)}


def _name(function: ast.expr) -> str:
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


@pytest.fixture(scope="module")
def trees(project: Path) -> list[ast.Module]:
    return [ast.parse(path.read_text()) for path in _modules(project)]


def test_every_reason_of_the_engine_has_a_sentence(project: Path, trees: list[ast.Module]) -> None:
    codes = _reason_codes(trees, takers=_takers(trees))

    assert {"rotation_reverse", "superheat_from_dew", "room_too_small"} <= codes
    assert sorted(code for code in codes if f"reason.{code}" not in _sentences(project)) == []


def test_every_reason_that_a_handbook_case_gives_has_a_sentence(project: Path) -> None:
    """Codes put together from parts are not in the text of the engine, but in what it says."""
    answers = [json.loads(entry.compute(name, json.dumps(inputs))) for name, _, inputs in cases()]
    codes = {code for answer in answers for code in _told(answer.get("result"))}

    assert {"straight_after_too_short", "factors_differ_as_usual"} <= codes
    assert sorted(code for code in codes if f"reason.{code}" not in _sentences(project)) == []


def test_everything_to_do_next_and_every_caution_has_a_sentence(project: Path, trees: list[ast.Module]) -> None:
    codes = {
        node.value
        for tree in trees
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and PREFIXED.fullmatch(node.value)
    }

    assert {"next.ask_the_designer", "caution.supply"} <= codes
    assert sorted(codes - _sentences(project)) == []


def test_the_cautions_of_issues_and_steps_are_on_every_screen(project: Path) -> None:
    """A screen that has not brought the sentence of one would leave it out without a word."""
    told = (project / "server/flarenut/trade/categories.py").read_text()
    beside = (project / "pwa/src/screens/job/cautions.ts").read_text()
    [steps] = re.findall(r"STEP_CAUTIONS.*?= \{(.*?)\n\};", beside, re.DOTALL)
    codes = set(re.findall(r'"(caution\.\w+)"', told)) | {f"caution.{name}" for name in re.findall(r'"(\w+)"', steps)}
    everywhere = {key for path in (project / "pwa/src/text/en").glob("*.json") for key in json.loads(path.read_text())}

    assert {"caution.flammable", "caution.height"} <= codes
    assert sorted(codes - everywhere) == []
