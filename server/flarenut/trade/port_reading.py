"""What comes in after a port check: the words that were run, and what every unit showed."""

from . import port_check_plan, port_fit, ranges

MOST_ROUNDS = 160  # One unit at a time, twice, for 64 units, and some rounds more (H).
MOST_K = 60.0  # No coil of this trade changes its air by more (M).
SHORTEST_ROUND_S = 30.0  # A valve takes as long to open (M).
LONGEST_S = 86400.0  # A day.
LEAST_NOISE_K = 0.01  # Finer than any thermometer on a job (M).
MOST_NOISE_K = 10.0  # Noise as large as the answer tells nothing (H).


class Check:
    """A port check as it was run. Units and ports are known by their place in `names`."""

    def __init__(self, data: dict[str, object]) -> None:
        self.names = port_check_plan.read_names(data, field="codes")
        self.codes = _read_codes(data)
        # Of each unit the rounds that were read: (round, temperature change in K).
        self.seen: list[list[tuple[int, float]]] = [[] for _ in self.names]
        self._read_responses(data)
        round_s = ranges.number(data, "round_s", low=SHORTEST_ROUND_S, high=LONGEST_S, unit="s")
        lag_s = ranges.number(data, "lag_s", low=0.0, high=LONGEST_S, unit="s")
        carried = port_fit.carried_over(round_s=round_s, lag_s=lag_s)
        # What a unit on each port should show, and at last, what a silent one does.
        self.shares = [port_fit.expected_shares(code, carried=carried) for code in self.codes]
        self.shares.append([0.0] * len(self.codes[0]))
        self.noise_k = ranges.number(
            data, "noise_k", low=LEAST_NOISE_K, high=MOST_NOISE_K, unit="K"
        )

    def _read_responses(self, data: dict[str, object]) -> None:
        found: list[str] = []
        for index, row in enumerate(ranges.records(data, "responses")):
            where = ranges.place("responses", index=index) + "."
            name = ranges.choice(row, "unit", choices=self.names, where=where)
            if name in found:
                raise ranges.contradictory(where + "unit", message=name + " is in the list twice")
            found.append(name)
            seen = _read_values(row, rounds=len(self.codes[0]), where=where)
            self.seen[self.names.index(name)] = seen


def _read_codes(data: dict[str, object]) -> list[str]:
    codes: list[str] = []
    for index, row in enumerate(ranges.records(data, "codes")):
        field = ranges.place("codes", index=index) + ".code"
        code = ranges.text({field: row.get("code")}, field)
        if len(code) > MOST_ROUNDS:
            raise ranges.out_of_range(field, low=2, high=MOST_ROUNDS, unit="rounds")
        if code.count("0") + code.count("1") != len(code):
            raise ranges.wrong_kind(field, wanted="text of 0 and 1")
        if "0" not in code or "1" not in code:
            raise ranges.contradictory(field, message="always on or always off shows no port")
        if codes and (code in codes or len(code) != len(codes[0])):
            raise ranges.contradictory(field, message="codes must differ and be equally long")
        codes.append(code)
    return codes


def _read_values(row: dict[str, object], *, rounds: int, where: str) -> list[tuple[int, float]]:
    """The rounds that were read; null stands for one that was not."""
    field = where + "values"
    values = row.get("values")
    if values is None:
        raise ranges.missing(field)
    if not isinstance(values, list):
        raise ranges.wrong_kind(field, wanted="a list")
    if len(values) != rounds:
        raise ranges.contradictory(field, message="one value or null for each round is needed")
    seen: list[tuple[int, float]] = []
    for at, value in enumerate(values):
        if value is not None:
            place = ranges.place(field, index=at)
            number = ranges.number({place: value}, place, low=-MOST_K, high=MOST_K, unit="K")
            seen.append((at, number))
    return seen
