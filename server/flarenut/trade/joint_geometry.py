"""How a joint or a branch box is piped: straight runs before and after it, and how it lies."""

from . import limits, ranges, verdicts

NAME = "joint_geometry"
WHAT = "Straight runs and attitude of a joint or branch box"

LONGEST_RUN_M = 100.0  # Longer than any run that is measured for this (P).
USUAL_STRAIGHT_M = 0.5  # About 2 ft, 500 to 600 mm, before and after (P).
USUAL_TILT_DEG = 10.0  # What the eye and a small level tell from level (P).
STEEPEST_DEG = 90.0
LARGEST_TILT_LIMIT_DEG = 45.0  # Beyond it level and vertical are the same.

ATTITUDES = ["level", "vertical", "other"]

INPUTS = [
    ("straight_before_m", "m", True, "straight tube before it, 0 to 100"),
    ("straight_after_m", "m", True, "straight tube after it, shortest outlet, 0 to 100"),
    ("straight_limit_m", "m", False, "0.5 when absent (P), 0 to 100"),
    ("straight_limit_source", "", False, "where that limit comes from"),
    ("straight_limit_mark", "", False, "S, L, H, P or M"),
    ("attitude", "", True, "level, vertical or other"),
    ("tilt_deg", "deg", False, "away from level or vertical, 0 to 90; needed with these"),
    ("tilt_limit_deg", "deg", False, "10 when absent (P), 0 to 45"),
    ("tilt_limit_source", "", False, "where that limit comes from"),
    ("tilt_limit_mark", "", False, "S, L, H, P or M"),
]
OUTPUTS = [
    ("verdict", "", "pass, fail"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def joint_geometry(data: dict[str, object]) -> dict[str, object]:
    """Verdict on one joint: both straight runs and its attitude must be right."""
    before_m = _read_run(data, "straight_before_m")
    after_m = _read_run(data, "straight_after_m")
    straight = _read_limit(
        data, "straight_limit", unit="m", usual=USUAL_STRAIGHT_M, high=LONGEST_RUN_M
    )
    attitude = ranges.choice(data, "attitude", choices=ATTITUDES)
    tilt = _read_limit(
        data, "tilt_limit", unit="deg", usual=USUAL_TILT_DEG, high=LARGEST_TILT_LIMIT_DEG
    )
    is_straight = before_m >= straight.value and after_m >= straight.value
    is_attitude_right, about_attitude = _judge_attitude(data, attitude=attitude, limit=tilt)
    todo = [] if is_straight else ["next.pipe_the_straight_run_again"]
    if not is_attitude_right:
        todo.append("next.set_the_joint_right")
    return {
        "verdict": verdicts.FAIL if todo else verdicts.PASS,
        "reasons": [
            _about_run("straight_before", value=before_m, limit=straight),
            _about_run("straight_after", value=after_m, limit=straight),
            about_attitude,
        ],
        "next": todo,
        "cautions": ["caution.opening_the_circuit"] if todo else [],
    }


def _read_run(data: dict[str, object], name: str) -> float:
    return ranges.number(data, name, low=0.0, high=LONGEST_RUN_M, unit="m")


def _read_limit(
    data: dict[str, object], name: str, *, unit: str, usual: float, high: float
) -> limits.Limit:
    field = name + "_" + unit
    if data.get(field) is None:
        return limits.usual(usual, unit=unit)
    value = ranges.number(data, field, low=0.0, high=high, unit=unit)
    return limits.given(data, name, value=value, unit=unit)


def _about_run(name: str, *, value: float, limit: limits.Limit) -> dict[str, object]:
    return limit.compared(name + ("_too_short" if value < limit.value else "_enough"), value=value)


def _judge_attitude(
    data: dict[str, object], *, attitude: str, limit: limits.Limit
) -> tuple[bool, dict[str, object]]:
    """Whether the joint lies right, and why."""
    if attitude == "other":
        return False, verdicts.reason(
            "joint_neither_level_nor_vertical",
            source=limits.COMMON,
            mark=verdicts.COMMON_PRACTICE,
        )
    tilt_deg = ranges.number(data, "tilt_deg", low=0.0, high=STEEPEST_DEG, unit="deg")
    code = "joint_" + attitude
    if tilt_deg > limit.value:
        return False, limit.compared(code + "_tilted", value=tilt_deg)
    return True, limit.compared(code + "_within_tilt", value=tilt_deg)
