"""Dee's holds of the demo, written down look by look as the phone does: each look replaces the one before."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from demo_seed.calendar import wire_time
from demo_seed.people import DEE
from demo_seed.readings import computed
from demo_seed.site import Site
from demo_seed.voice import Voice, new_id
from flarenut.trade.entry import VERSION

PSI_PA, MICRON_PA, LITRE_M3 = 6894.757293168361, 0.13332236842105263, 0.001
GAUGE = {"name": "Digital gauge G (invented)", "range": "0-800 psi", "resolution": "0.1 psi"}
VACUUM_GAUGE = {"name": "Vacuum gauge V (invented)", "range": "0-12,000 micron", "resolution": "1 micron"}


@dataclass(frozen=True)
class Look:
    """One look at the gauges: what was typed, with its unit, and what that is in SI."""

    at: datetime
    typed: dict[str, tuple[str, str]]
    si: dict[str, float]


@dataclass(frozen=True)
class Kind:
    """What is set up once for all looks of a hold, and the step that it settles."""

    calculation: str
    step: str
    instrument: dict[str, str]
    typed: dict[str, tuple[str, str]]
    si: dict[str, Any]


PRESSURE = Kind(
    calculation="pressure_hold",
    step="pressure_hold",
    instrument=GAUGE,
    typed={
        "volume_m3": ("30", "L"),
        "gauge_resolution_pa": ("0.1", "psi"),
        "temperature_uncertainty_k": ("0.2", "K"),
        "leak_to_exclude_pa_m3_s": ("0.01", "Pa·m³/s"),
    },
    si={
        "volume_m3": 30 * LITRE_M3,
        "gauge_resolution_pa": 0.1 * PSI_PA,
        "temperature_uncertainty_k": 0.2,
        "leak_to_exclude_pa_m3_s": 0.01,
    },
)

_PUBLISHED = "UFGS 15182"  # The limits that the phone offers, as its list of published ones has them.
VACUUM = Kind(
    calculation="vacuum_stand",
    step="standing_vacuum",
    instrument=VACUUM_GAUGE,
    typed={
        "criterion": ("ufgs_15182", ""),
        "limit_pa": ("500", "micron"),
        "hold_s": ("1", "h"),
        "coldest_c": ("15", "°C"),
        "volume_m3": ("30", "L"),
    },
    si={
        "limit_pa": 500 * MICRON_PA,
        "hold_s": 3600,
        "pump_down_pa": 300 * MICRON_PA,
        "coldest_c": 15,
        "volume_m3": 30 * LITRE_M3,
        **{f"{name}_source": _PUBLISHED for name in ("limit", "hold", "pump_down")},
        **{f"{name}_mark": "S" for name in ("limit", "hold", "pump_down")},
    },
)


def gauge_look(at: datetime, *, psi: float, pipe_c: float) -> Look:
    typed = {"gauge_pa": (f"{psi:g}", "psi"), "temperature_c": (f"{pipe_c:g}", "°C")}
    return Look(at=at, typed=typed, si={"gauge_pa": psi * PSI_PA, "temperature_c": pipe_c})


def vacuum_look(at: datetime, *, micron: int) -> Look:
    return Look(at=at, typed={"pressure_pa": (str(micron), "micron")}, si={"pressure_pa": micron * MICRON_PA})


def record_hold(by: Voice, kind: Kind, *, site: Site, system: str, looks: list[Look]) -> None:
    """The first look begins the hold; the last one settles the step."""
    points = [(new_id(look.at), look) for look in looks]
    before = None
    for count in range(1, len(points) + 1):
        before = _record(by, kind, site=site, system=system, points=points[:count], replaces=before)


def _record(
    by: Voice, kind: Kind, *, site: Site, system: str, points: list[tuple[str, Look]], replaces: str | None
) -> str:
    start, at = points[0][1].at, points[-1][1].at
    readings = [{"t_s": (look.at - start).total_seconds(), **look.si} for _, look in points]
    inputs = {**kind.si, "readings": readings}
    outputs = computed(kind.calculation, inputs=inputs)
    reading = new_id(at)
    by.say(
        "reading.record",
        job=site.job,
        entity=reading,
        at=at,
        calculation=kind.calculation,
        system_id=site.systems[system],
        unit_id=None,
        step_id=site.step(kind.step, system=system),
        visit_id=site.visit,
        inputs=inputs,
        entered=_entered(kind, points=points, who=DEE.name),
        outputs=outputs,
        verdict=outputs["verdict"],
        engine_version=VERSION,
        instrument={**kind.instrument, "calibrated_on": f"{at.year}-03-02"},
        reason="",
        replaces_id=replaces,
        taken_at=wire_time(at),
    )
    return reading


def _entered(kind: Kind, *, points: list[tuple[str, Look]], who: str) -> dict[str, dict[str, str]]:
    """As typed; beside each look its own id and moment, by which a phone knows it again."""
    said = dict(kind.typed)
    for place, (point, look) in enumerate(points):
        own = {"id": point, "at": wire_time(look.at), "clock": "phone", "by": who}
        said |= {f"readings[{place}].{name}": (text, "") for name, text in own.items()}
        said |= {f"readings[{place}].{name}": entry for name, entry in look.typed.items()}
    return {name: {"text": text, "unit": unit} for name, (text, unit) in said.items()}
