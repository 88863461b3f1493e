"""Giving code words to units so that no round has too much on."""

# Exchanges made before a code is given up; a few are enough where it fits at all (H).
MOST_EXCHANGES = 60


class Spread:
    """Words for loads, in the order of the loads.

    Formula     the loads from the largest to the smallest each take the word that keeps the
                rounds nearest to `goal`; then words are swapped, each time where it lowers what
                is above `most`. Words that are left over belong to loads of nought.
    Inputs      words, loads             at least as many words as loads
                goal                     share of all loads that the rounds are kept near
                most                     what a round may have on, in the unit of the loads
    Returns     words; `fits` tells whether no round is above `most`
    """

    def __init__(
        self, words: list[int], *, loads: list[float], rounds: int, goal: float, most: float
    ) -> None:
        self.loads = loads + [0.0] * (len(words) - len(loads))
        self.most = most
        self.on = [0.0] * rounds
        self.words = self._dealt(words, goal=goal)
        tries = MOST_EXCHANGES
        while tries and self._excess() > 0.0 and self._lower():
            tries -= 1
        self.fits = self._excess() == 0.0

    def _dealt(self, words: list[int], *, goal: float) -> list[int]:
        left = list(words)
        given = [0] * len(words)
        level = 0.0
        for _, at in sorted([(-load, at) for at, load in enumerate(self.loads)]):
            load = self.loads[at]
            level += goal * load
            given[at] = left.pop(self._calmest(left, load=load, level=level) if load else 0)
            self._add(given[at], load=load)
        return given

    def _calmest(self, left: list[int], *, load: float, level: float) -> int:
        """The word that keeps the squares of what is on, less the level, lowest."""
        steps = [2.0 * (on - level) + load for on in self.on]
        best = 0
        least = float("inf")
        for at, word in enumerate(left):
            change = 0.0
            for bit, step in enumerate(steps):
                if word >> bit & 1:
                    change += step
            if change < least:
                least = change
                best = at
        return best

    def _lower(self) -> bool:
        """Lighten the fullest round by the first swap that lowers the excess."""
        bit = 1 << self.on.index(max(self.on))
        before = self._excess()
        for one, word in enumerate(self.words):
            if word & bit and self.loads[one]:
                for other, instead in enumerate(self.words):
                    if not instead & bit:
                        self._swap(one, other=other)
                        if self._excess() < before:
                            return True
                        self._swap(one, other=other)
        return False

    def _swap(self, one: int, *, other: int) -> None:
        words = self.words
        more = self.loads[one] - self.loads[other]
        self._add(words[one], load=-more)
        self._add(words[other], load=more)
        words[one], words[other] = words[other], words[one]

    def _add(self, word: int, *, load: float) -> None:
        for bit in range(len(self.on)):
            if word >> bit & 1:
                self.on[bit] += load

    def _excess(self) -> float:
        """How far the rounds are above the most that may be on, squares added."""
        total = 0.0
        for on in self.on:
            if on > self.most:
                total += (on - self.most) * (on - self.most)
        return total
