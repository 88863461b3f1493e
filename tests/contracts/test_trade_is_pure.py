"""The engine imports nothing but math and itself, and loads in MicroPython.

Only `entry.py`, the door, may import json as well. What MicroPython lacks or does otherwise
is refused here by name, so that it is found before a phone finds it.
"""

import ast
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from flarenut.trade import entry
from tests.trade.runtimes import SOURCES, packed, texts_on_the_phone

FILES = sorted(SOURCES.glob("*.py"))
ALLOWED = {"math"}
ALLOWED_AT_THE_DOOR = {"json"}
# MicroPython's rounding and number formatting differ in the last digit.
DIFFERENT_ON_THE_PHONE = {"round", "format"}
# So do its powers, which are in same_digits.py instead. These agree.
ALIKE_ON_THE_PHONE = {"floor", "ldexp", "log", "pi", "sqrt"}


def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(), filename=str(path))


def _imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." if node.level == 1 else str(node.module)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_file_of_the_engine_imports_math_and_the_engine_only(path: Path) -> None:
    allowed = ALLOWED | {"."}
    if path.name == "entry.py":
        allowed |= ALLOWED_AT_THE_DOOR

    assert set(_imported(_tree(path))) <= allowed


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_file_of_the_engine_uses_nothing_that_the_phone_lacks(path: Path) -> None:
    for node in ast.walk(_tree(path)):
        assert not isinstance(node, ast.Match | ast.JoinedStr), ast.unparse(node)
        if isinstance(node, ast.List | ast.Tuple | ast.Set):
            assert not any(isinstance(item, ast.Starred) for item in node.elts), ast.unparse(node)
        if isinstance(node, ast.Dict):
            assert None not in node.keys, ast.unparse(node)
        if isinstance(node, ast.arguments):
            assert node.posonlyargs == []
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in DIFFERENT_ON_THE_PHONE, ast.unparse(node)
        if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Mod):
            assert not isinstance(node.left, ast.Constant | ast.JoinedStr), ast.unparse(node)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_a_file_of_the_engine_takes_from_math_only_what_has_the_same_digits_on_the_phone(path: Path) -> None:
    tree = _tree(path)

    used = {ast.unparse(node) for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    from_math = {name.removeprefix("math.") for name in used if name.startswith("math.")}
    powers = [node for node in ast.walk(tree) if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow)]

    assert from_math <= ALIKE_ON_THE_PHONE
    assert path.name == "port_codes.py" or powers == [], "a power of whole numbers is the only one that agrees"


def test_the_engine_on_the_phone_takes_at_most_120_kb() -> None:
    size_kb = sum(path.stat().st_size for path in packed().glob("*.py")) / 1024

    assert size_kb > 30, "nothing was packed"
    assert size_kb <= 120


def test_the_engine_loads_in_micropython_and_describes_itself_alike() -> None:
    phone = json.loads(texts_on_the_phone([("--describe", "")], sources=SOURCES)[0])

    assert phone == json.loads(entry.describe())
