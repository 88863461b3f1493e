"""The life of an issue, arrow by arrow."""

from itertools import product

import pytest

from flarenut.errors import Refused
from flarenut.issues.states import MOVES, state_after
from flarenut.people.actor import ROLES

STATES = ("open", "answered", "proved", "sent_back", "accepted")
VERBS = ("answer", "promise", "prove", "send_back", "accept")


@pytest.mark.parametrize("move", MOVES, ids=[f"{move.before}-{move.verb}" for move in MOVES])
def test_each_arrow_is_open_to_those_it_names_and_to_nobody_else(move: object) -> None:
    for role in ROLES:
        if role in move.who:
            assert state_after(move.before, verb=move.verb, role=role) == move.after
        else:
            with pytest.raises(Refused) as refused:
                state_after(move.before, verb=move.verb, role=role)
            assert refused.value.code == "not_your_move"


def test_no_state_and_verb_have_two_arrows() -> None:
    pairs = [(move.before, move.verb) for move in MOVES]

    assert len(set(pairs)) == len(pairs)


def test_every_other_pair_is_refused_in_words() -> None:
    arrows = {(move.before, move.verb) for move in MOVES}

    for state, verb in set(product(STATES, VERBS)) - arrows:
        with pytest.raises(Refused) as refused:
            state_after(state, verb=verb, role="technician")
        assert refused.value.code == "wrong_state"
        assert refused.value.message.startswith("This issue is ")


def test_no_contractor_closes_an_issue() -> None:
    closing = [move for move in MOVES if move.after in ("proved", "accepted")]

    assert closing
    assert all("contractor" not in move.who for move in closing)


def test_every_state_can_be_reached_from_open() -> None:
    reached = {"open"}
    for _ in STATES:
        reached |= {move.after for move in MOVES if move.before in reached}

    assert reached == set(STATES)
