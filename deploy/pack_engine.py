"""Packs the engine for the phone: the server's own files, without what only people read.

Comments, docstrings and annotations go, and names that no other file uses become short. The lists of inputs and
outputs, which `flarenut compute --list` prints, become empty: the phone has screens instead.
Nothing that computes is changed; the tests of both runtimes run what this script writes.

    python deploy/pack_engine.py            one JSON object, file name to text, for the build
    python deploy/pack_engine.py FOLDER     the same files in a folder, for the tests
"""

import ast
import json
import sys
from pathlib import Path

import python_minifier

ENGINE = Path(__file__).resolve().parents[1] / "server" / "flarenut" / "trade"
FOR_PEOPLE = {"glossary.py"}  # Nothing that computes reads it.
# Constants whose names end so describe a calculation to people.
DESCRIPTIONS = ("INPUTS", "OUTPUTS", "WHAT")


def packed(text: str) -> str:
    """The same program in fewer characters."""
    tree = ast.parse(text)
    for node in tree.body:
        if isinstance(node, ast.Assign) and _is_description(node):
            node.value = ast.Constant("") if isinstance(node.value, ast.Constant) else ast.List([], ast.Load())
    return python_minifier.minify(
        ast.unparse(tree),
        remove_annotations=True,
        remove_literal_statements=True,
        rename_locals=True,
        rename_globals=True,
        preserve_globals=_public_names(tree),
    )


def _public_names(tree: ast.Module) -> list[str]:
    """Names that other files of the engine may use: all that do not begin with an underscore."""
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
    names |= {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef | ast.ClassDef)}
    names |= {node.asname or node.name for node in ast.walk(tree) if isinstance(node, ast.alias)}
    return sorted(name for name in names if not name.startswith("_"))


def _is_description(node: ast.Assign) -> bool:
    return any(isinstance(name, ast.Name) and name.id.endswith(DESCRIPTIONS) for name in node.targets)


def packed_engine() -> dict[str, str]:
    """Every file that the phone runs, by its name."""
    paths = [path for path in sorted(ENGINE.glob("*.py")) if path.name not in FOR_PEOPLE]
    return {path.name: packed(path.read_text()) for path in paths}


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
