"""Refrigerant of one circuit against the smallest room that it could leak into."""

from . import limits, ranges, refrigerants, verdicts

NAME = "room_limit"
WHAT = "Charge of a circuit against the smallest room it serves or passes through"
TABLE_NAME = "room_limits"
TABLE_WHAT = "Published limits that room_limit may be given, each as printed, with its mark"

LOWEST_CHARGE_KG = 0.001
HIGHEST_CHARGE_KG = 1000.0  # Above any one circuit of this trade (P).
SMALLEST_ROOM_M3 = 0.1
LARGEST_ROOM_M3 = 1000000.0
LOWEST_LIMIT_KG_M3 = 0.001
HIGHEST_LIMIT_KG_M3 = 1.0  # Twice the highest of the table: grams in place of kilograms are found.
CLOSE_PCT = 90.0  # Of the limit: a little more charge, or a lower ceiling, decides (P).

TABLE_1103_1 = "mechanical code table 1103.1"
MEMORY = "from memory"

# Refrigerant, g/m3, lb/1000 ft3, ppm by volume, source, mark. Each unit as it is printed: they are
# rounded apart, so that one is not computed from another. Copies of the documents conflict for
# R-454B: edition and value are asked for.
TABLE: list[tuple[str, int | None, float | None, int | None, str, str]] = [
    ("R-410A", 420, 26.0, 140000, MEMORY, "M"),
    ("R-32", 77, 4.8, 36000, TABLE_1103_1, "S"),
    ("R-454B", None, None, None, MEMORY, "M"),
    ("R-407C", 290, 18.0, 81000, MEMORY, "M"),
    ("R-134a", 210, 13.0, 50000, TABLE_1103_1, "S"),
]

INPUTS = [
    ("refrigerant", "", True, "R-410A, R-32, R-454B, R-407C or R-134a"),
    ("charge_kg", "kg", True, "all that is in the circuit, 0.001 to 1000"),
    ("room_m3", "m3", True, "smallest enclosed occupied space of the circuit, 0.1 to 1000000"),
    ("limit_kg_m3", "kg/m3", True, "0.001 to 1; room_limits offers published ones"),
    ("limit_source", "", True, "document and edition"),
    ("limit_mark", "", False, "S, L, H, P or M; M when absent"),
]
OUTPUTS = [
    ("concentration_kg_m3", "kg/m3", "if all of the charge were in that room"),
    ("allowed_kg", "kg", "in that room"),
    ("margin_kg", "kg", "allowed_kg minus the charge; negative when over"),
    ("share_pct", "%", "charge of allowed_kg"),
    ("smallest_room_m3", "m3", "in which this charge is at the limit"),
    ("verdict", "", "pass, fail"),
    ("reasons", "", "list of {code, values}"),
    ("next", "", "codes of what to do now"),
    ("cautions", "", "codes of the cautions that go with the task"),
]
TABLE_INPUTS: list[tuple[str, str, bool, str]] = []
TABLE_OUTPUTS = [
    ("limits", "", "list of {refrigerant, limit_kg_m3, limit_lb_1000_ft3, limit_ppm, ...}"),
    ("limits[].limit_kg_m3", "kg/m3", "null where copies conflict: ask for edition and value"),
    ("limits[].limit_lb_1000_ft3", "lb/1000 ft3", "as printed, not converted"),
    ("limits[].limit_ppm", "ppm", "by volume, as printed, not converted"),
    ("limits[].source", "", "where it was read"),
    ("limits[].mark", "", "S or M"),
]


def room_limits(data: dict[str, object]) -> dict[str, object]:  # noqa: ARG001 -- asks for nothing
    """The limits of published tables, to be offered and never taken unasked."""
    return {"limits": [_described(row) for row in TABLE]}


