"""Whatever a phone sends can be set aside: what it was, its fields and why each have words on the phone."""

import ast
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from marshmallow import Schema, fields

from flarenut.sync.catalogue import MUTATIONS

# Where what a mutation does is decided: each rule that says no has a code, and the code a sentence.
DECIDES = (
    "sync/*.py",
    "*/verbs.py",
    "readings/*.py",
    "visits/*.py",
    "issues/*.py",
    "photos/marks.py",
)
NO_CHANGE = ("people",)  # Who signs in, and with what, never travels as a mutation.
ERRORS = ("Refused", "Invalid", "NotAllowed", "NotFound")


@pytest.fixture(scope="module")
def sentences(project: Path) -> set[str]:
    found: set[str] = set()
    for path in (project / "pwa/src/text/en").rglob("*.json"):
        found |= json.loads(path.read_text()).keys()
    return found


def _names(shape: Schema) -> Iterator[str]:
    """Of the shape, and of the rows that it holds."""
    for name, field in shape.fields.items():
        yield name
        inner: Any = field.inner if isinstance(field, fields.List) else field
        if isinstance(inner, fields.Nested):
            yield from _names(inner.schema)


def _codes(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ERRORS and node.args:
            code = node.args[0]
            if isinstance(code, ast.Constant):
                yield str(code.value)


@pytest.mark.parametrize("kind", MUTATIONS)
def test_what_a_change_was_and_each_of_its_fields_has_words(kind: str, sentences: set[str]) -> None:
    wanted = {f"attention.field.{name}" for name in _names(MUTATIONS[kind].shape())}

    assert f"attention.what.{kind.replace('.', '_')}" in sentences
    assert wanted - sentences == set()


def test_every_reason_why_a_change_is_not_taken_has_words(project: Path, sentences: set[str]) -> None:
    found = [path for where in DECIDES for path in (project / "server/flarenut").glob(where)]

    codes = {code for path in found if path.parent.name not in NO_CHANGE for code in _codes(path)}

    assert {"wrong_state", "visit_closed", "one_owner"} <= codes
    assert {f"attention.why.{code}" for code in codes} - sentences == set()
