"""Copper tube of refrigerant lines, by the names that a line may give as its size."""

from . import ranges, verdicts

NAME = "tube_sizes"
WHAT = "Copper tube sizes that extra_charge knows, with their inner diameters"

INCH_M = 0.0254
ASTM_B280 = "ASTM B280 table"
COMMON = "common practice"

# Name, outer diameter and wall in thousandths of an inch: the wall differs between soft coil and
# hard straight lengths up to 5/8, and comes in two sorts at 3/4 (ASTM B280 table, S). Metric tube
# is not here: its walls differ from maker to maker, so its inner diameter is asked for.
SIZES = [
    ("1/4 coil", 250, 30),
    ("3/8 coil", 375, 32),
    ("3/8 hard", 375, 30),
    ("1/2 coil", 500, 32),
    ("1/2 hard", 500, 35),
    ("5/8 coil", 625, 35),
    ("5/8 hard", 625, 40),
    ("3/4 wall 0.035", 750, 35),
    ("3/4 wall 0.042", 750, 42),
    ("7/8", 875, 45),
    ("1-1/8", 1125, 50),
    ("1-3/8", 1375, 55),
    ("1-5/8", 1625, 60),
]
# What the trade usually adds per metre of R-410A liquid line; the maker's table decides (P).
USUAL_FACTORS = [("3/8", 0.059), ("1/2", 0.12), ("5/8", 0.18), ("3/4", 0.26)]
USUAL_FACTORS_REFRIGERANT = "R-410A"

INPUTS: list[tuple[str, str, bool, str]] = []
OUTPUTS = [
    ("sizes", "", "list of {size, inner_diameter_m, outer_diameter_m, wall_m, source, mark}"),
    ("usual_factors", "", "list of {size, factor_kg_m, refrigerant, source, mark}"),
]


def tube_sizes(data: dict[str, object]) -> dict[str, object]:  # noqa: ARG001 -- asks for nothing
    """The sizes that a line may name, and what is usually added per metre."""
    return {
        "sizes": [_described(*row) for row in SIZES],
        "usual_factors": [
            {
                "size": size,
                "factor_kg_m": factor,
                "refrigerant": USUAL_FACTORS_REFRIGERANT,
                "source": COMMON,
                "mark": verdicts.COMMON_PRACTICE,
            }
            for size, factor in USUAL_FACTORS
        ],
    }


def names() -> list[str]:
    """The sizes that are in the table."""
    return [size for size, _, _ in SIZES]


def inner_diameter_m(row: dict[str, object], *, where: str) -> float:
    """The inner diameter of the size that a line names."""
    size = ranges.choice(row, "size", choices=names(), where=where)
    return next(_inner_m(outer, wall=wall) for name, outer, wall in SIZES if name == size)


def nominal(size: str) -> str:
    """The size without its temper or wall: `3/8` of `3/8 coil`."""
    return size.split(" ", 1)[0]


def _inner_m(outer: int, *, wall: int) -> float:
    return (outer - 2 * wall) * INCH_M / 1000.0


def _described(size: str, outer: int, wall: int) -> dict[str, object]:
    return {
        "size": size,
        "inner_diameter_m": _inner_m(outer, wall=wall),
        "outer_diameter_m": outer * INCH_M / 1000.0,
        "wall_m": wall * INCH_M / 1000.0,
        "source": ASTM_B280,
        "mark": verdicts.READ_IN_SOURCE,
    }
