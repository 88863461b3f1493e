"""Who sees which job, and which of its rows."""

import uuid
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, case, exists, false, func, literal, null, or_, select, true
from sqlalchemy.dialects.postgresql import JSONB

from flarenut.db import db
from flarenut.errors import NotFound
from flarenut.issues.tables import Issue, IssueEvent
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor, Role
from flarenut.people.tables import Company, ContractorLink, Person
from flarenut.photos.tables import Photo
from flarenut.visits.tables import Visit


def is_in_sight(actor: Actor) -> ColumnElement[bool]:
    """Which jobs: a dispatcher all of the company, a technician those of their visits, a link its own."""
    # Asked again here and not only at the door: one can be ended, or a link shut, while a request waits for a lock.
    is_working = exists().where(Person.id == actor.person_id, Person.ended_at.is_(None))
    if actor.role == "dispatcher":
        return is_working
    if actor.role == "technician":
        is_theirs = (Visit.person_id == actor.person_id) & (Visit.state != "cancelled")
        return is_working & Job.id.in_(select(Visit.job_id).where(is_theirs))
    if actor.role == "ended":
        return false()
    is_open = ContractorLink.revoked_at.is_(None) & (ContractorLink.expires_at > func.now())
    return Job.id.in_(select(ContractorLink.job_id).where(ContractorLink.id == actor.link_id, is_open))


def can_see_job(actor: Actor, *, job_id: uuid.UUID) -> bool:
    """A job behind another company's wall is as unknown as one that never was."""
    query: Select[Any] = select(Job.id).where(Job.id == job_id, is_in_sight(actor))
    return db.session.execute(query).first() is not None


def need_job(actor: Actor, *, job_id: uuid.UUID) -> None:
    """Go no further unless the job is theirs to see."""
    if not can_see_job(actor, job_id=job_id):
        raise NotFound("not_found", "There is no such job.")


# Which rows of a table are the contractor's now; a table that is not named here is theirs whole.
_OF_THEIR_ISSUES = select(Issue.id).where(Issue.who_must_act == "contractor")
_THEIRS: dict[str, ColumnElement[bool]] = {
    "issue": Issue.who_must_act == "contractor",
    "issue_event": and_(IssueEvent.shown_to_contractor, IssueEvent.issue_id.in_(_OF_THEIR_ISSUES)),
    "photo": Photo.issue_id.in_(_OF_THEIR_ISSUES),
    "reading": false(),
}


def _taken_back(since: Any) -> dict[str, ColumnElement[bool]]:
    """Which rows were the contractor's at some time after `since`, when this reader began.

    Only such a row goes out as a removal. One that left before, or was never theirs, is not even named.
    """
    is_of_left = select(Issue.id).where(Issue.left_contractor_rev > since).correlate(since.table)
    return {
        "issue": Issue.left_contractor_rev > since,
        "issue_event": and_(IssueEvent.shown_to_contractor, IssueEvent.issue_id.in_(is_of_left)),
        "photo": and_(Photo.shown_to_contractor, Photo.issue_id.in_(is_of_left)),
        "reading": false(),
    }


# Which rows of a job, and what of them, hangs on the role alone: so every reader of a role asks in the same words.
def rows_in_sight(role: Role, *, table: str, since: Any) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    """(rows to send, rows to send or take back) of one table for the eyes of a role."""
    now = now_in_sight(role, table=table)
    if role != "contractor" or table not in _THEIRS:
        return now, true()
    return now, or_(now, _taken_back(since)[table].is_(true()))


def now_in_sight(role: Role, *, table: str) -> ColumnElement[bool]:
    """The rows of one table that a role may see at this moment."""
    if role == "ended":
        return false()
    if role != "contractor" or table not in _THEIRS:
        return true()
    return _THEIRS[table].is_(true())


# What of a row stays with the company although the row goes to the contractor, sent as null: words
# written for the office or about others' defects, readings, and who of the company did what.
# `reset_by` stays: it tells them why their step is to be done again.
_WITHHELD: dict[str, frozenset[str]] = {
    "visit": frozenset({"note", "summary", "person_id", "person_name"}),
    "step": frozenset({"note", "reading_id", "done_by_name"}),
    "issue_event": frozenset({"by_person_id"}),
    "photo": frozenset({"by_name"}),
}


def is_withheld(table: str, name: str) -> bool:
    """Does a contractor never read this field?"""
    return name in _WITHHELD.get(table, ())


def _company_name(company_id: Any) -> ColumnElement[str]:
    return select(Company.name).where(Company.id == company_id).scalar_subquery()


# To the contractor the company speaks with one name; their own people keep theirs.
_IN_ITS_NAME: dict[tuple[str, str], ColumnElement[Any]] = {
    ("issue", "raised_by_name"): _company_name(Issue.company_id),
    ("issue", "proved_by_name"): case((Issue.proved_by_name.is_not(None), _company_name(Issue.company_id))),
    ("issue", "answered_by_name"): case(
        (Issue.answered_by_link_id.is_not(None), Issue.answered_by_name),
        (Issue.answered_by_name.is_not(None), _company_name(Issue.company_id)),
    ),
    ("issue_event", "by_name"): case(
        (IssueEvent.by_role == "contractor", IssueEvent.by_name),
        else_=_company_name(IssueEvent.company_id),
    ),
}


def as_seen_by(role: Role, *, column: Any) -> ColumnElement[Any]:
    """One field as a role may read it."""
    seen: ColumnElement[Any] = column
    table, name = column.class_.__tablename__, column.key
    if role != "contractor":
        return seen
    if is_withheld(table, name):
        return null()
    # The value that was pushed aside is between the company's people, with their names; and what a field
    # means that only newer apps know is for none to say, so it may be theirs alone.
    if name in ("two_values", "unknown_fields"):
        return literal({}, JSONB)
    return _IN_ITS_NAME.get((table, name), seen)
