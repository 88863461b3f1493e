"""Pass, fail, unclear, and the reasons that go with them."""

PASS = "pass"
FAIL = "fail"
UNCLEAR = "unclear"

# The marks say how well a number is founded.
READ_IN_SOURCE = "S"
FROM_LIBRARY = "L"
BY_HAND = "H"
COMMON_PRACTICE = "P"
FROM_MEMORY = "M"
MARKS = [READ_IN_SOURCE, FROM_LIBRARY, BY_HAND, COMMON_PRACTICE, FROM_MEMORY]


def reason(code: str, **values: object) -> dict[str, object]:
    """Why: a code that a screen turns into a sentence, and the values in it."""
    return {"code": code, "values": values}


def against_limit(
    code: str, *, value: float, limit: float, unit: str, source: str, mark: str
) -> dict[str, object]:
    """A reason that compares a number with its limit, and says where the limit is from."""
    return reason(code, value=value, limit=limit, unit=unit, source=source, mark=mark)


def worst(verdicts: list[str]) -> str:
    """One failure fails the whole; one unclear part leaves it unclear; else it passes."""
    if FAIL in verdicts:
        return FAIL
    if UNCLEAR in verdicts:
        return UNCLEAR
    return PASS
