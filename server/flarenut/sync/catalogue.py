"""Every mutation there is: its shape, what it does, and who may. One row each.

A type keeps its meaning for ever, because phones come back after days: what changes
its meaning gets a new name.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from marshmallow import Schema

from flarenut.issues import shapes as issue
from flarenut.issues.verbs import (
    accept_issue,
    answer_issue,
    prove_issue,
    raise_issue,
    send_back_issue,
    set_issue,
)
from flarenut.jobs import shapes as job
from flarenut.jobs.verbs import create_job, set_unit
from flarenut.people.actor import Role
from flarenut.photos.shapes import PhotoAdd, PhotoMark
from flarenut.photos.verbs import add_photo, mark_photo
from flarenut.readings.shapes import ReadingRecord
from flarenut.readings.verbs import record_reading
from flarenut.sync.change import Change
from flarenut.visits import shapes as visit
from flarenut.visits.verbs import close_visit, mark_step, plan_visit

Verb = Callable[[Change, dict[str, Any]], None]


@dataclass(frozen=True)
class Kind:
    """One type of mutation. `creates` says that its entity is new with it.

    `v` is its newest version; the two before it are taken too (versions.py).
    """

    shape: type[Schema]
    verb: Verb
    roles: frozenset[Role]
    creates: bool = False
    v: int = 1


T: frozenset[Role] = frozenset({"technician"})
D: frozenset[Role] = frozenset({"dispatcher"})
C: frozenset[Role] = frozenset({"contractor"})

MUTATIONS: dict[str, Kind] = {
    "job.create": Kind(job.JobCreate, create_job, D, creates=True),
    "visit.plan": Kind(visit.VisitPlan, plan_visit, D, creates=True),
    "visit.close": Kind(visit.VisitClose, close_visit, T | D),
    "issue.raise": Kind(issue.IssueRaise, raise_issue, T | D, creates=True),
    "issue.set": Kind(issue.IssueSet, set_issue, T | D),
    "issue.answer": Kind(issue.IssueAnswer, answer_issue, T | C),
    "issue.prove": Kind(issue.IssueProve, prove_issue, T | D),
    "issue.send_back": Kind(issue.IssueSendBack, send_back_issue, T | D),
    "issue.accept": Kind(issue.IssueAccept, accept_issue, T | D),
    "step.mark": Kind(visit.StepMark, mark_step, T | C),
    "reading.record": Kind(ReadingRecord, record_reading, T, creates=True),
    "photo.add": Kind(PhotoAdd, add_photo, T | D | C, creates=True),
    "photo.mark": Kind(PhotoMark, mark_photo, T | D),
    "unit.set": Kind(job.UnitSet, set_unit, T | D),
}

CREATING = frozenset(name for name, kind in MUTATIONS.items() if kind.creates)
