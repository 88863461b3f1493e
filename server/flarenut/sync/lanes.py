"""One lane of a push: the mutations of one device on one job, in one transaction."""

import uuid
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.dialects.postgresql import insert

from flarenut.db import db, holding_rows
from flarenut.jobs.tables import Job
from flarenut.people.actor import Actor
from flarenut.sync.again import done_already, replaced_by, settle_replaced
from flarenut.sync.apply import TRANSIENT, apply_mutation, apply_outright
from flarenut.sync.aside import GOES_WITH, set_aside, waits_for_creation
from flarenut.sync.mutation import Mutation
from flarenut.sync.receipts import Result, known_receipts, receipt_for, receipt_on_the_wire
from flarenut.sync.sight import can_see_job
from flarenut.sync.tables import Lane, Receipt
from flarenut.sync.waiting import MAY_BE_WAITED_FOR, take_what_waited

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


Apply = Callable[..., Result]


@dataclass
class LaneAnswer:
    """What one lane is told."""

    lane: Lane
    last_seq: int
    receipts: list[dict[str, Any]] = field(default_factory=list)
    # The rows that were new with this push, or opened the job, and by which kind of change: something may have waited.
    made: dict[uuid.UUID, str] = field(default_factory=dict)
    error: dict[str, str] | None = None
    apply: Apply = apply_mutation
    # Asked once: the job is locked, so that nothing but this lane changes what is seen of it.
    is_seen: bool | None = None

    def on_the_wire(self) -> dict[str, Any]:
        """As the phone reads it."""
        return {
            "job_id": str(self.lane.job_id),
            "last_seq": self.last_seq,
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
    with holding_rows():
        lock_job(job_id)
        lane = _lane(actor, device_id=device_id, job_id=job_id)
        ordered = sorted(mutations, key=lambda mutation: mutation.seq)
        _note_settled(lane, ordered=ordered)
        answer = _all_at_once(actor, lane=lane, ordered=ordered) or _one_by_one(actor, lane=lane, ordered=ordered)
        lane.last_seq = answer.last_seq
        db.session.flush()
        if answer.made:
            take_what_waited(job_id, made=answer.made)
    return answer


def _all_at_once(actor: Actor, *, lane: Lane, ordered: list[Mutation]) -> LaneAnswer | None:
    """Nearly always nothing is wrong with any of them: then one savepoint for all costs half the time.

    None when one could not be applied. Nothing of any is left then, and each is taken again by itself.
    """
    answer = LaneAnswer(lane, last_seq=lane.last_seq, apply=apply_outright)
    try:
        with db.session.begin_nested():
            _take_all(actor, answer=answer, ordered=ordered)
    except TRANSIENT:
        raise
    except Exception:  # noqa: BLE001 -- what is wrong is found, judged and logged when they are taken one by one.
        return None
    return answer


def _one_by_one(actor: Actor, *, lane: Lane, ordered: list[Mutation]) -> LaneAnswer:
    answer = LaneAnswer(lane, last_seq=lane.last_seq)
    _take_all(actor, answer=answer, ordered=ordered)
    return answer


def _take_all(actor: Actor, *, answer: LaneAnswer, ordered: list[Mutation]) -> None:
    """The receipts are written together at the end: nothing that is applied asks for them."""
    receipts, new = known_receipts(ordered, device_id=answer.lane.device_id), []
    for mutation in ordered:
        receipt = receipts.get(mutation.id)
        answer.error = _misfit(mutation, answer=answer, receipt=receipt) or answer.error
        if answer.error in (DEVICE_CLONED, SEQ_GAP):
            break
        if receipt is None or receipt.body_hash != mutation.body_hash:
            receipt = receipts[mutation.id] = _take(mutation, actor=actor, answer=answer, other=receipt)
            new.append(receipt)
        answer.last_seq = max(answer.last_seq, mutation.seq)
        answer.receipts.append(receipt_on_the_wire(receipt, seq=mutation.seq))
    db.session.add_all(new)


def _lane(actor: Actor, *, device_id: uuid.UUID, job_id: uuid.UUID) -> Lane:
    """The lane, locked: a second push from the same device waits here even where there is no job."""
    is_it = (Lane.device_id == device_id) & (Lane.job_id == job_id)
    locked = select(Lane).where(is_it).with_for_update().execution_options(populate_existing=True)
    lane = db.session.scalar(locked)
    if lane is None:
        new = insert(Lane).values(
            id=uuid.uuid4(), company_id=actor.company_id, device_id=device_id, job_id=job_id, last_seq=0
        )
        db.session.execute(new.on_conflict_do_nothing())
        lane = db.session.scalars(locked).one()
    return lane


def _note_settled(lane: Lane, *, ordered: list[Mutation]) -> None:
    """A mutation leaves a phone with its receipt, in order: what comes before the first of these has left."""
    if ordered and ordered[0].seq <= lane.last_seq + 1:
        lane.settled_seq = max(lane.settled_seq, ordered[0].seq - 1)


def _misfit(mutation: Mutation, *, answer: LaneAnswer, receipt: Receipt | None) -> dict[str, str] | None:
    """Does the numbering fit? An id known of this device must bring its known body; a new one the next number."""
    is_same = receipt is not None and receipt.body_hash == mutation.body_hash
    if receipt is not None and receipt.device_id == answer.lane.device_id and not is_same:
        return DEVICE_CLONED
    if not is_same and mutation.seq <= answer.last_seq:
        return DEVICE_CLONED
    if mutation.seq > answer.last_seq + 1:
        return SEQ_GAP
    return None


def _take(mutation: Mutation, *, actor: Actor, answer: LaneAnswer, other: Receipt | None) -> Receipt:
    """Apply it, or keep it aside; either way it is acknowledged and the lane goes on.

    `other` answers for another device's change of the same id. A new device id cannot mend
    that, so the change is kept aside and the phone is not told to number itself anew for ever.
    """
    lane = answer.lane
    is_taken = Result(outcome="set_aside", rev=0, detail=_ID_TAKEN)
    result = _result(mutation, actor=actor, answer=answer) if other is None else is_taken
    if result.detail is _NOT_THEIRS:
        answer.error = NO_ACCESS
    if result.is_aside:
        set_aside(actor, lane=lane, mutation=mutation, result=result)
    elif mutation.type in MAY_BE_WAITED_FOR and mutation.entity:
        answer.made[mutation.entity] = mutation.type
    return receipt_for(actor, lane=lane, mutation=mutation, result=result)


def _result(mutation: Mutation, *, actor: Actor, answer: LaneAnswer) -> Result:
    replaced = replaced_by(mutation, actor=actor, job_id=answer.lane.job_id)
    result = done_already(mutation, replaced=replaced) or _judged(mutation, actor=actor, answer=answer)
    settle_replaced(mutation, replaced=replaced, result=result)
    return result


def _judged(mutation: Mutation, *, actor: Actor, answer: LaneAnswer) -> Result:
    lane = answer.lane
    job = db.session.get(Job, lane.job_id)
    is_creation = job is None and mutation.type == "job.create" and mutation.entity == lane.job_id
    if job is None and not is_creation:
        is_waiting = waits_for_creation(lane, ids={lane.job_id})
        detail = GOES_WITH if is_waiting else _NOT_THEIRS
        return Result(outcome="set_aside", rev=0, detail=detail)
    if job is not None and not _is_seen(actor, answer=answer):
        return Result(outcome="set_aside", rev=0, detail=_NOT_THEIRS)
    result = answer.apply(mutation, actor=actor, job=job)
    is_orphan = result.is_aside and (result.detail or {}).get("code") == "not_found"
    if is_orphan and waits_for_creation(lane, ids=mutation.mentioned_ids()):
        return Result(outcome="set_aside", rev=result.rev, detail=GOES_WITH)
    return result


def _is_seen(actor: Actor, *, answer: LaneAnswer) -> bool:
    if answer.is_seen is None:
        answer.is_seen = can_see_job(actor, job_id=answer.lane.job_id)
    return answer.is_seen
