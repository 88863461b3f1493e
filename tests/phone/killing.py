"""Ending a browser, or only its page, at a chosen moment: what is to be ended is found beforehand."""

import os
import signal
from contextlib import suppress
from pathlib import Path


def end_at_once(pids: list[int]) -> None:
    """None of them is asked, and none has time for a last word."""
    for pid in pids:
        with suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)


def browser_of(profile: Path) -> list[int]:
    """The process that holds the store comes first; with it go all that it has started."""
    mine = f"--user-data-dir={profile}"
    heads = [pid for pid, words in _running() if mine in words and not _kind(words)]
    return [*heads, *_offspring(heads)]


def page_of(profile: Path) -> list[int]:
    """What runs the page, and nothing else of the browser."""
    kinds = {pid: _kind(words) for pid, words in _running()}
    return [pid for pid in browser_of(profile) if kinds.get(pid) == "renderer"]


def _running() -> list[tuple[int, list[str]]]:
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            found.append((int(folder.name), (folder / "cmdline").read_text(errors="replace").split("\0")))
    return found


def _kind(words: list[str]) -> str:
    """Chromium says of each process that it starts what it is for; the first is for nothing special."""
    # Some rewrite their command line into one word.
    said = [word for whole in words for word in whole.split(" ") if word.startswith("--type=")]
    return said[0].partition("=")[2] if said else ""


def _offspring(heads: list[int]) -> list[int]:
    parents: dict[int, int] = {}
    for pid, _words in _running():
        with suppress(OSError):
            parents[pid] = int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
    found, next_ones = [], list(heads)
    while next_ones:
        next_ones = [pid for pid, parent in parents.items() if parent in next_ones]
        found += next_ones
    return found
