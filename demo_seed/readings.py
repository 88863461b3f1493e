"""Readings of the demo, judged by the engine that also judges them on the phone."""

import json
from datetime import datetime
from typing import Any

from demo_seed.calendar import wire_time
from demo_seed.site import Site
from demo_seed.voice import StoryError, Voice, new_id
from flarenut.trade.entry import VERSION, compute

METER = {"name": "Clamp meter A (invented)", "range": "0-1000 V", "resolution": "1 V"}
NOMINAL_V = 460


def record_supply(
    by: Voice, *, site: Site, unit: str, at: datetime, volts: tuple[float, float, float], rotation: str
) -> None:
    """The supply at an outdoor module: three line-to-line voltages and the rotation."""
    names = ("v_ab_v", "v_bc_v", "v_ca_v")
    inputs: dict[str, Any] = {**dict(zip(names, volts, strict=True)), "nominal_v": NOMINAL_V, "rotation": rotation}
    entered = {name: {"text": str(value), "unit": "V"} for name, value in zip(names, volts, strict=True)}
    outputs = computed("supply_power", inputs=inputs)
    system = site.units[unit]["system_id"]
    tag = next(tag for tag, system_id in site.systems.items() if system_id == system)
    by.say(
        "reading.record",
        job=site.job,
        entity=new_id(at),
        at=at,
        calculation="supply_power",
        system_id=system,
        unit_id=site.units[unit]["id"],
        step_id=site.step("supply", system=tag, unit=unit),
        visit_id=site.visit,
        inputs=inputs,
        entered=entered,
        outputs=outputs,
        verdict=outputs["verdict"],
        engine_version=VERSION,
        instrument={**METER, "calibrated_on": f"{at.year}-03-02"},
        reason="",
        replaces_id=None,
        taken_at=wire_time(at),
    )


def computed(name: str, *, inputs: dict[str, Any]) -> dict[str, Any]:
    """What the engine makes of it; a story that it refuses is not told."""
    answer = json.loads(compute(name, json.dumps(inputs)))
    if not answer["ok"]:
        raise StoryError(f"{name}: {answer['error']}")
    return dict(answer["result"])
