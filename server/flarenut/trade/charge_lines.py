"""Liquid lines: their bore, what lies beyond the included length, and the maker's factors."""

import math

from . import ranges, tubes, verdicts

NARROWEST_M = 0.001  # Narrower than any line (P).
WIDEST_M = 0.2  # Wider than any line (P).
LONGEST_M = 2000.0  # Longer than the pipes of any one system (P).
NOTHING_M = 1e-6  # What is left of a line by the rounding of a difference.
MOST_LINES = 500
OWN_DIAMETERS = ["inner_diameter_m", "outer_diameter_m", "wall_m"]
LOWEST_FACTOR_KG_M = 0.001  # Below what any liquid line holds (P).
HIGHEST_FACTOR_KG_M = 5.0  # Above any liquid line of this trade (P).


class Line:
    """One liquid line, and how much of it lies beyond the included length."""

    def __init__(self, row: dict[str, object], *, where: str) -> None:
        self.size = ranges.text_or(row, "size", default="", where=where)
        given = [name for name in OWN_DIAMETERS if row.get(name) is not None]
        self.is_of_table = given == []
        self.inner_diameter_m = self._read_diameter(row, where=where)
        self.length_m = ranges.number(
            row, "length_m", low=0.0, high=LONGEST_M, unit="m", where=where
        )
        self.charged_m = self.length_m
        self.mass_kg_m = 0.0
        self.factor_kg_m: float | None = None

    def _read_diameter(self, row: dict[str, object], *, where: str) -> float:
        if self.is_of_table:
            return tubes.inner_diameter_m(row, where=where)
        if self.size in tubes.names():
            raise ranges.contradictory(
                where + "size",
                message=self.size + " has its diameter in the table: leave out one of the two",
            )
        if row.get("inner_diameter_m") is None:
            return _bore_of_wall(row, where=where)
        if row.get("outer_diameter_m") is not None or row.get("wall_m") is not None:
            raise ranges.contradictory(
                where + "inner_diameter_m",
                message="give the inner diameter, or the outer one and the wall",
            )
        return _read_diameter(row, "inner_diameter_m", where=where)

    def volume_m3(self) -> float:
        """Inside the length to charge."""
        return bore_m2(self.inner_diameter_m) * self.charged_m

    def factor_mass_kg(self) -> float | None:
        """What the maker's factor adds; nothing is added where nothing is to charge."""
        if self.factor_kg_m is None:
            return 0.0 if self.charged_m == 0.0 else None
        return self.factor_kg_m * self.charged_m

    def described(self) -> dict[str, object]:
        """The line in the output."""
        return {
            "size": self.size or None,
            "inner_diameter_m": self.inner_diameter_m,
            "length_m": self.length_m,
            "charged_length_m": self.charged_m,
            "volume_m3": self.volume_m3(),
            "mass_kg_m": self.mass_kg_m,
            "mass_kg": self.mass_kg_m * self.charged_m,
            "factor_kg_m": self.factor_kg_m,
            "factor_mass_kg": self.factor_mass_kg(),
            "source": tubes.ASTM_B280 if self.is_of_table else None,
            "mark": verdicts.READ_IN_SOURCE if self.is_of_table else None,
        }


def _read_diameter(row: dict[str, object], name: str, *, where: str) -> float:
    return ranges.number(row, name, low=NARROWEST_M, high=WIDEST_M, unit="m", where=where)


def _bore_of_wall(row: dict[str, object], *, where: str) -> float:
    """Metric tube is sold by its outer diameter, and its wall must be asked for."""
    outer_m = _read_diameter(row, "outer_diameter_m", where=where)
    widest_m = (outer_m - NARROWEST_M) / 2.0
    wall_m = ranges.number(row, "wall_m", low=0.0, high=widest_m, unit="m", where=where)
    return outer_m - 2.0 * wall_m


def read(data: dict[str, object]) -> list[Line]:
    """The lines of an input, in their order."""
    rows = ranges.records(data, "lines")
    if not 1 <= len(rows) <= MOST_LINES:
        raise ranges.out_of_range("lines", low=1, high=MOST_LINES, unit="lines")
    return [
        Line(row, where=ranges.place("lines", index=index) + ".") for index, row in enumerate(rows)
    ]


def read_factors(data: dict[str, object], *, lines: list[Line]) -> bool:
    """Give each line its factor: of its full size, else of its size without temper or wall."""
    factors = ranges.record_or_empty(data, "factors_kg_m")
    for size in sorted(factors):  # Both runtimes find the same fault first.
        ranges.number(
            factors,
            size,
            low=LOWEST_FACTOR_KG_M,
            high=HIGHEST_FACTOR_KG_M,
            unit="kg/m",
            where="factors_kg_m.",
        )
    for line in lines:
        found = factors.get(line.size, factors.get(tubes.nominal(line.size)))
        if isinstance(found, (int, float)):
            line.factor_kg_m = found
    return len(factors) > 0


def take_off(lines: list[Line], *, included_m: float) -> float:
    """Take the included length off the lines in their order; how much of it was found there."""
    left_m = included_m
    for line in lines:
        taken_m = min(left_m, line.length_m)
        rest_m = line.length_m - taken_m
        line.charged_m = rest_m if rest_m > NOTHING_M else 0.0
        left_m -= taken_m
    return included_m - left_m


def total(values: list[float]) -> float:
    """A sum that comes out alike in both runtimes."""
    total = 0.0
    for value in values:
        total += value
    return total


def bore_m2(inner_diameter_m: float) -> float:
    """The clear area of a tube; a metre of it times the density is what it holds.

    Formula     pi / 4 * d^2
    Inputs      inner_diameter_m         d                                           [m]
    Returns     area                                                                 [m2]
    """
    return math.pi / 4.0 * inner_diameter_m * inner_diameter_m
