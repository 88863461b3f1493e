"""Random draws that come out alike in both runtimes: a generator, hours, promised dates."""

import math

# The generator minstd_rand of ISO C++ [rand.predef] (S): multiplier and modulus chosen by Park,
# Miller and Stockmeyer, CACM 36 (1993) 108 (M). Products stay below 2^53, so doubles are exact.
MULTIPLIER = 48271.0
MODULUS = 2147483647.0
HIGHEST_SEED = 1000000000
# Small seeds lie close together; after a few steps their draws no longer do.
FIRST_STEPS = 10
HALF_A_SECOND = 0.5


class Draws:
    """A row of numbers above 0 and below 1, the same for the same seed."""

    def __init__(self, seed: int) -> None:
        self.state = seed + 1.0
        for _ in range(FIRST_STEPS):
            self.share()

    def share(self) -> float:
        """The next number.

        Valid for   states from 1 to the modulus less 1; the row repeats after 2^31 - 2 numbers
        Formula     state = 48271 * state mod (2^31 - 1); number = state / (2^31 - 1)   [A]
        Source A    ISO C++ [rand.predef], minstd_rand: from 1, the 10,000th is 399268537
        """
        self.state = self.state * MULTIPLIER % MODULUS
        return self.state / MODULUS

    def hours(self, shapes: list[tuple[float, float, float, float, float]]) -> list[int]:
        """Hours for one run: each between low and high, most often near likely.

        Valid for   what `triangle` made of low <= likely <= high
        Formula     low + sqrt(u (high - low) (likely - low)) while that is below likely,
                    else high - sqrt((1 - u) (high - low) (high - likely)), u from 0 to 1   [A]
        Returns     whole seconds, to the nearest                                         [s]
        Source A    inverse of the triangular distribution (H), checked against scipy.stats.triang.
                    The shape is a choice (P): of the usual ones for three-point times it leaves
                    the most room at the ends, and it needs a root only, which all machines
                    compute alike.
        """
        sqrt = math.sqrt
        state = self.state
        found: list[int] = []
        for low, high, turn, below, above in shapes:
            # As in `share`: written out, for it is done a hundred thousand times.
            state = state * 48271.0 % 2147483647.0
            share = state / 2147483647.0
            if share < turn:
                found.append(int(low + sqrt(share * below)))
            else:
                found.append(int(high - sqrt((1.0 - share) * above)))
        self.state = state
        return found


def triangle(duration_s: tuple[float, float, float]) -> tuple[float, float, float, float, float]:
    """Low, high, the share at which likely stands, and the two products under the roots."""
    low, likely, high = duration_s
    spread = high - low
    turn = (likely - low) / spread if spread > 0.0 else 0.0
    half = HALF_A_SECOND
    return (low + half, high + half, turn, spread * (likely - low), spread * (high - likely))


class Promises:
    """How far a promised date can be trusted.

    Common practice with no source (P): a promise is kept in three of four cases, and else
    the work is finished at the end of one of the next three shifts, each as likely.
    """

    def __init__(self, *, kept_share: float, late_shifts: int) -> None:
        self.kept_share = kept_share
        self.late_shifts = late_shifts

    def dates(self, promised: float, *, ends: list[int]) -> list[int]:
        """The promised moment and the later ones; none for a promise of the past."""
        if promised <= 0.0:
            return []
        found = [int(promised)]
        found.extend([end for end in ends if end > promised][: self.late_shifts])
        return found

    def holds(self, dates: list[int], *, share: float) -> int:
        """The moment that holds in one run, for a drawn share."""
        if share < self.kept_share:
            return dates[0]
        late = int((share - self.kept_share) / (1.0 - self.kept_share) * self.late_shifts)
        return dates[1 + min(late, self.late_shifts - 1)]
