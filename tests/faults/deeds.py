"""What the phones do while everything breaks: issues logged and corrected, rooms renamed, some of it poison."""

import random
from dataclasses import dataclass
from typing import Any

from tests.faults.journal import Change
from tests.faults.lanes import new_id
from tests.faults.phone import Phone

# Out of a hundred deeds; what is left are issues raised.
SETS, ROOMS, POISONS = 22, 14, 4
POISON = ("unknown type", "unit from nowhere", "a NUL", "no shape")


@dataclass(frozen=True)
class Site:
    """A job, and its units that everybody renames the rooms of."""

    job: str
    units: list[str]


def do_one(phone: Phone, *, sites: list[Site], name: str, seed: str) -> None:
    """The next deed of this phone, out of the seed; that it was done is kept with it."""
    number = phone.meta.get("made", 0) + 1
    chance = random.Random(f"{seed}/{name}/{number}")
    site, words = chance.choice(sites), f"{name}/{number}"
    kind, entity, fields = _deed(phone, site=site, words=words, chance=chance)
    made: list[Change] = [["meta", "made", number]]
    phone.write(kind, job=site.job, entity=entity, fields=fields, also=made)


def _deed(phone: Phone, *, site: Site, words: str, chance: random.Random) -> tuple[str, str, dict[str, Any]]:
    draw = chance.randrange(100)
    issue = _known_issue(phone, site=site, chance=chance)
    if draw < SETS and issue:
        return "issue.set", issue, {"words": words}
    if draw < SETS + ROOMS:
        return "unit.set", chance.choice(site.units), {"room": words}
    if draw < SETS + ROOMS + POISONS:
        return _poison(site, chance.choice(POISON), words=words)
    return "issue.raise", new_id(), _issue(site, words=words)


def _known_issue(phone: Phone, *, site: Site, chance: random.Random) -> str:
    """One that the server has told of, or one of this phone's own that is still unsent."""
    told = [key.partition("/")[2] for key, row in phone.rows.items() if row[0] == site.job and key.startswith("issue/")]
    own = [one["entity"] for one in phone.lane(site.job) if one["type"] == "issue.raise" and _is_sound(one)]
    known = sorted(told[-20:] + own)
    return chance.choice(known) if known else ""


def _is_sound(mutation: dict[str, Any]) -> bool:
    return "poison" not in mutation["fields"].get("words", "")


def _issue(site: Site, *, words: str) -> dict[str, Any]:
    return {"unit_id": site.units[0], "category": "wiring", "words": words, "who_must_act": "contractor"}


def _poison(site: Site, what: str, *, words: str) -> tuple[str, str, dict[str, Any]]:
    """What no server can apply. It must be kept aside and hold nothing up."""
    fields = _issue(site, words=f"{words} poison")
    if what == "unknown type":
        return "issue.dance", new_id(), fields
    if what == "unit from nowhere":
        return "issue.raise", new_id(), {**fields, "unit_id": new_id()}
    if what == "a NUL":
        return "issue.raise", new_id(), {**fields, "words": f"{words} poison \x00"}
    return "issue.raise", new_id(), {"words": f"{words} poison"}
