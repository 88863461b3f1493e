"""How well a unit's readings fit a port: what the port's word should have shown, and did."""

from . import same_digits

# A reading farther than this from what was expected counts as wrong, not as more evidence:
# 4 standard deviations happen by chance once in 16,000 readings (normal distribution, H).
WRONG_FROM = 16.0  # noise variances
# The answer of a unit is first known this well only, so that the first look is wider (H).
FIRST_LOOK = 0.3  # of the answer
# Rounds that hardly show the answer cannot tell how large it is (H).
SHOWN = 0.5  # expected share of the full answer
# After so many time constants nothing is left that a float could hold (H).
FORGOTTEN = 700.0


def carried_over(*, round_s: float, lag_s: float) -> float:
    """What is left of the state before, at the end of a round.

    Valid for   a unit that follows its valve as a first-order lag
    Formula     exp(-round / lag), nought without a lag                          [A]
    Inputs      round_s, lag_s           length of a round, time constant        [s]
    Returns     share of the state before
    Source A    first-order step response, textbook (H)
    """
    if round_s > FORGOTTEN * lag_s:
        return 0.0
    return same_digits.exp(-round_s / lag_s)


def expected_shares(code: str, *, carried: float) -> list[float]:
    """What a unit on the port shows at the end of each round, as a share of its full answer.

    Valid for   a port that was off long before the first round; rounds that follow each other.
                A pause with all off is a round of 0 with nothing read.
    Formula     s(k) = e s(k-1) + (1 - e) on(k), s(0) = 0
    Inputs      code                     1 for on, the first round first
                carried                  e, what a round leaves of the state before
    Returns     shares from 0 to 1
    """
    shares: list[float] = []
    state = 0.0
    for bit in code:
        state = carried * state
        if bit == "1":
            state += 1.0 - carried
        shares.append(state)
    return shares


class Fit:
    """The answer that fits a port best, and how badly it still fits.

    Formula     A = sum(y s) / sum(s^2) over the readings near A0 s, not below the least answer;
                cost = sum of min((y - A s)^2 / noise^2, 16). A0 is the lower median of y / s
                over the rounds that should show half of the answer or more.     [A]
    Inputs      seen                     (round, temperature change)             [K]
                shares                   expected shares of the port
                noise_k                  standard deviation of a change          [K]
                least_k                  least answer                            [K]
    Returns     cost in noise variances; answer in K; wrong readings; kept readings and the
                squares of what they leave, in noise variances
    Source A    least squares with wrong readings cut off, textbook (M)
    """

    def __init__(
        self, seen: list[tuple[int, float]], *, shares: list[float], noise_k: float, least_k: float
    ) -> None:
        ratios = sorted([value / shares[at] for at, value in seen if shares[at] >= SHOWN])
        start_k = max(least_k, ratios[(len(ratios) - 1) // 2]) if ratios else least_k
        near = max(4.0 * noise_k, FIRST_LOOK * start_k)
        above = 0.0
        below = 0.0
        for at, value in seen:
            share = shares[at]
            if -near <= value - start_k * share <= near:
                above += value * share
                below += share * share
        self.answer_k = max(least_k, above / below) if below > SHOWN * SHOWN else start_k
        self.wrong = 0
        self.kept = 0
        self.squares = 0.0
        for at, value in seen:
            off = (value - self.answer_k * shares[at]) / noise_k
            if off * off < WRONG_FROM:
                self.squares += off * off
                self.kept += 1
            else:
                self.wrong += 1
        self.cost = self.squares + WRONG_FROM * self.wrong
