"""What the bench says of its own figures."""

from typing import Any

from tests.bench.report import goals_of, table_of
from tests.bench.tap import request_taken_apart

WORK = {"push_ms": 100.0, "pull_ms": 100.0, "photos_ms": 100.0, "observations": 5, "rows": 10, "photos": 1}
ONE_WAY = {"headers": 600, "body": 80, "of_the_browser": 400, "ours": 280}


def _figures(*, peer_ms: float, change_ms: float = 20.0, requests: int = 1) -> dict[str, Any]:
    peer = dict.fromkeys(("push_ms", "pull_ms", "photos_ms"), peer_ms)
    return {
        "sizes": {"cut_s": 5.0},
        "work": WORK,
        "save": {"saved": 4.0, "bare": 1.0},
        "bare": {"insert_ms": 10.0, "select": {"ms": 10.0}, "disk_ms": 10.0},
        "idle": {"requests": requests, "ms": 20.0, "up": ONE_WAY, "down": {**ONE_WAY, "of_the_browser": 0}},
        "growth": [{"rows": 500, "ms": 20.0}, {"rows": 5_000, "ms": change_ms}],
        "recovery_ms": [1_000.0],
        "peer_flushed": peer,
        "peer_as_it_comes": peer,
        "peak_mb": {"server": 300.0},
    }


def _words(figures: dict[str, Any]) -> list[str]:
    return [goal.word for goal in goals_of(figures)]


def test_a_goal_that_is_missed_is_said_to_be_missed() -> None:
    assert _words(_figures(peer_ms=90.0, change_ms=25.0, requests=2)) == ["NO, missed"] * 5


def test_between_the_goals_each_is_judged_by_itself() -> None:
    assert _words(_figures(peer_ms=410.0)) == ["yes", "yes", "NO, missed", "yes", "yes"]


def test_every_goal_stands_in_the_table_with_its_word() -> None:
    lines = list(table_of(_figures(peer_ms=90.0)))

    assert [line for line in lines if line.endswith("NO, missed")] == lines[-5:-2]


def test_what_the_browser_writes_by_itself_is_told_apart() -> None:
    head = b"POST /api/sync/pull HTTP/1.1\r\nHost: x\r\nUser-Agent: y\r\nCookie: z\r\n\r\n"

    sent = request_taken_apart(head + b"{}")

    assert (sent.headers, sent.body, sent.of_the_browser) == (len(head), 2, len(b"Host: x\r\nUser-Agent: y\r\n"))
    assert sent.ours == len(b"POST /api/sync/pull HTTP/1.1\r\nCookie: z\r\n\r\n") + 2
