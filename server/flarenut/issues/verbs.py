"""What can happen to an issue. Every verb leaves a line in its history."""

from datetime import date
from typing import Any

from sqlalchemy import func, select

from flarenut.db import db
from flarenut.errors import Refused
from flarenut.issues.permissions import check_accept, check_answer, check_prove, check_send_back
from flarenut.issues.states import state_after
from flarenut.issues.tables import Issue, IssueEvent
from flarenut.issues.visibility import stamp_what_hangs_on
from flarenut.jobs.tables import Unit
from flarenut.sync.change import Change
from flarenut.visits.happened import happened_at
from flarenut.visits.steps import reset_steps
from flarenut.visits.tables import Visit


def raise_issue(change: Change, fields: dict[str, Any]) -> None:
    """Log a defect against the unit where it stands."""
    unit: Unit = change.need(Unit, fields["unit_id"])
    visit_id = fields.get("visit_id")
    if visit_id is not None:
        change.need(Visit, visit_id)
    issue = change.add(
        Issue(
            id=change.entity,
            number=_next_number(change),
            unit_id=unit.id,
            system_id=unit.system_id,
            category=fields["category"],
            words=fields.get("words") or "",
            action=fields.get("action") or "",
            evidence=fields.get("evidence") or "",
            stops=_each_once(fields.get("stops")),
            opens_circuit=fields.get("opens_circuit", False),
            who_must_act=fields["who_must_act"],
            state="open",
            visit_id=visit_id,
            raised_at=happened_at(change),
            raised_by_name=change.actor.name,
            due_on=fields.get("due_on"),
        )
    )
    _write_event(change, issue, kind="raised", words=issue.words)
    if issue.opens_circuit:
        reset_steps(change, system_id=issue.system_id, issue_id=issue.id)


def _next_number(change: Change) -> int:
    """The job row is locked, so two phones never get one number.

    A phone that comes back with a hundred issues asks once: the job remembers the last number and its revision,
    and what was undone since left the job at an earlier one.
    """
    job = change.job
    if job is None:
        raise Refused("not_found", "There is no such job.")
    at_rev, number = job.last_numbered
    if not 0 < at_rev < change.rev:
        number = db.session.scalar(select(func.max(Issue.number)).where(Issue.job_id == job.id)) or 0
    job.last_numbered = (change.rev, number + 1)
    return number + 1


def _each_once(sides: list[str] | None) -> list[str]:
    return sorted(set(sides or []))


def _write_event(
    change: Change, issue: Issue, *, kind: str, words: str | None = "", promised_on: date | None = None
) -> None:
    change.add(
        IssueEvent(
            made_rev=change.rev,
            issue_id=issue.id,
            kind=kind,
            words=words or "",
            promised_on=promised_on,
            by_name=change.actor.name,
            by_person_id=change.actor.person_id,
            by_role=change.actor.role,
            at=happened_at(change),
            shown_to_contractor=issue.who_must_act == "contractor",
        )
    )


def _move(change: Change, issue: Issue, **fields: Any) -> None:
    """Carry out a move that the table of states has allowed.

    Moves are judged one after the other under the lock of the job, so there are never two
    values of a state: whoever comes too late is refused and told why.
    """
    for name, value in fields.items():
        setattr(issue, name, value)
    change.stamp(issue)


# What may be corrected after an issue was raised; anything else goes through a verb of its own.
SETTABLE = ("category", "words", "action", "evidence", "opens_circuit", "who_must_act", "due_on", "unit_id")


def set_issue(change: Change, fields: dict[str, Any]) -> None:
    """Correct an issue. Who must act decides who sees it, so what hangs on it travels again."""
    issue: Issue = change.need(Issue, change.entity)
    wanted = {name: fields[name] for name in SETTABLE if name in fields}
    for name in ("words", "action", "evidence"):
        if name in wanted:
            wanted[name] = wanted[name] or ""
    if "stops" in fields:
        wanted["stops"] = _each_once(fields["stops"])
    unit = change.need(Unit, wanted["unit_id"]) if "unit_id" in wanted else None
    was_opening, was_with = issue.opens_circuit and issue.system_id, issue.who_must_act
    change.set_fields(issue, wanted)
    if unit is not None:
        issue.system_id = unit.system_id  # goes with the unit: nobody is asked about it by itself
    if issue.who_must_act != was_with and "contractor" in (issue.who_must_act, was_with):
        stamp_what_hangs_on(change, issue)
    if issue.opens_circuit and was_opening != issue.system_id:
        reset_steps(change, system_id=issue.system_id, issue_id=issue.id)
    # Without words: what changed stands in the issue, and names of fields are nobody's history.
    _write_event(change, issue, kind="changed")


