"""Code words for a port check: which ports are on in which round.

A word is a whole number; its highest bit is the first round. Two words are apart by the
rounds in which they differ. No word is all 0 (never on) or all 1 (never off).
"""

# A longer code would keep the phone busy: twice the largest plan (H).
MOST_WORDS = 128
# Of the codes of one length so many are tried; the others differ little (H).
MOST_CODES = 4
# First words of rotations looked at before one more round is tried instead (H).
MOST_TRIES = 200


def ones(word: int) -> int:
    """In how many rounds the word is on."""
    return bin(word).count("1")  # noqa: FURB161 -- MicroPython has no bit_count.


def balanced(rounds: int, *, distance: int, wanted: int) -> list[list[int]]:
    """Codes with enough words that are on about half of the time, the best first.

    Valid for   distance 2, 3, 4
    Formula     each of k rounds is free; r = rounds - k check rounds are sums modulo 2 of the
                free ones. Every free round enters its own set of check rounds: the one there is
                for distance 2 (r = 1), sets of two or more for 3, of three, five .. for 4, all
                different. Turning some check rounds over keeps the distance and gives 2^r
                codes; words that are all 0 or all 1 are left out. A silent unit shows a word
                of all 0: best are codes whose words are as far from that one too.   [A]
    Inputs      rounds, distance         as above
                wanted                   how many words are needed
    Returns     codes of at least so many words
    Source A    shortened Hamming codes and their extension, textbook (M); the distance of
                every code is counted in the tests
    """
    checks, sets = _checks(rounds, distance=distance)
    if 2 ** (rounds - checks) > MOST_WORDS:
        return []
    words = [0]
    for at in range(rounds - checks):
        words.extend([word ^ (1 << at + checks | sets[at]) for word in words])
    every = 2**rounds - 1
    codes = [
        [word ^ turned for word in words if 0 < word ^ turned < every]
        for turned in range(2**checks)
    ]
    heard = [[word for word in code if ones(word) >= distance] for code in codes]
    best = _strongest(heard, rounds=rounds, wanted=wanted)
    best.extend(_strongest(codes, rounds=rounds, wanted=wanted))
    return best


def rotated(rounds: int, *, weight: int, distance: int, wanted: int) -> list[int]:
    """A code in which every word is on in few rounds, and every round has as many on.

    Valid for   weight from 1 to rounds - 1
    Formula     a word and all its rotations, then the next word whose rotations keep the
                distance from themselves and from all so far, until enough are found
    Inputs      rounds, weight           rounds a word has, and is on in
                wanted                   how many words are enough
    Returns     words, fewer than wanted when no more are found
    """
    found: list[int] = []
    for word in _first_words(rounds, weight=weight):
        turned = [(word << by | word >> rounds - by) & 2**rounds - 1 for by in range(1, rounds)]
        own = turned[: turned.index(word)] if word in turned else turned
        if all(ones(word ^ other) >= distance for other in own + found):
            found.append(word)
            found.extend(own)
            if len(found) >= wanted:
                break
    return found


def distance_of(words: list[int]) -> int:
    """The least number of rounds in which two of the words differ."""
    return min([ones(one ^ other) for one in words for other in words if one != other])


def _checks(rounds: int, *, distance: int) -> tuple[int, list[int]]:
    """The fewest check rounds, and a set of them for every round that is free."""
    checks = 1
    sets = [1] * rounds
    while distance > 2 and checks < rounds:  # noqa: PLR2004 -- one check round makes 2.
        sets = _check_sets(checks, distance=distance)
        if len(sets) >= rounds - checks:
            break
        checks += 1
    return checks, sets


def _check_sets(checks: int, *, distance: int) -> list[int]:
    """Sets of check rounds as words: large enough, and for an even distance of odd size."""
    return [
        checked
        for checked in range(2**checks)
        if ones(checked) >= distance - 1 and (distance % 2 or ones(checked) % 2)
    ]


def _strongest(codes: list[list[int]], *, rounds: int, wanted: int) -> list[list[int]]:
    """A few that have enough words: few on in one round only, most evenly on and off."""
    found: list[tuple[int, int, int]] = []
    for at, code in enumerate(codes):
        if len(code) >= wanted:
            weights = [ones(word) for word in code]
            uneven = 0
            for weight in weights:
                uneven += (2 * weight - rounds) ** 2
            found.append((weights.count(1), uneven, at))
    return [codes[at] for _, _, at in sorted(found)[:MOST_CODES]]


def _first_words(rounds: int, *, weight: int) -> list[int]:
    """Words that are on in the last round, and in weight - 1 others."""
    words = [1]
    for _ in range(weight - 1):
        longer = [word | 1 << at for word in words for at in range(rounds) if 1 << at > word]
        words = longer[:MOST_TRIES]
    return words
