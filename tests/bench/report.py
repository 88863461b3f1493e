"""The figures as a table, and the goals with yes or no beside each."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

IDLE_BYTES = 400
FLAT_WITHIN = 0.20

DURABILITY = {
    "flarenut": "phone under Node: IndexedDB in memory; server: PostgreSQL with fsync and synchronous_commit on, a"
    " commit for each push; photos flushed to the disk, then renamed",
    "peer, flushed": "client: store in memory; server: LevelDB written with sync (fsync before the answer)",
    "peer, as it comes": "client: store in memory; server: LevelDB without sync, flushed when the system likes",
}


@dataclass(frozen=True)
class Goal:
    """What was promised, what was found."""

    what: str
    wanted: str
    found: str
    is_met: bool

    @property
    def word(self) -> str:
        return "yes" if self.is_met else "NO, missed"


def goals_of(figures: dict[str, Any]) -> list[Goal]:
    """Each against the peer that flushes as the server does."""
    work, peer, idle = figures["work"], figures["peer_flushed"], figures["idle"]
    times = [job["ms"] for job in figures["growth"]]
    spread = max(times) / min(times) - 1
    up, down = idle["up"]["ours"], idle["down"]["ours"]
    is_small = idle["requests"] == 1 and max(up, down) < IDLE_BYTES
    return [
        _times("documents pushed, against the peer", least=4, ratio=peer["push_ms"] / work["push_ms"]),
        _times("photos sent, against the peer", least=2, ratio=peer["photos_ms"] / work["photos_ms"]),
        _times("full pull, against the peer", least=5, ratio=peer["pull_ms"] / work["pull_ms"]),
        Goal("idle sync, headers and body that are ours", f"1 request, < {IDLE_BYTES} B each way",
             f"{idle['requests']} request(s), {up} B up, {down} B down", is_small),
        Goal("pull after one change, by size of job", f"flat within {FLAT_WITHIN:.0%}", f"{spread:.0%} apart",
             spread <= FLAT_WITHIN),
    ]  # fmt: skip


def _times(what: str, *, least: int, ratio: float) -> Goal:
    return Goal(what, f"at least {least} times as fast", f"{ratio:.2f} times as fast", ratio >= least)


def table_of(figures: dict[str, Any]) -> Iterator[str]:
    """Lines for the screen."""
    yield f"{'measured':<46}{'flarenut':>14}{'against':>14}  ratio  against what"
    for what, ours, other, against in _rows(figures):
        yield f"{what:<46}{ours:>11.1f} ms{other:>11.1f} ms{ours / other:>7.2f}  {against}"
    idle = figures["idle"]
    yield f"idle sync: {idle['requests']} request(s), {idle['ms']:.1f} ms"
    for way, told in (("up", idle["up"]), ("down", idle["down"])):
        by_browser = f" ({told['of_the_browser']} B by the browser itself)" if told["of_the_browser"] else ""
        headers, body = f"{told['headers']} B headers{by_browser}", f"{told['body']} B body"
        yield f"  {way:<5}{headers}, {body}; ours to decide: {told['ours']} B"
    for job in figures["growth"]:
        yield f"pull after one change, job of {job['rows']:>6} rows: {job['ms']:.1f} ms"
    cuts = ", ".join(f"{ms / 1_000:.2f}" for ms in figures["recovery_ms"])
    yield f"queue empty after a cut of {figures['sizes']['cut_s']:.0f} s: {cuts} s"
    yield "most memory held: " + ", ".join(f"{name} {mb:.0f} MB" for name, mb in figures["peak_mb"].items())
    yield from (f"durable, {who}: {how}" for who, how in DURABILITY.items())
    yield ""
    yield from (f"{goal.what:<46}{goal.wanted:<30}{goal.found:<36}{goal.word}" for goal in goals_of(figures))


def _rows(figures: dict[str, Any]) -> Iterator[tuple[str, float, float, str]]:
    work, bare, save = figures["work"], figures["bare"], figures["save"]
    yield "one observation saved, Chromium", save["saved"], save["bare"], "a bare strict put"
    push = f"{work['observations']} observations pushed"
    yield push, work["push_ms"], bare["insert_ms"], "a bare multi-row INSERT of the same rows"
    pull = f"full pull, {work['rows']} rows"
    yield pull, work["pull_ms"], bare["select"]["ms"], "a bare SELECT as gzip JSON, read"
    sent = f"{work['photos']} photos of 300 kB sent"
    yield sent, work["photos_ms"], bare["disk_ms"], "the same bytes written to the disk, fsync"
    for name, against in (("peer_flushed", "the peer, flushed"), ("peer_as_it_comes", "the peer, as it comes")):
        peer = figures[name]
        yield push, work["push_ms"], peer["push_ms"], against
        yield pull, work["pull_ms"], peer["pull_ms"], against
        yield sent, work["photos_ms"], peer["photos_ms"], against
