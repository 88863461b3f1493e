"""How far the engine is from its sources: the report of `deploy/test --checks`.

A line is either a calculation's rows in the CSV files, computed in both runtimes, or a
comparison with a library that a test module offers as `library_checks() -> list[Check]`.
"""

import importlib
import json
import math
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from flarenut.trade import glossary
from tests.trade import handbook
from tests.trade.runtimes import here, on_the_phone

HERE = Path(__file__).parent
HEADINGS = ("calculation", "what", "cases", "worst error", "allowed", "unit", "source", "mark")
# What a word, a list or a code differs by: it is the expected one or it is not.
EQUAL, UNEQUAL = 0.0, 1.0
DIFFER = "differ"
# Outputs that say nothing without what they belong to.
OF_A_GROUP = {"high", "low", "likely", "limit", "value"}
WIDEST = 60


class Check(NamedTuple):
    """The worst of several cases of one calculation against one source."""

    calculation: str
    what: str
    cases: int
    worst_error: float
    unit: str
    allowed: float
    source: str
    mark: str

    def holds(self) -> bool:
        """Whether even the worst case is near enough; an error that is no number never is."""
        return self.worst_error <= self.allowed


def collect() -> list[Check]:
    """All checks by calculation, those of the CSV files first."""
    return sorted([*handbook_checks(), *library_checks()], key=lambda check: check.calculation)


def handbook_checks() -> list[Check]:
    """The rows of the CSV files, one line for each output of a calculation and each mark."""
    cases = handbook.cases()
    phone = on_the_phone([(calculation, inputs) for calculation, _, inputs in cases])
    answers = {
        (calculation, case): (here(calculation, inputs), on_phone)
        for (calculation, case, inputs), on_phone in zip(cases, phone, strict=True)
    }
    lines: dict[tuple[str, str, str, str], list[Check]] = {}
    for row in handbook.rows():
        check = _checked(row, answers=answers[(row.calculation, row.case)])
        lines.setdefault((check.calculation, check.what, check.unit, check.mark), []).append(check)
    return [_worst(checks) for checks in lines.values()]


def library_checks() -> list[Check]:
    """What the test modules compare with a library, module by module."""
    return [check for module in _modules() for check in module.library_checks()]


def _spelt(value: Any) -> str:
    """The runtimes keep the fields of a record in different orders."""
    return value if isinstance(value, str) else json.dumps(value, sort_keys=True)


def error_of(value: Any, *, expected: str) -> float:
    """How far a value is from the expected one; for a word, whether it is another."""
    try:
        if isinstance(value, bool) or not isinstance(value, float | int):
            wanted = expected if isinstance(value, str) else _spelt(json.loads(expected))
            return EQUAL if _spelt(value) == wanted else UNEQUAL
        return abs(value - float(expected))
    except ValueError:
        return math.inf


def table(checks: list[Check]) -> str:
    """The report, in columns."""
    lines = [HEADINGS, *(_cells(check) for check in checks)]
    widths = [max(len(line[column]) for line in lines) for column in range(len(HEADINGS))]
    rows = ["  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip() for line in lines]
    return "\n".join([rows[0], "-" * len(rows[0]), *rows[1:]])


def _modules() -> Iterator[Any]:
    for path in sorted(HERE.glob("test_*.py")):
        if "def library_checks(" in path.read_text():
            yield importlib.import_module(f"tests.trade.{path.stem}")


def _checked(row: handbook.Expected, *, answers: tuple[Any, Any]) -> Check:
    """The worse of the two runtimes; a path that leads nowhere is as wrong as can be."""
    error = 0.0
    unit = ""
    for answer in answers:
        try:
            value = handbook.look_up(answer, output=row.output)
        except (KeyError, IndexError, StopIteration, TypeError):
            error = math.inf
            continue
        error = max(error, error_of(value, expected=row.expected))
        if isinstance(value, bool) or not isinstance(value, float | int):
            unit = DIFFER
    *_, group, output = ["", *re.sub(r"\[.*?\]", "", row.output).split(".")]
    what = f"{group}.{output}" if output in OF_A_GROUP else output
    if unit == DIFFER:
        what = "verdicts, codes, errors"
    return Check(row.calculation, what, 1, error, unit or _unit_of(row), row.tolerance, row.source, row.mark)


def _unit_of(row: handbook.Expected) -> str:
    """The unit of a number: of its name, else the one told beside it; a count or a share has none."""
    place, _, output = row.output.rpartition(".")
    if output in OF_A_GROUP and place.endswith((".limits", ".values")):
        answer = here(row.calculation, row.inputs)
        try:
            return str(handbook.look_up(answer, output=f"{place}.unit"))
        except KeyError:
            return ""
    name = output.split("[")[0]
    return glossary.unit_of(name) or glossary.unit_in_name(name) or ""


def _worst(checks: list[Check]) -> Check:
    """The case that comes nearest to what is allowed, or goes farthest beyond, stands for all."""
    worst = max(checks, key=lambda one: (one.worst_error - one.allowed > 0, _share(one)))
    sources = dict.fromkeys([worst.source, *(check.source for check in checks)])
    return worst._replace(cases=len(checks), source="; ".join(sources))


def _share(check: Check) -> float:
    return check.worst_error / check.allowed if check.allowed else check.worst_error


def _cut(text: str) -> str:
    return text if len(text) <= WIDEST else text[: WIDEST - 3] + "..."


def _cells(check: Check) -> tuple[str, ...]:
    mark = check.mark if check.holds() else f"{check.mark}  TOO FAR"
    return (
        check.calculation,
        _cut(check.what),
        str(check.cases),
        f"{check.worst_error:.3g}",
        f"{check.allowed:.3g}",
        check.unit,
        _cut(check.source),
        mark,
    )


def main() -> int:
    """Print the report; say how many lines are too far from their source."""
    checks = collect()
    wrong = [check for check in checks if not check.holds()]
    sys.stdout.write(table(checks) + "\n")
    cases = sum(check.cases for check in checks)
    sys.stdout.write(f"{len(checks)} lines, {cases} cases, {len(wrong)} too far from the source\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
