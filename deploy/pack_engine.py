"""Packs the engine for the phone: the server's own files, without what only people read.

Comments, docstrings and annotations go, and names become short, the same ones in all files. The lists of inputs and
outputs, which `flarenut compute --list` prints, become empty: the phone has screens instead.
Nothing that computes is changed; the tests of both runtimes run what this script writes.

    python deploy/pack_engine.py            one JSON object, file name to text, for the build
    python deploy/pack_engine.py FOLDER     the same files in a folder, for the tests
"""

import ast
import builtins
import itertools
import json
import keyword
import math
import string
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path

import python_minifier

ENGINE = Path(__file__).resolve().parents[1] / "server" / "flarenut" / "trade"
FOR_PEOPLE = {"glossary.py", "units.py"}  # Nothing that computes reads them.
# Constants whose names end so describe a calculation to people.
DESCRIPTIONS = ("INPUTS", "OUTPUTS", "WHAT")
# The phone calls the engine by these, and the runtime's own functions take those.
KEPT = {"compute", "describe", "VERSION", "key", "reverse", "default", "parse_constant"}
TYPES = (str, list, dict, set, tuple, float, int, Exception)
# Where a node of a program keeps a name.
HOLDERS = ("id", "attr", "arg", "name")
SHORTEST = 2  # Letters of a name that cannot become shorter.


class _Bare(ast.NodeTransformer):
    """A program without annotations and descriptions."""

    def visit_Assign(self, node: ast.Assign) -> ast.Assign:
        if any(isinstance(name, ast.Name) and name.id.endswith(DESCRIPTIONS) for name in node.targets):
            node.value = ast.Constant("") if isinstance(node.value, ast.Constant) else ast.List([], ast.Load())
        return node

    def visit_AnnAssign(self, node: ast.AnnAssign) -> ast.Assign | None:
        return ast.Assign([node.target], node.value) if node.value else None

    def visit_FunctionDef(self, node: ast.FunctionDef) -> ast.AST:
        node.returns = None
        return self.generic_visit(node)

    def visit_arg(self, node: ast.arg) -> ast.arg:
        node.annotation = None
        return node


def packed_engine() -> dict[str, str]:
    """Every file that the phone runs, by its name."""
    paths = [path for path in sorted(ENGINE.glob("*.py")) if path.name not in FOR_PEOPLE]
    trees = {path.name: ast.fix_missing_locations(_Bare().visit(ast.parse(path.read_text()))) for path in paths}
    _shorten(trees)
    return {name: _minified(tree) for name, tree in trees.items()}


def _shorten(trees: dict[str, ast.Module]) -> None:
    """One short name for each name of the engine, in all files; the most frequent first."""
    modules = {name.removesuffix(".py") for name in trees}
    names = Counter(getattr(node, holder) for node, holder in _holders(trees.values()))
    foreign = {*dir(builtins), *dir(math), *dir(json), *(name for kind in TYPES for name in dir(kind))}
    kept = KEPT | foreign | modules | _data(trees.values())
    ours = [name for name in _defined(trees.values()) - kept if len(name) > SHORTEST]
    free = (name for name in _short_names() if name not in names and name not in foreign)
    short = dict(zip(sorted(ours, key=lambda name: (-names[name] * len(name), name)), free, strict=False))
    for node, holder in _holders(trees.values()):
        name = getattr(node, holder)
        setattr(node, holder, short.get(name, name))


def _holders(trees: Iterable[ast.Module]) -> list[tuple[ast.AST, str]]:
    return [
        (node, holder)
        for tree in trees
        for node in ast.walk(tree)
        for holder in HOLDERS
        if isinstance(getattr(node, holder, None), str)
    ]


def _defined(trees: Iterable[ast.Module]) -> set[str]:
    """Names that the engine itself gives to something."""
    found: set[str] = set()
    for tree in trees:
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef | ast.ClassDef):
                found.add(node.name)
            elif isinstance(node, ast.arg):
                found.add(node.arg)
            elif isinstance(node, ast.Attribute | ast.Name) and isinstance(node.ctx, ast.Store):
                found.add(node.attr if isinstance(node, ast.Attribute) else node.id)
    return {name for name in found if not name.startswith("__")}


def _data(trees: Iterable[ast.Module]) -> set[str]:
    """Keywords of functions that take any: they come out as the names of values."""
    nodes = [node for tree in trees for node in ast.walk(tree)]
    takers = {node.name for node in nodes if isinstance(node, ast.FunctionDef) and node.args.kwarg}
    calls = [node for node in nodes if isinstance(node, ast.Call) and _called(node) in takers]
    return {word.arg for call in calls for word in call.keywords if word.arg}


def _called(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def _short_names() -> Iterator[str]:
    for pair in itertools.product(string.ascii_letters + "_", string.ascii_letters + string.digits):
        name = "".join(pair)
        if not keyword.iskeyword(name):
            yield name
    raise RuntimeError("no short names are left")


def _minified(tree: ast.Module) -> str:
    return python_minifier.minify(
        ast.unparse(tree),
        remove_literal_statements=True,
        rename_locals=True,
        rename_globals=True,
        preserve_globals=_public_names(tree),
    )


def _public_names(tree: ast.Module) -> list[str]:
    """Names that other files of the engine may use."""
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    names |= {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.ClassDef)}
    names |= {node.asname or node.name for node in ast.walk(tree) if isinstance(node, ast.alias)}
    return sorted(names)


def main() -> None:
    """Write to the folder that was named, else to standard output."""
    files = packed_engine()
    if len(sys.argv) == 1:
        sys.stdout.write(json.dumps(files))
        return
    for name, text in files.items():
        (Path(sys.argv[1]) / name).write_text(text)


if __name__ == "__main__":
    main()
