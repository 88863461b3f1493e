"""The supply of an outdoor module: rotation, voltage, unbalance."""

import math

from . import limits, ranges, verdicts

NAME = "supply_power"
WHAT = "Three-phase supply of one outdoor module: rotation, nominal voltage, unbalance"

HIGHEST_V = 1000.0  # Upper end of low voltage for alternating current (M).
LOWEST_NOMINAL_V = 50.0  # Nothing in this trade is fed with less (M).
HIGHEST_A = 5000.0  # Above any low-voltage feeder of this trade (M).
HIGHEST_TOLERANCE_PCT = 20.0  # A wider tolerance would pass a wrong nominal voltage (P).

BEST_UNBALANCE_PCT = 1.0  # NEMA MG-1: motors run best at most at this (S).
NEVER_UNBALANCE_PCT = 5.0  # NEMA MG-1: never run above this (S).
USUAL_UNBALANCE_PCT = 2.0  # Usual for this equipment, no source (P).
USUAL_TOLERANCE_PCT = 10.0  # Of the nominal voltage, from memory (M).

NEMA = "NEMA MG-1"
MEMORY = "from memory"

ROTATIONS = ["forward", "reverse", "not_measured"]
CAUTIONS = ["caution.supply"]

INPUTS = [
    ("v_ab_v", "V", True, "line to line, first to second conductor, 0 to 1000"),
    ("v_bc_v", "V", True, "line to line, second to third conductor, 0 to 1000"),
    ("v_ca_v", "V", True, "line to line, third to first conductor, 0 to 1000"),
    ("nominal_v", "V", True, "line to line, from the nameplate, 50 to 1000"),
    ("rotation", "", True, "forward, reverse or not_measured"),
    ("i_a_a", "A", False, "all three currents or none, 0 to 5000"),
    ("i_b_a", "A", False, "all three currents or none, 0 to 5000"),
    ("i_c_a", "A", False, "all three currents or none, 0 to 5000"),
    ("unbalance_limit_pct", "%", False, "2 when absent (P), more than 0, at most 5 (NEMA MG-1)"),
    ("unbalance_limit_source", "", False, "where that limit comes from"),
    ("unbalance_limit_mark", "", False, "S, L, H, P or M"),
    ("tolerance_pct", "%", False, "10 when absent (M), more than 0, at most 20"),
    ("tolerance_source", "", False, "where that limit comes from"),
    ("tolerance_mark", "", False, "S, L, H, P or M"),
]
OUTPUTS = [
    ("mean_v", "V", "mean of the three line-to-line voltages"),
    ("unbalance_pct", "%", "largest deviation from the mean, of the mean (NEMA MG-1)"),
    ("true_unbalance_pct", "%", "negative-sequence over positive-sequence voltage"),
    ("deviation_pct", "%", "of the voltage farthest from nominal, signed, of nominal"),
    ("current_unbalance_pct", "%", "as unbalance_pct; null without currents or at no load"),
    ("verdict", "", "pass, fail, unclear"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def supply_power(data: dict[str, object]) -> dict[str, object]:
    """Verdict on the supply of one outdoor module, from one set of readings."""
    volts = _read_voltages(data)
    nominal_v = ranges.number(data, "nominal_v", low=LOWEST_NOMINAL_V, high=HIGHEST_V, unit="V")
    rotation = ranges.choice(data, "rotation", choices=ROTATIONS)
    unbalance = _read_unbalance_limit(data)
    tolerance = _read_tolerance(data)
    amperes = _read_currents(data)
    pct = unbalance_pct(v_ab_v=volts[0], v_bc_v=volts[1], v_ca_v=volts[2])
    deviation = deviation_pct(volts, nominal_v=nominal_v)
    found = [
        _judge_rotation(rotation),
        _judge_unbalance(pct, limit=unbalance),
        _judge_deviation(deviation, limit=tolerance),
    ]
    verdict = verdicts.worst([one.verdict for one in found])
    return {
        "mean_v": (volts[0] + volts[1] + volts[2]) / 3.0,
        "unbalance_pct": pct,
        "true_unbalance_pct": true_unbalance_pct(v_ab_v=volts[0], v_bc_v=volts[1], v_ca_v=volts[2]),
        "deviation_pct": deviation,
        "current_unbalance_pct": _current_unbalance_pct(amperes),
        "verdict": verdict,
        "reasons": [reason for one in found for reason in one.reasons],
        "next": _next(found, verdict=verdict),
        "cautions": list(CAUTIONS),
    }


def unbalance_pct(*, v_ab_v: float, v_bc_v: float, v_ca_v: float) -> float:
    """Voltage unbalance of a three-phase supply.

    Valid for   three line-to-line readings taken together, not all nought
    Formula     100 * max|V - mean| / mean                                       [A]
    Inputs      v_ab_v, v_bc_v, v_ca_v   line-to-line voltage                    [V]
    Returns     unbalance                                                        [%]
    Source A    NEMA MG-1, definition of percent voltage unbalance (S, read in a quotation)
    """
    mean = (v_ab_v + v_bc_v + v_ca_v) / 3.0
    farthest = max(abs(v_ab_v - mean), abs(v_bc_v - mean), abs(v_ca_v - mean))
    return 100.0 * farthest / mean


def true_unbalance_pct(*, v_ab_v: float, v_bc_v: float, v_ca_v: float) -> float:
    """Negative-sequence over positive-sequence voltage, from three magnitudes.

    Valid for   three line-to-line readings that can form a triangle
    Formula     b = (a^4 + b^4 + c^4) / (a^2 + b^2 + c^2)^2, r = sqrt(3 - 6 b),
                100 * sqrt((1 - r) / (1 + r))                                    [A]
    Inputs      v_ab_v, v_bc_v, v_ca_v   line-to-line voltage                    [V]
    Returns     unbalance                                                        [%]
    Source A    symmetrical components of a closed triangle of voltages (H)
    """
    squares = [v_ab_v * v_ab_v, v_bc_v * v_bc_v, v_ca_v * v_ca_v]
    total = squares[0] + squares[1] + squares[2]
    fourth = squares[0] * squares[0] + squares[1] * squares[1] + squares[2] * squares[2]
    # Rounding can push a perfect or a flat triangle a hair outside 0 to 1.
    inside = min(1.0, max(0.0, 3.0 - 6.0 * fourth / (total * total)))
    root = math.sqrt(inside)
    return 100.0 * math.sqrt((1.0 - root) / (1.0 + root))


def deviation_pct(volts: list[float], *, nominal_v: float) -> float:
    """How far the farthest of the three voltages is from nominal, signed.

    Formula     100 * (V - nominal) / nominal, of the V with the largest |V - nominal|
    Inputs      volts, nominal_v         line-to-line voltage                    [V]
    Returns     deviation, negative when below nominal                           [%]
    """
    farthest = volts[0]
    for voltage in volts:
        if abs(voltage - nominal_v) > abs(farthest - nominal_v):
            farthest = voltage
    return 100.0 * (farthest - nominal_v) / nominal_v


class _Finding:
    """What one of the checks came to."""

    def __init__(self, verdict: str, *, reasons: list[dict[str, object]], todo: list[str]) -> None:
        self.verdict = verdict
        self.reasons = reasons
        self.todo = todo


def _read_voltages(data: dict[str, object]) -> list[float]:
    names = ["v_ab_v", "v_bc_v", "v_ca_v"]
    volts = [ranges.number(data, name, low=0.0, high=HIGHEST_V, unit="V") for name in names]
    total = volts[0] + volts[1] + volts[2]
    if total == 0.0:
        raise ranges.contradictory(names[0], message="no voltage at all: there is nothing to judge")
    for index, name in enumerate(names):
        others = total - volts[index]
        if volts[index] > others:
            raise ranges.InputError(
                "contradictory",
                field=name,
                message=name + " is more than the other two together: read them again",
                limits={"low": 0.0, "high": others, "unit": "V"},
            )
    return volts


def _read_unbalance_limit(data: dict[str, object]) -> limits.Limit:
    if data.get("unbalance_limit_pct") is None:
        return limits.usual(USUAL_UNBALANCE_PCT, unit="%")
    value = ranges.number(data, "unbalance_limit_pct", low=0.1, high=NEVER_UNBALANCE_PCT, unit="%")
    return limits.given(data, "unbalance_limit", value=value, unit="%")


def _read_tolerance(data: dict[str, object]) -> limits.Limit:
    if data.get("tolerance_pct") is None:
        return limits.Limit(USUAL_TOLERANCE_PCT, unit="%", source=MEMORY, mark=verdicts.FROM_MEMORY)
    value = ranges.number(data, "tolerance_pct", low=0.1, high=HIGHEST_TOLERANCE_PCT, unit="%")
    return limits.given(data, "tolerance", value=value, unit="%")


def _read_currents(data: dict[str, object]) -> list[float]:
    names = ["i_a_a", "i_b_a", "i_c_a"]
    if all(data.get(name) is None for name in names):
        return []
    return [ranges.number(data, name, low=0.0, high=HIGHEST_A, unit="A") for name in names]


def _current_unbalance_pct(amperes: list[float]) -> float | None:
    if not amperes or max(amperes) == 0.0:
        return None
    return unbalance_pct(v_ab_v=amperes[0], v_bc_v=amperes[1], v_ca_v=amperes[2])


def _judge_rotation(rotation: str) -> _Finding:
    if rotation == "reverse":
        todo = ["next.swap_two_conductors", "next.suspect_the_feeder"]
        why = verdicts.reason(
            "rotation_reverse", source=limits.COMMON, mark=verdicts.COMMON_PRACTICE
        )
        return _Finding(verdicts.FAIL, reasons=[why], todo=todo)
    if rotation == "not_measured":
        why = verdicts.reason("rotation_not_measured")
        return _Finding(verdicts.UNCLEAR, reasons=[why], todo=["next.measure_rotation"])
    return _Finding(verdicts.PASS, reasons=[verdicts.reason("rotation_forward")], todo=[])


def _judge_unbalance(pct: float, *, limit: limits.Limit) -> _Finding:
    reasons: list[dict[str, object]] = []
    if pct > NEVER_UNBALANCE_PCT:
        reasons.append(_nema("unbalance_over_never", value=pct, limit=NEVER_UNBALANCE_PCT))
    if pct > limit.value:
        reasons.append(limit.compared("unbalance_over_limit", value=pct))
        todo = ["next.find_unbalance"]
        if pct > NEVER_UNBALANCE_PCT:
            todo = ["next.do_not_start", "next.find_unbalance"]
        return _Finding(verdicts.FAIL, reasons=reasons, todo=todo)
    reasons.append(limit.compared("unbalance_within_limit", value=pct))
    if pct > BEST_UNBALANCE_PCT:
        reasons.append(_nema("unbalance_above_best", value=pct, limit=BEST_UNBALANCE_PCT))
    return _Finding(verdicts.PASS, reasons=reasons, todo=[])


def _judge_deviation(deviation: float, *, limit: limits.Limit) -> _Finding:
    if abs(deviation) > limit.value:
        reasons = [limit.compared("deviation_over_limit", value=deviation)]
        return _Finding(verdicts.FAIL, reasons=reasons, todo=["next.correct_the_voltage"])
    reasons = [limit.compared("deviation_within_limit", value=deviation)]
    return _Finding(verdicts.PASS, reasons=reasons, todo=[])


def _nema(code: str, *, value: float, limit: float) -> dict[str, object]:
    return verdicts.against_limit(
        code, value=value, limit=limit, unit="%", source=NEMA, mark=verdicts.READ_IN_SOURCE
    )


def _next(found: list[_Finding], *, verdict: str) -> list[str]:
    todo = [code for one in found for code in one.todo]
    if verdict == verdicts.FAIL:
        todo.append("next.measure_again_before_start")
    return todo
