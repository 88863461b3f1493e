"""Floors in the order in which a person walks up, from the text that the sheet has for them."""

import re

# Words that the whole building trade uses for floors without a number, and where they lie.
_BELOW, _GROUND, _ABOVE = -1, 0, 900
_WORDS = {
    "basement": _BELOW,
    "cellar": _BELOW,
    "ground": _GROUND,
    "mezzanine": _GROUND,
    "penthouse": _ABOVE - 1,
    "attic": _ABOVE - 1,
    "roof": _ABOVE,
}
_NUMBER = re.compile(r"[-\u2212]?\d{1,3}")

# Floors that say neither a number nor a word that we know stand between the two, as the sheet has them.
_UNKNOWN_FROM = 500


def floor_orders(floors: list[str]) -> dict[str, int]:
    """Each floor's place from the bottom up. Equal floors have equal places."""
    unknown = [floor for floor in dict.fromkeys(floors) if _place(floor) is None]
    orders: dict[str, int] = {}
    for floor in floors:
        place = _place(floor)
        orders[floor] = _UNKNOWN_FROM + unknown.index(floor) if place is None else place
    return orders


def _place(floor: str) -> int | None:
    said = floor.strip().lower()
    for word, place in _WORDS.items():
        if word in said:
            return place
    number = _NUMBER.search(said)
    return int(number.group().replace("\u2212", "-")) if number else None
