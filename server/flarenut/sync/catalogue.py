"""Every mutation there is: its shape, what it does, and who may. One row each.

A type keeps its meaning for ever, because phones come back after days: what changes
its meaning gets a new name.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema

from flarenut.issues import shapes as issue
from flarenut.issues.tables import Issue
from flarenut.issues.verbs import (
    accept_issue,
    answer_issue,
    prove_issue,
    raise_issue,
    send_back_issue,
    set_issue,
)
from flarenut.jobs import shapes as job
from flarenut.jobs.tables import Job, Unit
from flarenut.jobs.verbs import create_job, set_unit
from flarenut.people.actor import Role
from flarenut.photos.shapes import PhotoAdd, PhotoMark
from flarenut.photos.tables import Photo
from flarenut.photos.verbs import add_photo, mark_photo
from flarenut.readings.shapes import ReadingRecord
from flarenut.readings.tables import Reading
from flarenut.readings.verbs import record_reading
from flarenut.sync.change import Change
from flarenut.visits import shapes as visit
from flarenut.visits.tables import Step, Visit
from flarenut.visits.verbs import cancel_visit, close_visit, mark_step, plan_visit, set_visit

Verb = Callable[[Change, dict[str, Any]], None]


@dataclass(frozen=True)
class Kind:
    """One type of mutation. Its entity is a row of `table`; `creates` says that it is new with it.

    `v` is its newest version; the two before it are taken too (versions.py).
    """

    table: Any
    shape: type[Schema]
    verb: Verb
    roles: frozenset[Role]
    creates: bool = False
    v: int = 1


T: frozenset[Role] = frozenset({"technician"})
D: frozenset[Role] = frozenset({"dispatcher"})
C: frozenset[Role] = frozenset({"contractor"})

MUTATIONS: dict[str, Kind] = {
    "job.create": Kind(Job, job.JobCreate, create_job, D, creates=True),
    "visit.plan": Kind(Visit, visit.VisitPlan, plan_visit, D, creates=True),
    "visit.set": Kind(Visit, visit.VisitSet, set_visit, D),
    "visit.cancel": Kind(Visit, visit.VisitCancel, cancel_visit, D),
    "visit.close": Kind(Visit, visit.VisitClose, close_visit, T | D),
    "issue.raise": Kind(Issue, issue.IssueRaise, raise_issue, T | D, creates=True),
    "issue.set": Kind(Issue, issue.IssueSet, set_issue, T | D),
    "issue.answer": Kind(Issue, issue.IssueAnswer, answer_issue, T | C),
    "issue.prove": Kind(Issue, issue.IssueProve, prove_issue, T | D),
    "issue.send_back": Kind(Issue, issue.IssueSendBack, send_back_issue, T | D),
    "issue.accept": Kind(Issue, issue.IssueAccept, accept_issue, T | D),
    "step.mark": Kind(Step, visit.StepMark, mark_step, T | C),
    "reading.record": Kind(Reading, ReadingRecord, record_reading, T, creates=True),
    "photo.add": Kind(Photo, PhotoAdd, add_photo, T | D | C, creates=True),
    "photo.mark": Kind(Photo, PhotoMark, mark_photo, T | D),
    "unit.set": Kind(Unit, job.UnitSet, set_unit, T | D),
}

CREATING = frozenset(name for name, kind in MUTATIONS.items() if kind.creates)
