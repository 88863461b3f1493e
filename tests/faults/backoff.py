"""When a phone tries again: the app's own figures."""

import random

FIRST_S, LONGEST_S = 1.0, 6.0
TIMER_S = 20.0


class Backoff:
    """Doubles with each failed try, spread between half and whole."""

    def __init__(self, chance: random.Random) -> None:
        self._chance = chance
        self._tries = 0

    def pause(self, ended: str) -> float:
        """How long after a round that ended so."""
        if ended != "later":
            self._tries = 0
            return TIMER_S
        whole = min(LONGEST_S, FIRST_S * 2**self._tries)
        self._tries += 1
        return whole * (0.5 + self._chance.random() / 2)

    def reset(self) -> None:
        """A reason to hope: something was written, or signal is back."""
        self._tries = 0
