"""Powers with the same digits on the phone and on the server.

The `exp` and `pow` of the two runtimes differ in the last digit about once in a thousand calls
(processors with a fused multiply-add round otherwise), and a reading would come out otherwise
than on the phone. `log` and `sqrt` agree. Here are only sums and products, which have one result.
"""

import math

# The natural logarithm of 2 in two parts, so that taking a multiple of it off loses no digit.
LN2_HIGH = 0.6931471803691238
LN2_LOW = 1.9082149292705877e-10
TERMS = 15  # The next term is below the last digit for what is left, at most half of ln 2.
ROOT_STEPS = 60  # From 1e9 or to 1e-9 some forty suffice; nearer to 1 fewer than ten.


def exp(x: float) -> float:
    """The number e to the power of x.

    Valid for   -700 to 700, beyond which a float has no room
    Formula     2^k times the power series of what is left of x, k = x / ln 2 to the nearest
    Inputs      x                        exponent                                    [-]
    Returns     power, within two units of the last digit                            [-]
    """
    twos = math.floor(x / (LN2_HIGH + LN2_LOW) + 0.5)
    left = x - twos * LN2_HIGH - twos * LN2_LOW
    term = 1.0
    total = 1.0
    for index in range(1, TERMS):
        term = term * left / index
        total += term
    return math.ldexp(total, int(twos))


def power(base: float, *, exponent: float) -> float:
    """A positive number to any power; error grows with the size of the logarithm."""
    return exp(exponent * math.log(base))


def cube_root(x: float) -> float:
    """The cube root.

    Valid for   1e-9 to 1e9
    Formula     Newton's method, from above                                          [-]
    Inputs      x                        a number                                    [-]
    Returns     root, within two units of the last digit                             [-]
    """
    root = max(1.0, x)
    for _ in range(ROOT_STEPS):
        nearer = (2.0 * root + x / (root * root)) / 3.0
        if nearer >= root:  # From above every step goes down, until there is no digit left to gain.
            return root
        root = nearer
    return root
