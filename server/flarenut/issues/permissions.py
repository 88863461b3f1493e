"""Who may do what to an issue: each rule as a check that says why not, and a can that answers yes or no."""

from collections.abc import Callable

from flarenut.errors import Refused
from flarenut.issues.states import state_after
from flarenut.issues.tables import Issue
from flarenut.people.actor import Actor


def check_see(issue: Issue, *, actor: Actor) -> None:
    """A contractor sees what the contractor must act on, on the job of their link, and nothing else."""
    if actor.role != "contractor":
        return
    if issue.who_must_act != "contractor" or issue.job_id != actor.link_job_id:
        raise Refused("not_found", "There is no such issue on this job.")


def check_answer(issue: Issue, *, actor: Actor, verb: str) -> None:
    """Answering is for whoever fixes; a contractor answers only their own issues."""
    check_see(issue, actor=actor)
    state_after(issue.state, verb=verb, role=actor.role)


def check_prove(issue: Issue, *, actor: Actor) -> None:
    """A fix is proved by someone who did no part of it (GSA commissioning guide: verified by, S)."""
    state_after(issue.state, verb="prove", role=actor.role)
    if str(actor.person_id) in (issue.fixed_by_person_ids or []):
        raise Refused(
            "fixer_cannot_prove",
            "You answered this issue as fixed, so someone else must prove the fix.",
            {"answered_by_name": issue.answered_by_name},
        )


def check_send_back(issue: Issue, *, actor: Actor) -> None:
    """Sending back is open to whoever may prove, the fixer included: nobody need hide a bad fix."""
    state_after(issue.state, verb="send_back", role=actor.role)


def check_accept(issue: Issue, *, actor: Actor) -> None:
    """Accepting as is needs an issue that is not closed yet."""
    state_after(issue.state, verb="accept", role=actor.role)


def _answers(check: Callable[..., None], issue: Issue, **asked: object) -> bool:
    try:
        check(issue, **asked)
    except Refused:
        return False
    return True


def can_see(issue: Issue, *, actor: Actor) -> bool:
    """May this actor see the issue?"""
    return _answers(check_see, issue, actor=actor)


def can_answer(issue: Issue, *, actor: Actor, verb: str) -> bool:
    """May this actor answer the issue?"""
    return _answers(check_answer, issue, actor=actor, verb=verb)


def can_prove(issue: Issue, *, actor: Actor) -> bool:
    """May this actor prove the fix?"""
    return _answers(check_prove, issue, actor=actor)


def can_send_back(issue: Issue, *, actor: Actor) -> bool:
    """May this actor send the issue back?"""
    return _answers(check_send_back, issue, actor=actor)


def can_accept(issue: Issue, *, actor: Actor) -> bool:
    """May this actor accept the issue as it is?"""
    return _answers(check_accept, issue, actor=actor)
