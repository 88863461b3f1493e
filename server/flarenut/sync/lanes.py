"""One lane of a push: the mutations of one device on one job, in one transaction."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import func, select, true
from sqlalchemy.dialects.postgresql import insert

from flarenut.db import db
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.sync.apply import apply_mutation
from flarenut.sync.aside import GOES_WITH, set_aside, waits_for_creation
from flarenut.sync.mutation import Mutation
from flarenut.sync.receipts import Result, known_receipts, receipt_on_the_wire, write_receipt
from flarenut.sync.sight import can_see_job
from flarenut.sync.tables import Lane, Receipt

DEVICE_CLONED = {
    "code": "device_cloned",
    "message": "Another phone speaks under this device's id. Take a new one, number the unsent anew, send again.",
}
SEQ_GAP = {"code": "seq_gap", "message": "Something before this has not arrived. Send from after last_seq."}
NO_ACCESS = {
    "code": "no_access",
    "message": "This job is not among yours. What you sent is kept and waits for you.",
}
_NOT_THEIRS: dict[str, Any] = {**NO_ACCESS, "fields": {}}
_ID_TAKEN: dict[str, Any] = {
    "code": "id_taken",
    "message": "Something else was sent under this id already. It is kept; send it again as a new change.",
    "fields": {},
}

# Longer than any push holds a job (a full one takes well under a second), shorter than a phone waits.
LONGEST_WAIT = "12s"


@dataclass
class LaneAnswer:
    """What one lane is told."""

    lane: Lane
    receipts: list[dict[str, Any]] = field(default_factory=list)
    error: dict[str, str] | None = None

    def on_the_wire(self) -> dict[str, Any]:
        """As the phone reads it."""
        return {
            "job_id": str(self.lane.job_id),
            "last_seq": self.lane.last_seq,
            "receipts": self.receipts,
            "error": self.error,
        }


def lock_job(job_id: uuid.UUID) -> Job | None:
    """Hold the job until the transaction ends: whoever writes to it next waits, and no revision is skipped.

    A job that is not there yet is held by its id, so that two phones cannot both create it.
    """
    locked = select(Job).where(Job.id == job_id).with_for_update().execution_options(populate_existing=True)
    job = db.session.scalar(locked)
    if job is None:
        name = func.hashtextextended(func.concat(func.current_setting("app.company"), str(job_id)), 0)
        db.session.execute(select(func.pg_advisory_xact_lock(name)))
        job = db.session.scalar(locked)
    return job


def push_lane(actor: Actor, *, device_id: uuid.UUID, job_id: uuid.UUID, mutations: Iterable[Mutation]) -> LaneAnswer:
    """Take what is new, answer again for what is not, and stop where the numbering does not fit."""
    db.session.execute(select(func.set_config("lock_timeout", LONGEST_WAIT, true())))
    lock_job(job_id)
    answer = LaneAnswer(_lane(actor, device_id=device_id, job_id=job_id))
    ordered = sorted(mutations, key=lambda mutation: mutation.seq)
    receipts = known_receipts(ordered, device_id=device_id)
    _note_settled(answer.lane, ordered=ordered)
    for mutation in ordered:
        receipt = receipts.get(mutation.id)
        answer.error = _misfit(mutation, lane=answer.lane, receipt=receipt) or answer.error
        if answer.error in (DEVICE_CLONED, SEQ_GAP):
            break
        if receipt is None or receipt.body_hash != mutation.body_hash:
            receipt = receipts[mutation.id] = _take(mutation, actor=actor, answer=answer, other=receipt)
        answer.lane.last_seq = max(answer.lane.last_seq, mutation.seq)
        answer.receipts.append(receipt_on_the_wire(receipt, seq=mutation.seq))
    db.session.flush()
    return answer


def _lane(actor: Actor, *, device_id: uuid.UUID, job_id: uuid.UUID) -> Lane:
    """The lane, locked: a second push from the same device waits here even where there is no job."""
    new = insert(Lane).values(
        id=uuid.uuid4(), company_id=actor.company_id, device_id=device_id, job_id=job_id, last_seq=0
    )
    db.session.execute(new.on_conflict_do_nothing())
    is_it = (Lane.device_id == device_id) & (Lane.job_id == job_id)
    locked = select(Lane).where(is_it).with_for_update().execution_options(populate_existing=True)
    return db.session.scalars(locked).one()


def _note_settled(lane: Lane, *, ordered: list[Mutation]) -> None:
    """A mutation leaves a phone with its receipt, in order: what comes before the first of these has left."""
    if ordered and ordered[0].seq <= lane.last_seq + 1:
        lane.settled_seq = max(lane.settled_seq, ordered[0].seq - 1)


def _misfit(mutation: Mutation, *, lane: Lane, receipt: Receipt | None) -> dict[str, str] | None:
    """Does the numbering fit? An id known of this device must bring its known body; a new one the next number."""
    is_same = receipt is not None and receipt.body_hash == mutation.body_hash
    if receipt is not None and receipt.device_id == lane.device_id and not is_same:
        return DEVICE_CLONED
    if not is_same and mutation.seq <= lane.last_seq:
        return DEVICE_CLONED
    if mutation.seq > lane.last_seq + 1:
        return SEQ_GAP
    return None


def _take(mutation: Mutation, *, actor: Actor, answer: LaneAnswer, other: Receipt | None) -> Receipt:
    """Apply it, or keep it aside; either way it is acknowledged and the lane goes on.

    `other` answers for another device's change of the same id. A new device id cannot mend
    that, so the change is kept aside and the phone is not told to number itself anew for ever.
    """
    lane = answer.lane
    is_taken = Result(outcome="set_aside", rev=0, detail=_ID_TAKEN)
    result = _result(mutation, actor=actor, lane=lane) if other is None else is_taken
    if result.detail is _NOT_THEIRS:
        answer.error = NO_ACCESS
    if result.is_aside:
        set_aside(actor, lane=lane, mutation=mutation, result=result)
    receipt = write_receipt(actor, lane=lane, mutation=mutation, result=result)
    db.session.flush()
    return receipt


def _result(mutation: Mutation, *, actor: Actor, lane: Lane) -> Result:
    job = db.session.get(Job, lane.job_id)
    is_creation = job is None and mutation.type == "job.create" and mutation.entity == lane.job_id
    if job is None and not is_creation:
        is_waiting = waits_for_creation(lane, ids={lane.job_id})
        detail = GOES_WITH if is_waiting else _NOT_THEIRS
        return Result(outcome="set_aside", rev=0, detail=detail)
    if job is not None and not can_see_job(actor, job_id=job.id):
        return Result(outcome="set_aside", rev=0, detail=_NOT_THEIRS)
    result = apply_mutation(mutation, actor=actor, job=job)
    is_orphan = result.is_aside and (result.detail or {}).get("code") == "not_found"
    if is_orphan and waits_for_creation(lane, ids=mutation.mentioned_ids()):
        return Result(outcome="set_aside", rev=result.rev, detail=GOES_WITH)
    return result
