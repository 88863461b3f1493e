"""Reading the CSV files of published and derived values."""

import csv
import json
import re
from pathlib import Path
from typing import Any, NamedTuple

FOLDER = Path(__file__).with_name("data")
MARKS = {"S", "L", "H", "P", "M"}


class Expected(NamedTuple):
    """One number or word that a calculation must give."""

    calculation: str
    case: str
    inputs: dict[str, Any]
    output: str
    expected: str
    tolerance: float
    source: str
    mark: str


def rows() -> list[Expected]:
    """All rows of all files; the name of a file is the name of the calculation."""
    return [row for path in sorted(FOLDER.glob("*.csv")) for row in _read(path)]


def cases() -> list[tuple[str, str, dict[str, Any]]]:
    """Each case once: calculation, name, inputs."""
    found = {(row.calculation, row.case): row.inputs for row in rows()}
    return [(calculation, case, inputs) for (calculation, case), inputs in found.items()]


def look_up(answer: dict[str, Any], *, output: str) -> Any:
    """The value at a path such as `tasks[A].float_s`; a list is entered by position or id."""
    value: Any = answer if output.startswith("error.") else answer["result"]
    for part in re.findall(r"[^.\[\]]+(?![^\[]*\])|(?<=\[)[^\]]+(?=\])", output):
        if isinstance(value, list):
            value = value[int(part)] if part.isdigit() else _by_id(value, name=part)
        else:
            value = value[part]
    return value


def _by_id(rows_: list[dict[str, Any]], *, name: str) -> dict[str, Any]:
    return next(row for row in rows_ if row["id"] == name)


def _read(path: Path) -> list[Expected]:
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    found: list[Expected] = []
    for row in csv.DictReader(lines):
        inputs = json.loads(row["inputs"]) if row["inputs"] else found[-1].inputs
        assert row["inputs"] or row["case"] == found[-1].case, row
        assert row["mark"] in MARKS, row
        assert row["source"], row
        found.append(
            Expected(
                calculation=path.stem,
                case=row["case"],
                inputs=inputs,
                output=row["output"],
                expected=row["expected"],
                tolerance=float(row["tolerance"]),
                source=row["source"],
                mark=row["mark"],
            )
        )
    return found
