"""What all shares of the seeds say together, wherever each of them ran."""

from typing import Any

from tests.model.bench import STEPS

# Each is a test of its own, so that a run of several processes ends with all of them busy; and yet twenty seeds long,
# as a program that has run some is a quarter quicker with the next.
SHARES = 25
COUNTED = ("written", "requests", "kills", "undone")


def of_seeds(told: list[dict[str, Any]], *, seconds: float) -> dict[str, float]:
    """One share, in figures that can be added up."""
    figures = {name: sum(int(one[name] or 0) for one in told) for name in COUNTED}
    return {
        **figures,
        "seeds": len(told),
        "seconds": seconds,
        "slowest_ms": max((one["empty_ms"] for one in told), default=0),
        "slowest_photos_ms": max((one["photos_ms"] for one in told), default=0),
    }


def in_words(shares: list[dict[str, float]]) -> str:
    """One line for all of them."""
    total = {name: sum(share[name] for share in shares) for name in (*COUNTED, "seeds", "seconds")}
    slowest_s, photos_s = (max(share[name] for share in shares) / 1000 for name in ("slowest_ms", "slowest_photos_ms"))
    return (
        f"{total['seeds']} seeds of {STEPS} steps in {len(shares)} of {SHARES} shares,"
        f" {total['seconds'] / total['seeds']:.2f} s each: {total['written']} mutations, {total['requests']} requests,"
        f" {total['kills']} kills, {total['undone']} writes cut in the middle;"
        f" the slowest queue was empty after {slowest_s} s, its photos sent after {photos_s} s"
    )
