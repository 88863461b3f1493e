"""Who sees which job, and which of its rows."""

import uuid
from typing import Any

from sqlalchemy import ColumnElement, Select, false, func, or_, select, true

from flarenut.db import db
from flarenut.errors import NotFound
from flarenut.issues.tables import Issue, IssueEvent
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.people.tables import ContractorLink
from flarenut.photos.tables import Photo
from flarenut.visits.tables import Visit


def is_in_sight(actor: Actor) -> ColumnElement[bool]:
    """Which jobs: a dispatcher all of the company, a technician those they visit, a link its own."""
    if actor.role == "dispatcher":
        return true()
    if actor.role == "technician":
        return Job.id.in_(select(Visit.job_id).where(Visit.person_id == actor.person_id))
    # Asked again here and not only at the door: a link can be shut while its request waits for a lock.
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


# The contractor's side of an issue: theirs while it is they who must act.
_ISSUE_IS_THEIRS = Issue.who_must_act == "contractor"
_ISSUE_WAS_THEIRS = Issue.seen_by_contractor.is_(true())

# What a contractor gets of a table: (is it theirs now, may they hold it from before).
# A row that is theirs no longer goes out as a removal; one that never was does not go out at all.
CONTRACTOR_ROWS: dict[str, tuple[ColumnElement[bool], ColumnElement[bool]]] = {
    "issue": (_ISSUE_IS_THEIRS, _ISSUE_WAS_THEIRS),
    "issue_event": (
        IssueEvent.issue_id.in_(select(Issue.id).where(_ISSUE_IS_THEIRS)),
        IssueEvent.issue_id.in_(select(Issue.id).where(_ISSUE_WAS_THEIRS)),
    ),
    "photo": (
        Photo.issue_id.in_(select(Issue.id).where(_ISSUE_IS_THEIRS)),
        Photo.issue_id.in_(select(Issue.id).where(_ISSUE_WAS_THEIRS)),
    ),
    "reading": (false(), false()),
}

# Fields of a table that stay with the company: words written for the office, and what was
# said of defects that are not the contractor's.
CONTRACTOR_NEVER_SEES: dict[str, set[str]] = {"visit": {"note", "summary"}, "step": {"note"}}


def rows_in_sight(actor: Actor, *, table: str) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    """(rows to send, rows to send or take back) of one table for this one's eyes."""
    if actor.role != "contractor" or table not in CONTRACTOR_ROWS:
        return true(), true()
    now, before = CONTRACTOR_ROWS[table]
    return now.is_(true()), or_(now.is_(true()), before.is_(true()))
