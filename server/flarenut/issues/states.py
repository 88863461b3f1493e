r"""The life of an issue, as data: from a state, by a verb, to a state, and who may do it.

raise -> open -> answered -> proved
             \            \-> sent back -> answered ...
              \-> accepted as is
"""

from typing import NamedTuple

from flarenut.errors import Refused
from flarenut.people.actor import Role


class Move(NamedTuple):
    """One arrow of the diagram."""

    before: str
    verb: str
    after: str
    who: frozenset[Role]


FIXERS: frozenset[Role] = frozenset({"contractor", "technician"})
PROVERS: frozenset[Role] = frozenset({"technician", "dispatcher"})

MOVES = (
    Move("open", "answer", "answered", FIXERS),
    Move("sent_back", "answer", "answered", FIXERS),
    # More words on an answer that nobody has judged yet.
    Move("answered", "answer", "answered", FIXERS),
    # A promise changes the date and not the state.
    Move("open", "promise", "open", FIXERS),
    Move("sent_back", "promise", "sent_back", FIXERS),
    Move("answered", "promise", "answered", FIXERS),
    Move("answered", "prove", "proved", PROVERS),
    Move("answered", "send_back", "sent_back", PROVERS),
    # A fix that did not hold: the issue lives again.
    Move("proved", "send_back", "sent_back", PROVERS),
    Move("accepted", "send_back", "sent_back", PROVERS),
    Move("open", "accept", "accepted", PROVERS),
    Move("answered", "accept", "accepted", PROVERS),
    Move("sent_back", "accept", "accepted", PROVERS),
)

_SAID = {"sent_back": "sent back", "accepted": "accepted as is"}
_DOING = {
    "answer": "answered",
    "promise": "given a date",
    "prove": "proved",
    "send_back": "sent back",
    "accept": "accepted as is",
}


def state_after(state: str, *, verb: str, role: Role) -> str:
    """The state that the verb leads to; refused where the table has no such arrow."""
    for move in MOVES:
        if (move.before, move.verb) == (state, verb):
            if role not in move.who:
                raise Refused("not_your_move", f"A {role} cannot do this to an issue.", {"role": role})
            return move.after
    said = _SAID.get(state, state)
    raise Refused("wrong_state", f"This issue is {said}; it cannot be {_DOING[verb]} now.", {"state": state})
