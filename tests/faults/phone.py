"""A phone that keeps to the rules of sync: lanes, dense numbers, an outbox on disk, receipts, cursors.

It does what the app does when it talks to the server, without screens: nothing is laid over
unsent, and of a row it keeps the revision and a digest. It needs nothing but the language, so that
its process starts quickly and can be killed often.
"""

import hashlib
import json
from typing import Any

from tests.faults.journal import Change, Journal
from tests.faults.lanes import fill_gap, new_id
from tests.faults.pushing import Push
from tests.faults.wire import Answer, Ask

PAGE_ROWS = 1_000

Record = dict[str, Any]


def digest_of(fields: Record) -> str:
    """Equal for equal rows."""
    return hashlib.sha256(json.dumps(fields, sort_keys=True).encode()).hexdigest()[:24]


class Phone:
    """One device of one person."""

    def __init__(self, journal: Journal, *, ask: Ask) -> None:
        self.journal = journal
        self._ask = ask
        if "device_id" not in self.meta:
            journal.commit([["meta", "device_id", new_id()]])

    @property
    def meta(self) -> Record:
        return self.journal.table("meta")

    @property
    def outbox(self) -> Record:
        return self.journal.table("outbox")

    @property
    def receipts(self) -> Record:
        return self.journal.table("receipts")

    @property
    def rows(self) -> Record:
        """`table/id` -> [job, revision, digest]."""
        return self.journal.table("rows")

    def ask(self, path: str, body: Record) -> Answer | None:
        """One request; a new cookie is kept."""
        reply = self._ask(path, body, self.meta.get("cookie", ""))
        if reply is None:
            return None
        answer, cookie = reply
        if cookie:
            self.journal.commit([["meta", "cookie", cookie]])
        return answer

    def sign_in(self, *, email: str, password: str) -> bool:
        """Needs an answer; all that is on the phone stays."""
        body = {"email": email, "password": password, "device_id": self.meta["device_id"], "device_name": "Test"}
        answer = self.ask("/api/sign-in", body)
        return answer is not None and answer.status == 200

    def write(self, kind: str, *, job: str, entity: str, fields: Record, also: list[Change] | None = None) -> str:
        """Save a change: numbered, in the outbox, on disk. `also` is written in the same transaction."""
        known = self.rows.get(f"{kind.partition('.')[0]}/{entity}", [job, 0, ""])[1]
        seq = self.journal.table("lanes").get(job, 0) + 1
        mutation = {"id": new_id(), "seq": seq, "type": kind, "v": 1, "entity": entity, "base_rev": known}
        mutation |= {"fields": fields, "device_time": "2026-11-25T09:00:00.000Z", "app": "test"}
        record = {**mutation, "job_id": job}
        self.journal.commit([["outbox", mutation["id"], record], ["lanes", job, seq], *(also or [])])
        return str(mutation["id"])

    def exchange(self) -> str:
        """One round: words out, changes in. `done`, `later` or `signed_out`."""
        pushed = Push(self).run()
        if pushed == "signed_out":
            return pushed
        pulled = self.pull()
        return pushed if pulled == "done" else pulled

    def pull(self) -> str:
        """Bring what changed. Each job's page is one transaction with its cursor."""
        while True:
            cursors = [one for one in self.journal.table("cursors").values() if one]
            body = {"device_id": self.meta["device_id"], "cursors": cursors, "limit": PAGE_ROWS}
            answer = self.ask("/api/sync/pull", body)
            if answer is None or answer.status != 200:
                return "signed_out" if answer is not None and answer.status == 401 else "later"
            for job in answer.body["jobs"]:
                self._take(job)
            if not any(job["more"] for job in answer.body["jobs"]):
                return "done"

    def _take(self, job: Record) -> None:
        job_id = job["job_id"]
        if job["state"] == "gone":
            self._forget(job_id)
            return
        if job["state"] == "reset":
            fill_gap(self, job_id=job_id, last_seq=job["last_seq"])
        changes: list[Change] = self._all_rows_of(job_id) if job["state"] == "reset" else []
        changes += [
            ["rows", f"{row['table']}/{row['id']}", [job_id, row["rev"], digest_of(row["fields"])]]
            for row in job["rows"]
        ]
        changes += [["rows", f"{row['table']}/{row['id']}"] for row in job["removals"]]
        counted = max(self.journal.table("lanes").get(job_id, 0), job["last_seq"])
        self.journal.commit([*changes, ["cursors", job_id, job["cursor"]], ["lanes", job_id, counted]])

    def differing(self) -> list[str]:
        """Jobs and tables whose checksum over ids and revisions is another here than on the server."""
        cursors = self.journal.table("cursors")
        body = {"device_id": self.meta["device_id"], "cursors": list(cursors.values()), "check": sorted(cursors)[:20]}
        answer = self.ask("/api/sync/pull", {**body, "limit": PAGE_ROWS})
        if answer is None or answer.status != 200:
            return ["no answer"]
        held: dict[tuple[str, str], list[str]] = {}
        for key, row in sorted(self.rows.items()):
            table, _, row_id = key.partition("/")
            held.setdefault((row[0], table), []).append(f"{row_id}:{row[1]}")
        mine = {place: hashlib.sha256(",".join(rows).encode()).hexdigest()[:32] for place, rows in held.items()}
        theirs = {(job, table): total for job, sums in answer.body["sums"].items() for table, total in sums.items()}
        return [f"{table} of {job}" for job, table in theirs if mine.get((job, table)) != theirs[job, table]]

    def _forget(self, job_id: str) -> None:
        """Access ended. Rows go only when nothing of the job waits any more; unsent work never goes."""
        if not any(one["job_id"] == job_id for one in self.outbox.values()):
            self.journal.commit([*self._all_rows_of(job_id), ["cursors", job_id]])

    def _all_rows_of(self, job_id: str) -> list[Change]:
        return [["rows", key] for key, row in self.rows.items() if row[0] == job_id]

    def lane(self, job_id: str, *, after: int = 0) -> list[Record]:
        """What waits on a lane, in its order."""
        waiting = [one for one in self.outbox.values() if one["job_id"] == job_id and one["seq"] > after]
        return sorted(waiting, key=lambda one: one["seq"])
