"""How the app writes days and hours on these devices (American English), told apart from the app's own code."""

from datetime import date, datetime
from zoneinfo import ZoneInfo

HARD_SPACE = "\N{NO-BREAK SPACE}"
MINUTE_S, QUARTER_S, HOUR_S = 60, 900, 3600


def day_shown(day: date) -> str:
    """Such as "Fri Nov 27"."""
    return f"{day:%a %b} {day.day}"


def moment_shown(at_s: float, *, zone: str) -> str:
    """Such as "Fri Nov 27, 14:10", by the clock of the site."""
    at = datetime.fromtimestamp(at_s, ZoneInfo(zone))
    return f"{day_shown(at)}, {at:%H:%M}"


def moments_shown(first_s: float, last_s: float, *, zone: str) -> set[str]:
    """Every minute from one moment to another: a plan goes with the clock while a story looks at it."""
    minutes = range(int(first_s), int(last_s) + 1, MINUTE_S)
    return {moment_shown(at_s, zone=zone) for at_s in (*minutes, last_s)}


def hours_shown(seconds: float) -> str:
    """Work of less than a day, such as "5 h 45 min": to a quarter of an hour, from eight hours on to the hour."""
    step_s = QUARTER_S if seconds < 8 * HOUR_S else HOUR_S
    hours, rest_s = divmod(int(seconds / step_s + 0.5) * step_s, HOUR_S)
    words = [f"{hours:.0f}", "h"] + ([f"{rest_s // MINUTE_S:.0f}", "min"] if rest_s else [])
    return HARD_SPACE.join(words)
