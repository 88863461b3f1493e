"""The one door to the engine: a calculation's name and JSON text in, JSON text out."""

import json

from . import (
    categories,
    critical_path,
    job_plan,
    ranges,
    return_plan,
    round_order,
    supply,
)

# Kept with every reading: raise it when a verdict or a number can come out differently.
VERSION = "1.0.0"

CALCULATIONS = [
    (supply.NAME, supply.WHAT, supply.supply_power, supply.INPUTS, supply.OUTPUTS),
    (
        critical_path.NAME,
        critical_path.WHAT,
        critical_path.critical_path,
        critical_path.INPUTS,
        critical_path.OUTPUTS,
    ),
    (
        return_plan.NAME,
        return_plan.WHAT,
        return_plan.return_plan,
        return_plan.INPUTS,
        return_plan.OUTPUTS,
    ),
    (job_plan.NAME, job_plan.WHAT, job_plan.job_plan, job_plan.INPUTS, job_plan.OUTPUTS),
    (
        round_order.NAME,
        round_order.WHAT,
        round_order.round_order,
        round_order.INPUTS,
        round_order.OUTPUTS,
    ),
    (
        categories.NAME,
        categories.WHAT,
        categories.issue_categories,
        categories.INPUTS,
        categories.OUTPUTS,
    ),
]


def compute(name: str, text: str) -> str:
    """Run one calculation. Input that cannot be judged comes back as an error, never raised."""
    try:
        _check_name(name)
        result = _run(name, data=_parse(text))
    except ranges.InputError as error:
        return json.dumps({"ok": False, "error": _described_error(error)})
    return json.dumps({"ok": True, "result": result})


def describe() -> str:
    """Every calculation with its inputs, outputs and units, as a JSON list."""
    return json.dumps(
        [
            _described(name, what=what, inputs=inputs, outputs=outputs)
            for name, what, _, inputs, outputs in CALCULATIONS
        ]
    )


def _check_name(name: str) -> None:
    if name not in [row[0] for row in CALCULATIONS]:
        raise ranges.InputError(
            "unknown_calculation",
            field="name",
            message=name + " is not one of: " + ", ".join([row[0] for row in CALCULATIONS]),
        )


def _run(name: str, *, data: dict[str, object]) -> dict[str, object]:
    return next(run(data) for known, _, run, _, _ in CALCULATIONS if known == name)


def _parse(text: str) -> dict[str, object]:
    try:
        data = _loads(text)
    except (ValueError, RuntimeError):  # The second: nested deeper than the runtime can follow.
        raise _bad_json() from None
    if not isinstance(data, dict):
        raise _bad_json()
    return data


def _loads(text: str) -> object:
    """CPython also reads NaN and Infinity, which are not JSON; MicroPython refuses them."""
    try:
        return json.loads(text, parse_constant=_refuse)
    except TypeError:  # MicroPython takes no options.
        return json.loads(text)


def _refuse(word: str) -> object:
    raise ValueError(word)


def _bad_json() -> ranges.InputError:
    return ranges.InputError(
        "bad_json",
        field="input",
        message="the input is not a JSON object; NaN and Infinity are not JSON",
    )


def _described_error(error: ranges.InputError) -> dict[str, object]:
    return {
        "code": error.code,
        "field": error.field,
        "message": error.message,
        "limits": error.limits,
    }


def _described(
    name: str,
    *,
    what: str,
    inputs: list[tuple[str, str, bool, str]],
    outputs: list[tuple[str, str, str]],
) -> dict[str, object]:
    return {
        "name": name,
        "what": what,
        "inputs": [
            {"name": row[0], "unit": row[1], "required": row[2], "note": row[3]} for row in inputs
        ],
        "outputs": [{"name": row[0], "unit": row[1], "note": row[2]} for row in outputs],
    }
