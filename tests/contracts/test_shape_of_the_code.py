"""How the code is laid out: who imports whom, how long a file is, and what there is only one of."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import DateTime

from flarenut.config import SETTINGS
from flarenut.db import db

NOUNS = ("people", "jobs", "visits", "issues", "readings", "photos", "planning", "sync")

# What a file of that name in a noun's folder may not import: routes -> verbs, reads -> tables -> db.
FORBIDDEN = {
    "tables": r"flarenut\.\w+\.(routes|verbs|reads|shapes)|flask(\.|$)|flarenut\.trade",
    "shapes": r"flarenut\.\w+\.(routes|verbs|reads)|flask(\.|$)",
    "verbs": r"flarenut\.\w+\.routes|flask(\.|$)|flask_smorest",
    "reads": r"flarenut\.\w+\.(routes|verbs)|flask(\.|$)|flask_smorest",
}

LONGEST_FILE = 400  # lines; 300 is when to split
LONGEST_FUNCTION = 35  # lines, its docstring among them; most are under 15
# Tables, texts and what a program wrote may be as long as they must.
EXEMPT = re.compile(r"(/tables\.py|/text/|/versions/|\.csv|\.json|\.lock|/generated/|\.generated\.|messages\.)")


def _python(project: Path, *folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted((project / folder).rglob("*.py"))


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            found |= {node.module, *(f"{node.module}.{name.name}" for name in node.names)}
    return found


def test_imports_run_one_way(project: Path) -> None:
    wrong = [
        f"{path.relative_to(project)} imports {name}"
        for noun in NOUNS
        for stem, forbidden in FORBIDDEN.items()
        if (path := project / "server/flarenut" / noun / f"{stem}.py").exists()
        for name in _imports(path)
        if re.match(forbidden, name)
    ]

    assert wrong == []


def test_only_routes_and_their_kin_know_the_web(project: Path) -> None:
    """A verb that knew of HTTP could not be called by sync, by the command line or by a test."""
    verbs = [path for path in _python(project, "server/flarenut") if path.name == "verbs.py"]

    assert len(verbs) >= 5
    assert [str(path) for path in verbs if any(name.startswith(("flask", "werkzeug")) for name in _imports(path))] == []


def test_there_is_one_commit(project: Path) -> None:
    commits = [
        f"{path.name}: {line.strip()}"
        for path in _python(project, "server")
        for line in path.read_text().splitlines()
        if ".commit(" in line
    ]

    assert commits == ["db.py: db.session.commit()"]


def test_no_file_is_too_long_to_read(project: Path) -> None:
    kinds = {".py", ".ts", ".tsx", ".css", ".html"}
    paths = [
        path
        for folder in ("server", "pwa/src", "tests", "migrations", "demo_seed")
        for path in sorted((project / folder).rglob("*"))
        if path.suffix in kinds and not EXEMPT.search(str(path)) and "node_modules" not in path.parts
    ]
    lengths = {str(path.relative_to(project)): len(path.read_text().splitlines()) for path in paths}

    assert len(lengths) > 50
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE} == {}


def test_no_function_of_the_server_is_too_long_to_read(project: Path) -> None:
    lengths = {
        f"{path.relative_to(project)}: {node.name}": (node.end_lineno or 0) - node.lineno + 1
        for path in _python(project, "server")
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.FunctionDef)
    }

    assert len(lengths) > 200
    assert {name: lines for name, lines in lengths.items() if lines > LONGEST_FUNCTION} == {}


@pytest.mark.parametrize("word", ["utils", "helpers", "manager", "common"])
def test_no_file_is_a_drawer_for_anything(project: Path, word: str) -> None:
    """Of code, that is: sentences that every screen shows may well be called common."""
    names = [path for folder in ("server", "tests", "pwa/src") for path in (project / folder).rglob(f"*{word}*")]

    assert [str(path) for path in names if path.suffix in {"", ".py", ".ts", ".tsx", ".mjs"}] == []


def test_init_files_hold_no_logic(project: Path) -> None:
    allowed = (ast.Import, ast.ImportFrom, ast.Assign, ast.AnnAssign, ast.Expr)
    wrong = [
        str(path.relative_to(project))
        for path in _python(project, "server", "tests")
        if path.name == "__init__.py"
        and not all(isinstance(node, allowed) for node in ast.parse(path.read_text()).body)
    ]

    assert wrong == []


def test_every_setting_is_in_the_example_file_with_its_reason(project: Path) -> None:
    example = (project / "deploy/example.env").read_text()

    named = re.findall(r"^# (.+)\n([A-Z_]+)=", example, re.MULTILINE)

    assert named == [(setting.why, setting.name) for setting in SETTINGS]


def test_no_setting_is_read_past_the_one_table(project: Path) -> None:
    readers = [path.name for path in _python(project, "server") if re.search(r"os\.(environ|getenv)", path.read_text())]

    assert readers == ["config.py"]


def test_times_are_kept_with_their_zone_and_named_as_times() -> None:
    columns = [
        column for table in db.metadata.sorted_tables for column in table.columns if isinstance(column.type, DateTime)
    ]
    others = {"previous_until", "at"}

    assert columns
    assert [str(column) for column in columns if not column.type.timezone] == []
    assert {column.name for column in columns if not column.name.endswith("_at")} <= others


# Screens without a line of their own that says how sync stands: before anybody is known, where the screen itself
# is about sync.
WITHOUT_THE_LINE = {
    "sign-in/index.tsx",
    "you/index.tsx",
    "answer/index.tsx",
}


def test_how_sync_stands_is_said_on_every_screen(project: Path) -> None:
    screens = project / "pwa" / "src" / "screens"

    written = {str(path.relative_to(screens)): path.read_text() for path in screens.rglob("*.tsx")}

    found = [(name, one) for name, text in written.items() for one in re.split(r"<Screen\s", text)[1:]]
    silent = {name for name, one in found if "<LiveSync" not in one.partition("</Screen>")[0]}
    assert silent == WITHOUT_THE_LINE
