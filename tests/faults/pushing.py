"""Sending what waits in the outbox, and storing what the server says of it."""

import json
from typing import TYPE_CHECKING, Any

from tests.faults.journal import Change
from tests.faults.lanes import become_new_device, fill_gap, renumber

if TYPE_CHECKING:
    from tests.faults.phone import Phone

BATCH_MUTATIONS = 100
BATCH_BYTES = 76_000
LATER = {408, 423, 425, 429}
MALFORMED = {400, 422}

Record = dict[str, Any]


class Push:
    """Sends what waits, lane by lane and in order. A change leaves the outbox with its receipt only."""

    def __init__(self, phone: "Phone") -> None:
        self.phone = phone
        self.limit = BATCH_MUTATIONS
        self.resting: dict[str, str] = {}

    def run(self) -> str:
        while True:
            batch = self._next_batch()
            if not batch:
                return "later" if "later" in self.resting.values() else "done"
            device_id = self.phone.meta["device_id"]
            lanes = [{"job_id": job_id, "mutations": [_bare(one) for one in lane]} for job_id, lane in batch.items()]
            answer = self.phone.ask("/api/sync/push", {"device_id": device_id, "lanes": lanes})
            if answer is None or answer.status >= 500 or answer.status in LATER:
                return "later"
            if answer.status == 401:
                return "signed_out"
            if answer.status == 413 or answer.status in MALFORMED:
                self._shrink(batch)
                continue
            self._settle(batch, lanes=answer.body["lanes"], device_id=device_id)

    def _next_batch(self) -> dict[str, list[Record]]:
        batch: dict[str, list[Record]] = {}
        room, left = self.limit, BATCH_BYTES
        for job_id in sorted({one["job_id"] for one in self.phone.outbox.values()} - set(self.resting)):
            for one in self.phone.lane(job_id)[:room]:
                left -= len(json.dumps(one))
                if batch and left < 0:
                    return batch
                batch.setdefault(job_id, []).append(one)
                room -= 1
        return batch

    def _shrink(self, batch: dict[str, list[Record]]) -> None:
        """Half as many next time. A single one that cannot travel must not stop its lane."""
        waiting = [one for lane in batch.values() for one in lane]
        if len(waiting) > 1:
            self.limit = (len(waiting) + 1) // 2
            return
        poison, self.limit = waiting[0], BATCH_MUTATIONS
        self.phone.journal.commit([["outbox", poison["id"]], ["attention", poison["id"], poison]])
        renumber(self.phone, job_id=poison["job_id"], after=poison["seq"] - 1)

    def _settle(self, batch: dict[str, list[Record]], *, lanes: list[Record], device_id: str) -> None:
        by_job = {lane["job_id"]: lane for lane in lanes}
        for job_id in batch:
            moved = self._settle_lane(by_job[job_id], device_id=device_id)
            if moved == "cloned":
                return  # Every lane was renumbered: what else this answer says belongs to the old device.
            if moved != "moved":
                self.resting[job_id] = moved

    def _settle_lane(self, lane: Record, *, device_id: str) -> str:
        stored = store_receipts(self.phone, lane, device_id=device_id)
        code = (lane["error"] or {}).get("code")
        if code == "device_cloned":
            become_new_device(self.phone)
            return "cloned"
        if code == "seq_gap":
            return "moved" if fill_gap(self.phone, job_id=lane["job_id"], last_seq=lane["last_seq"]) else "later"
        if stored:
            return "moved"
        return "kept" if code == "no_access" else "later"


def _bare(mutation: Record) -> Record:
    return {name: value for name, value in mutation.items() if name != "job_id"}


def store_receipts(phone: "Phone", lane: Record, *, device_id: str) -> int:
    """The receipt in, the change out: one transaction."""
    changes: list[Change] = []
    for receipt in lane["receipts"]:
        mutation = phone.outbox.get(receipt["id"])
        if mutation is not None:
            kept = {**receipt, "job_id": lane["job_id"], "device_id": device_id, "mutation": mutation}
            changes += [["receipts", receipt["id"], kept], ["outbox", receipt["id"]]]
            if receipt["outcome"] in ("refused", "set_aside"):
                changes.append(["attention", receipt["id"], mutation])
    if changes:
        phone.journal.commit(changes)
    return len(changes)
