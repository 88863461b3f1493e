"""Planning a port check: which units to switch on in which round.

One word each for all ports, so that the rounds tell which unit hangs on which port.
"""

from . import port_codes, port_spread, ranges, verdicts

NAME = "port_check_plan"
WHAT = "Rounds of a port check: which units are on when, so that every port is told from all others"

FEWEST_UNITS = 2  # One unit alone cannot be mixed up.
MOST_UNITS = 64  # What the phone plans and reads within seconds (H, measured).
MOST_KW = 1000.0  # Far above any indoor unit of this trade (M).
SMALL_SYSTEM = 8  # Up to here one unit at a time takes hardly longer (H).
# With less than this on, codes that are on half of the time are of no use (H).
HALF = 0.5
# Rounding of sums of loads must not forbid what is exactly at the limit.
ROUNDING = 1e-9

CAUTIONS = ["caution.port_check_maker", "caution.port_check_drains", "caution.port_check_season"]

INPUTS = [
    ("units", "", True, "list of {unit, kw}, 2 to 64; a port is named by its unit on the sheet"),
    ("units[].unit", "", True, "a name used once, an id or a tag"),
    ("units[].kw", "kW", False, "capacity, more than 0, at most 1000: for all units or for none"),
    ("distance", "", True, "2, 3 or 4: finds 1, 2, 3 wrong readings of a unit, corrects 0, 1, 1"),
    ("max_share_on", "", True, "share of the units, or of their kW, on at once: over 0, at most 1"),
]
OUTPUTS = [
    ("rounds", "", "list of {on, off}, units in the order given"),
    ("codes", "", "list of {unit, code}: 1 where the unit is on, the first round first"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]


def port_check_plan(data: dict[str, object]) -> dict[str, object]:
    """The rounds of a port check.

    Words are all different, neither all 0 nor all 1, and differ in `distance` rounds at least;
    no round has more than the share on. Without a tight share the number of rounds is the
    least there is for 8, 16, 32 and 64 units, except one round more
    - for 4, 16 and 64 units at distance 2: the only two codes as short as that hold the word
      of all 0 or the word of all 1, and a port that is always off or always on shows nothing;
    - for 17 to 20 and 33 to 40 units at distance 3 and 4: codes that short exist, but follow no
      rule from which the phone could make them.
    A tight share takes more rounds, up to one unit at a time; the reasons say so.
    """
    names = read_names(data, field="units")
    shares = _read_shares(data)
    distance = ranges.whole(data, "distance", low=2, high=4, unit="rounds")
    share = _read_share(data, largest=max(shares))
    most = share + ROUNDING
    rounds = distance
    words: list[int] = []
    while not words:
        words = _words(shares, rounds=rounds, distance=distance, most=most)
        rounds += 1
    texts = [_text(word, rounds=rounds - 1) for word in words]
    return {
        "rounds": [_round(names, texts=texts, at=at) for at in range(rounds - 1)],
        "codes": [{"unit": name, "code": texts[at]} for at, name in enumerate(names)],
        "reasons": _reasons(len(names), rounds=rounds - 1, distance=distance, share=share),
        "next": ["next.run_makers_port_check_first", "next.switch_all_off_and_wait"],
        "cautions": list(CAUTIONS),
    }


def read_names(data: dict[str, object], *, field: str) -> list[str]:
    """The units of a list, each once."""
    rows = ranges.records(data, field)
    if not FEWEST_UNITS <= len(rows) <= MOST_UNITS:
        raise ranges.out_of_range(field, low=FEWEST_UNITS, high=MOST_UNITS, unit="units")
    names: list[str] = []
    for index, row in enumerate(rows):
        where = ranges.place(field, index=index) + "."
        name = ranges.text(row, "unit", where=where)
        if name in names:
            raise ranges.contradictory(where + "unit", message=name + " is in the list twice")
        names.append(name)
    return names


def _read_shares(data: dict[str, object]) -> list[float]:
    """Of the kW when any unit has them, else of the units."""
    rows = ranges.records(data, "units")
    loads = [1.0] * len(rows)
    if any(row.get("kw") is not None for row in rows):
        for index, row in enumerate(rows):
            where = ranges.place("units", index=index) + "."
            loads[index] = ranges.number(row, "kw", low=0.1, high=MOST_KW, unit="kW", where=where)
    total = 0.0
    for load in loads:
        total += load
    return [load / total for load in loads]


def _read_share(data: dict[str, object], *, largest: float) -> float:
    share = ranges.number(data, "max_share_on", low=0.0, high=1.0, unit="of all")
    if largest > share + ROUNDING:
        raise ranges.InputError(
            "contradictory",
            field="max_share_on",
            message="max_share_on is less than the largest unit alone",
            limits={"low": largest, "high": 1.0, "unit": "of all"},
        )
    return share


def _words(shares: list[float], *, rounds: int, distance: int, most: float) -> list[int]:
    """A word for each unit, none when no code of so many rounds is within the share."""
    goal = min(HALF, most)
    for code in _codes(len(shares), rounds=rounds, distance=distance, share=most):
        spread = port_spread.Spread(code, loads=shares, rounds=rounds, goal=goal, most=most)
        if spread.fits:
            return spread.words[: len(shares)]
    return []


def _codes(units: int, *, rounds: int, distance: int, share: float) -> list[list[int]]:
    """One unit at a time, once or twice over, is the last resort and always fits."""
    found: list[list[int]] = []
    if share >= HALF:
        found = port_codes.balanced(rounds, distance=distance, wanted=units)
    for weight in range(min(rounds // 2, int(rounds * share)), 0, -1):
        code = port_codes.rotated(rounds, weight=weight, distance=distance, wanted=2 * units)
        if len(code) >= units:
            found.append(code)
    return found


def _text(word: int, *, rounds: int) -> str:
    """The word as 0 and 1, the first round first."""
    return "".join(["1" if word >> at & 1 else "0" for at in range(rounds - 1, -1, -1)])


def _round(names: list[str], *, texts: list[str], at: int) -> dict[str, object]:
    return {
        "on": [name for index, name in enumerate(names) if texts[index][at] == "1"],
        "off": [name for index, name in enumerate(names) if texts[index][at] == "0"],
    }


def _reasons(units: int, *, rounds: int, distance: int, share: float) -> list[dict[str, object]]:
    found = [
        verdicts.reason(
            "port_rounds_planned",
            units=units,
            rounds=rounds,
            detects=distance - 1,
            corrects=(distance - 1) // 2,
        )
    ]
    usual = distance
    while not port_codes.balanced(usual, distance=distance, wanted=units):
        usual += 1
    if rounds > usual:
        why = verdicts.reason(
            "port_rounds_for_share", rounds=rounds, usual_rounds=usual, max_share_on=share
        )
        found.append(why)
    if units <= SMALL_SYSTEM:
        found.append(verdicts.reason("port_one_at_a_time", units=units, rounds=rounds))
    return found