def answer_issue(change: Change, fields: dict[str, Any]) -> None:
    """The one who must act says that it is fixed, or by when it will be."""
    issue: Issue = change.need(Issue, change.entity)
    if fields["fixed"]:
        _answer_fixed(change, issue, fields=fields)
    else:
        _answer_with_date(change, issue, fields=fields)


def _answer_fixed(change: Change, issue: Issue, *, fields: dict[str, Any]) -> None:
    check_answer(issue, actor=change.actor, verb="answer")
    actor = change.actor
    _move(
        change,
        issue,
        state=state_after(issue.state, verb="answer", role=actor.role),
        answered_at=happened_at(change),
        answered_by_name=actor.name,
        fixed_by_person_ids=sorted({*issue.fixed_by_person_ids, *([str(actor.person_id)] if actor.person_id else [])}),
        answered_by_link_id=actor.link_id,
    )
    _write_event(change, issue, kind="answered", words=fields.get("words"))
    if issue.opens_circuit:
        # The repair itself opened the circuit, whatever was proved since the issue was raised.
        reset_steps(change, system_id=issue.system_id, issue_id=issue.id)


def _answer_with_date(change: Change, issue: Issue, *, fields: dict[str, Any]) -> None:
    check_answer(issue, actor=change.actor, verb="promise")
    promised_on, words = fields.get("promised_on"), fields.get("words")
    if promised_on is None and not (words or "").strip():
        raise Refused(
            "empty_answer",
            "Say that it is fixed, or by when it will be, or what is in the way.",
            {"promised_on": "a date or words are needed"},
        )
    _move(change, issue, promised_on=promised_on or issue.promised_on)
    kind = "promised" if promised_on else "changed"
    _write_event(change, issue, kind=kind, words=words, promised_on=promised_on)


def prove_issue(change: Change, fields: dict[str, Any]) -> None:
    """Someone other than the fixer looked again, and it holds."""
    issue: Issue = change.need(Issue, change.entity)
    check_prove(issue, actor=change.actor)
    _move(
        change,
        issue,
        state=state_after(issue.state, verb="prove", role=change.actor.role),
        proved_by_name=change.actor.name,
        closed_at=happened_at(change),
    )
    _write_event(change, issue, kind="proved", words=fields.get("words"))


def send_back_issue(change: Change, fields: dict[str, Any]) -> None:
    """It does not hold, or not any more. The words say what is still wrong."""
    issue: Issue = change.need(Issue, change.entity)
    check_send_back(issue, actor=change.actor)
    _move(
        change,
        issue,
        state=state_after(issue.state, verb="send_back", role=change.actor.role),
        times_reopened=issue.times_reopened + 1,
        promised_on=None,  # The promise was for a fix that did not hold.
        fixed_by_person_ids=[],  # The next fix is another one.
        proved_by_name=None,
        closed_at=None,
        accepted_by_name=None,
        accepted_reason=None,
    )
    _write_event(change, issue, kind="sent_back", words=fields["words"])


def accept_issue(change: Change, fields: dict[str, Any]) -> None:
    """Left as it is, with the name of whoever answers for that and the reason."""
    issue: Issue = change.need(Issue, change.entity)
    check_accept(issue, actor=change.actor)
    _move(
        change,
        issue,
        state=state_after(issue.state, verb="accept", role=change.actor.role),
        accepted_by_name=fields["name"],
        accepted_reason=fields["reason"],
        closed_at=happened_at(change),
    )
    _write_event(change, issue, kind="accepted", words=f"{fields['name']}: {fields['reason']}")
