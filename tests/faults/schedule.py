"""What breaks, and when: drawn from a seed, so that a bad run can be run again."""

import random
from dataclasses import dataclass
from typing import Literal

Kind = Literal["worker", "master", "everything", "database", "phone"]


@dataclass(frozen=True)
class Size:
    """How much of everything."""

    mutations: int
    workers: int
    masters: int
    everything: int
    databases: int
    phones: int
    race_rows: int
    longest_pause_s: float


# The short one is part of every test run. Of 200 killed servers most are single workers, as in life.
SHORT = Size(mutations=800, workers=10, masters=2, everything=2, databases=4, phones=50, race_rows=20_000,
    longest_pause_s=0.8)  # fmt: skip
FULL = Size(mutations=5_000, workers=150, masters=20, everything=30, databases=50, phones=500, race_rows=100_000,
    longest_pause_s=0.6)  # fmt: skip


@dataclass(frozen=True)
class Fault:
    """After a pause, something is killed; some are not given the time to come back before the next."""

    kind: Kind
    pause_s: float
    down_s: float
    waits: bool
    which: int


def drawn(size: Size, *, seed: str) -> list[Fault]:
    """All faults of a run, in their order."""
    chance = random.Random(f"{seed}/schedule")
    kinds: list[Kind] = [
        *["worker"] * size.workers,
        *["master"] * size.masters,
        *["everything"] * size.everything,
        *["database"] * size.databases,
        *["phone"] * size.phones,
    ]
    chance.shuffle(kinds)
    return [
        Fault(
            kind=kind,
            pause_s=chance.random() * size.longest_pause_s,
            down_s=chance.random() * 0.5,
            waits=chance.random() < 0.7,
            which=chance.randrange(2**31),
        )
        for kind in kinds
    ]
