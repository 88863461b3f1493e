"""Seeds that once failed: every run plays them again, and adds those that fail."""

from pathlib import Path


def with_kept(seeds: int, *, kept: Path) -> list[int]:
    """Those that are kept, and from 1 up to this one."""
    again = _kept(kept)
    return [*again, *(seed for seed in range(1, seeds + 1) if seed not in again)]


def keep(seed: int, *, kept: Path) -> None:
    """Played again from now on."""
    if seed not in _kept(kept):
        with kept.open("a") as file:  # One line, appended whole: nothing that others write meanwhile is lost.
            file.write(f"{seed}\n")


def _kept(kept: Path) -> list[int]:
    """Each once: shares of the seeds run in several processes, and two may have kept the same."""
    return list(dict.fromkeys(int(line) for line in kept.read_text().splitlines() if line.strip().isdecimal()))
