"""The numbers of a lane when phone and server do not agree: a copied phone, a restored server, a poison."""

import secrets
import time
import uuid
from typing import TYPE_CHECKING

from tests.faults.journal import Change

if TYPE_CHECKING:
    from tests.faults.phone import Phone


def new_id() -> str:
    """A UUIDv7, as phones make them."""
    bits = (time.time_ns() // 1_000_000 << 80) | (7 << 76) | (secrets.randbits(12) << 64) | (2 << 62)
    return str(uuid.UUID(int=bits | secrets.randbits(62)))


def become_new_device(phone: "Phone") -> None:
    """Another phone uses this one's id: a new id, and every lane counts from 1 again."""
    used = phone.meta.get("renumbered", 0) + 1
    phone.journal.commit([["meta", "device_id", new_id()], ["meta", "renumbered", used]])
    for job_id in list(phone.journal.table("lanes")):
        renumber(phone, job_id=job_id, after=0)


def renumber(phone: "Phone", *, job_id: str, after: int) -> None:
    """What is unsent after `after` counts densely from there, in its old order and under its old ids."""
    waiting = phone.lane(job_id, after=after)
    moved = [["outbox", one["id"], {**one, "seq": after + 1 + place}] for place, one in enumerate(waiting)]
    phone.journal.commit([*moved, ["lanes", job_id, after + len(waiting)]])


def fill_gap(phone: "Phone", *, job_id: str, last_seq: int) -> bool:
    """The server knows the lane only up to `last_seq`: offer again what it had acknowledged beyond that."""
    mine = (phone.meta["device_id"], job_id)
    lost = [
        one for one in phone.receipts.values() if (one["device_id"], one["job_id"]) == mine and one["seq"] > last_seq
    ]
    again: list[Change] = [["outbox", one["id"], one["mutation"]] for one in lost]
    if lost:
        phone.journal.commit([*again, *(["receipts", one["id"]] for one in lost)])
    waiting = phone.lane(job_id, after=last_seq)
    is_dense = all(one["seq"] == last_seq + 1 + place for place, one in enumerate(waiting))
    if not is_dense:
        renumber(phone, job_id=job_id, after=last_seq)
    return bool(lost) or not is_dense
