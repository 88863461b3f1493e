"""The one door to the engine: a calculation's name and JSON text in, JSON text out."""

import json

from . import (
    addresses,
    air_side,
    barometer,
    categories,
    critical_path,
    extra_charge,
    gauges,
    job_plan,
    joint_geometry,
    port_check_plan,
    port_check_read,
    port_switches,
    pressure_hold,
    ranges,
    ready_chance,
    return_plan,
    room_limit,
    round_order,
    saturation,
    supply,
    tubes,
    unit_count,
    vacuum,
    vacuum_limits,
)

# Kept with every reading: raise it when a verdict or a number can come out differently.
VERSION = "1.2.0"

CALCULATIONS = [
    (supply.NAME, supply.WHAT, supply.supply_power, supply.INPUTS, supply.OUTPUTS),
    (
        pressure_hold.NAME,
        pressure_hold.WHAT,
        pressure_hold.pressure_hold,
        pressure_hold.INPUTS,
        pressure_hold.OUTPUTS,
    ),
    (
        vacuum.NAME,
        vacuum.WHAT,
        vacuum.vacuum_stand,
        vacuum.INPUTS,
        vacuum.OUTPUTS,
    ),
    (
        vacuum_limits.NAME,
        vacuum_limits.WHAT,
        vacuum_limits.vacuum_limits,
        vacuum_limits.INPUTS,
        vacuum_limits.OUTPUTS,
    ),
    (
        extra_charge.NAME,
        extra_charge.WHAT,
        extra_charge.extra_charge,
        extra_charge.INPUTS,
        extra_charge.OUTPUTS,
    ),
    (
        tubes.NAME,
        tubes.WHAT,
        tubes.tube_sizes,
        tubes.INPUTS,
        tubes.OUTPUTS,
    ),
    (
        room_limit.NAME,
        room_limit.WHAT,
        room_limit.room_limit,
        room_limit.INPUTS,
        room_limit.OUTPUTS,
    ),
    (
        room_limit.TABLE_NAME,
        room_limit.TABLE_WHAT,
        room_limit.room_limits,
        room_limit.TABLE_INPUTS,
        room_limit.TABLE_OUTPUTS,
    ),
    (
        saturation.NAME,
        saturation.WHAT,
        saturation.saturation,
        saturation.INPUTS,
        saturation.OUTPUTS,
    ),
    (
        gauges.SUPERHEAT,
        gauges.SUPERHEAT_WHAT,
        gauges.superheat,
        gauges.SUPERHEAT_INPUTS,
        gauges.SUPERHEAT_OUTPUTS,
    ),
    (
        gauges.SUBCOOLING,
        gauges.SUBCOOLING_WHAT,
        gauges.subcooling,
        gauges.SUBCOOLING_INPUTS,
        gauges.SUBCOOLING_OUTPUTS,
    ),
    (
        barometer.NAME,
        barometer.WHAT,
        barometer.barometer,
        barometer.INPUTS,
        barometer.OUTPUTS,
    ),
    (air_side.NAME, air_side.WHAT, air_side.air_side, air_side.INPUTS, air_side.OUTPUTS),
    (
        joint_geometry.NAME,
        joint_geometry.WHAT,
        joint_geometry.joint_geometry,
        joint_geometry.INPUTS,
        joint_geometry.OUTPUTS,
    ),
    (
        port_check_plan.NAME,
        port_check_plan.WHAT,
        port_check_plan.port_check_plan,
        port_check_plan.INPUTS,
        port_check_plan.OUTPUTS,
    ),
    (
        port_check_read.NAME,
        port_check_read.WHAT,
        port_check_read.port_check_read,
        port_check_read.INPUTS,
        port_check_read.OUTPUTS,
    ),
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
        ready_chance.NAME,
        ready_chance.WHAT,
        ready_chance.ready_chance,
        ready_chance.INPUTS,
        ready_chance.OUTPUTS,
    ),
    (
        ready_chance.JOB_NAME,
        ready_chance.JOB_WHAT,
        ready_chance.job_chance,
        ready_chance.JOB_INPUTS,
        ready_chance.OUTPUTS,
    ),
    (
        unit_count.NAME,
        unit_count.WHAT,
        unit_count.unit_count,
        unit_count.INPUTS,
        unit_count.OUTPUTS,
    ),
    (
        addresses.NAME,
        addresses.WHAT,
        addresses.addresses,
        addresses.INPUTS,
        addresses.OUTPUTS,
    ),
    (
        port_switches.NAME,
        port_switches.WHAT,
        port_switches.port_switches,
        port_switches.INPUTS,
        port_switches.OUTPUTS,
    ),
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