def room_limit(data: dict[str, object]) -> dict[str, object]:
    """Screening of one circuit and one room.

    Valid for   charge, room and limit above 0
    Formula     allowed = limit * room, smallest room = charge / limit               [A]
    Inputs      charge_kg, room_m3, limit_kg_m3                                      [kg, m3, kg/m3]
    Returns     verdict: fail when the charge is more than allowed
    Source A    mechanical code chapter 11, amount of refrigerant per occupied space (M)
    """
    refrigerant = refrigerants.named(data)
    charge_kg = ranges.number(
        data, "charge_kg", low=LOWEST_CHARGE_KG, high=HIGHEST_CHARGE_KG, unit="kg"
    )
    room_m3 = ranges.number(data, "room_m3", low=SMALLEST_ROOM_M3, high=LARGEST_ROOM_M3, unit="m3")
    limit = _read_limit(data)
    allowed_kg = limit.value * room_m3
    is_over = charge_kg > allowed_kg
    result: dict[str, object] = {
        "concentration_kg_m3": charge_kg / room_m3,
        "allowed_kg": allowed_kg,
        "margin_kg": allowed_kg - charge_kg,
        "share_pct": 100.0 * charge_kg / allowed_kg,
        "smallest_room_m3": charge_kg / limit.value,
        "verdict": verdicts.FAIL if is_over else verdicts.PASS,
        "next": ["next.ask_the_designer"] if is_over else [],
        "cautions": _cautions(refrigerant),
    }
    first = _how_near(charge_kg, room_m3=room_m3, limit=limit)
    result["reasons"] = first + _against_table(limit, refrigerant=refrigerant)
    return result


def _read_limit(data: dict[str, object]) -> limits.Limit:
    value = ranges.number(
        data, "limit_kg_m3", low=LOWEST_LIMIT_KG_M3, high=HIGHEST_LIMIT_KG_M3, unit="kg/m3"
    )
    ranges.text(data, "limit_source")
    return limits.given(data, "limit", value=value, unit="kg/m3")


def _how_near(charge_kg: float, *, room_m3: float, limit: limits.Limit) -> list[dict[str, object]]:
    allowed_kg = limit.value * room_m3
    share_pct = 100.0 * charge_kg / allowed_kg
    code = "room_barely_large_enough" if share_pct >= CLOSE_PCT else "room_large_enough"
    if charge_kg > allowed_kg:
        code = "room_too_small"
    return [
        verdicts.reason(
            code,
            charge_kg=charge_kg,
            allowed_kg=allowed_kg,
            share_pct=share_pct,
            room_m3=room_m3,
            smallest_room_m3=charge_kg / limit.value,
            limit=limit.value,
            unit=limit.unit,
            source=limit.source,
            mark=limit.mark,
        )
    ]


def _against_table(
    limit: limits.Limit, *, refrigerant: refrigerants.Refrigerant
) -> list[dict[str, object]]:
    """A limit other than the printed one is used, and said to be another."""
    row = next(row for row in TABLE if row[0] == refrigerant.name)
    if row[1] is None:
        return [verdicts.reason("no_limit_in_table", refrigerant=refrigerant.name)]
    in_table = row[1] / 1000.0
    if limit.value <= in_table:
        return []
    return [
        verdicts.against_limit(
            "limit_above_table",
            value=limit.value,
            limit=in_table,
            unit=limit.unit,
            source=row[4],
            mark=row[5],
        )
    ]


def _cautions(refrigerant: refrigerants.Refrigerant) -> list[str]:
    codes = ["caution.screening_only"]
    if refrigerant.is_flammable:
        codes.append("caution.flammable_charge_rules")
    return codes


def _described(
    row: tuple[str, int | None, float | None, int | None, str, str],
) -> dict[str, object]:
    name, grams, pounds, ppm, source, mark = row
    return {
        "refrigerant": name,
        "limit_kg_m3": None if grams is None else grams / 1000.0,
        "limit_lb_1000_ft3": pounds,
        "limit_ppm": ppm,
        "source": source,
        "mark": mark,
    }
