"""Receipts: the stored answer to each mutation, so that asking twice changes nothing."""

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select

from flarenut.db import db
from flarenut.people.actor import Actor
from flarenut.sync.mutation import Mutation
from flarenut.sync.plain import storable
from flarenut.sync.tables import Lane, Receipt


@dataclass(frozen=True, kw_only=True)
class Result:
    """What became of one mutation."""

    outcome: str
    rev: int
    detail: dict[str, Any] | None = None

    @property
    def is_aside(self) -> bool:
        """Not applied, and so kept whole for its author."""
        return self.outcome in ("refused", "set_aside")


def known_receipts(mutations: Iterable[Mutation], *, device_id: uuid.UUID) -> dict[uuid.UUID, Receipt]:
    """The receipts there are for these mutations, in one query; this device's own before another's.

    A copied phone offers under its new device what it, or its twin, had sent under the old one.
    """
    found = db.session.scalars(select(Receipt).where(Receipt.id.in_([mutation.id for mutation in mutations])))
    ordered = sorted(found, key=lambda receipt: receipt.device_id == device_id)
    return {receipt.id: receipt for receipt in ordered}


def receipt_for(actor: Actor, *, lane: Lane, mutation: Mutation, result: Result) -> Receipt:
    """The answer, to be stored beside what it answers for: both are there or neither is."""
    return Receipt(
        id=mutation.id,
        company_id=actor.company_id,
        device_id=lane.device_id,
        job_id=lane.job_id,
        seq=mutation.seq,
        body_hash=mutation.body_hash,
        outcome=result.outcome,
        rev=result.rev,
        detail=storable(result.detail),
    )


def receipt_on_the_wire(receipt: Receipt, *, seq: int) -> dict[str, Any]:
    """As the phone reads it, under the place in the lane that it asked from."""
    return {
        "id": str(receipt.id),
        "seq": seq,
        "outcome": receipt.outcome,
        "rev": receipt.rev,
        "detail": receipt.detail,
    }
