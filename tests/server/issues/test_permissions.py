"""Each rule about issues answers twice: the check says why not, and the can says yes or no."""

from typing import Any
from uuid import uuid4

import pytest

from flarenut.errors import Refused
from flarenut.issues import permissions
from flarenut.issues.tables import Issue
from flarenut.people.actor import Actor, Role

JOB = uuid4()
BEN_ID = uuid4()


def actor(role: Role, **more: Any) -> Actor:
    """Someone of one company."""
    return Actor(company_id=uuid4(), role=role, device_id=uuid4(), name="Someone", **more)


ANA, BEN, TOM = actor("dispatcher"), actor("technician", person_id=BEN_ID), actor("technician", person_id=uuid4())
CARL, CARL_ELSEWHERE = actor("contractor", link_job_id=JOB), actor("contractor", link_job_id=uuid4())


def issue(state: str, *, who_must_act: str = "contractor", **more: Any) -> Issue:
    """An issue that no database knows."""
    return Issue(job_id=JOB, state=state, who_must_act=who_must_act, **more)


CASES: list[tuple[str, Issue, Actor, bool]] = [
    ("see", issue("open"), CARL, True),
    ("see", issue("open"), CARL_ELSEWHERE, False),
    ("see", issue("open", who_must_act="customer"), CARL, False),
    ("see", issue("open", who_must_act="customer"), BEN, True),
    ("prove", issue("answered"), BEN, True),
    ("prove", issue("answered", fixed_by_person_ids=[str(BEN_ID)]), BEN, False),
    ("prove", issue("answered", fixed_by_person_ids=[str(BEN_ID)]), TOM, True),
    ("prove", issue("answered", fixed_by_person_ids=[str(BEN_ID)]), ANA, True),
    ("prove", issue("open"), BEN, False),
    ("prove", issue("answered"), CARL, False),
    ("send_back", issue("proved"), BEN, True),
    ("send_back", issue("open"), BEN, False),
    ("send_back", issue("answered"), CARL, False),
    ("accept", issue("open"), ANA, True),
    ("accept", issue("proved"), ANA, False),
    ("accept", issue("open"), CARL, False),
]


@pytest.mark.parametrize(("verb", "asked", "who", "allowed"), CASES)
def test_check_and_can_agree(verb: str, asked: Issue, who: Actor, allowed: bool) -> None:  # noqa: FBT001
    check, can = getattr(permissions, f"check_{verb}"), getattr(permissions, f"can_{verb}")

    assert can(asked, actor=who) is allowed
    if allowed:
        check(asked, actor=who)
    else:
        with pytest.raises(Refused):
            check(asked, actor=who)


@pytest.mark.parametrize(("who", "allowed"), [(CARL, True), (BEN, True), (ANA, False), (CARL_ELSEWHERE, False)])
def test_fixers_answer_and_the_office_does_not(who: Actor, allowed: bool) -> None:  # noqa: FBT001
    assert permissions.can_answer(issue("open"), actor=who, verb="answer") is allowed
