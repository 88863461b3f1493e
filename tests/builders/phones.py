"""A phone as the server sees it: cookies, a device id, and lanes that count their mutations."""

import itertools
import secrets
import time
import uuid
from copy import copy
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.builders.people import PASSWORD, CastMember, Link
from tests.builders.world import World

ORIGIN = "https://flarenut.example"


def new_id() -> str:
    """A UUIDv7, as phones make them: its first digits are the time."""
    moment_ms = time.time_ns() // 1_000_000
    bits = (moment_ms << 80) | (7 << 76) | (secrets.randbits(12) << 64) | (2 << 62) | secrets.randbits(62)
    return str(uuid.UUID(int=bits))


class Phone:
    """One browser of one person or link, already signed in."""

    def __init__(self, whose: CastMember | Link, *, device_id: str = "") -> None:
        self.whose = whose
        self.device_id = device_id or new_id()
        self.kind = "link" if isinstance(whose, Link) else "device"
        self.client: FlaskClient = World.app.test_client()
        self.cursors: dict[str, str] = {}
        self._seqs: dict[str, itertools.count[int]] = {}
        self.device_id = self._enter().get_json()["device_id"]

    def again(self) -> "Phone":
        """The same browser once more, which goes on by itself."""
        twin = copy(self)
        twin.client = World.app.test_client()
        twin.client._cookies = dict(self.client._cookies or {})
        twin.cursors = dict(self.cursors)
        twin._seqs = {job_id: copy(seq) for job_id, seq in self._seqs.items()}
        return twin

    def _enter(self) -> TestResponse:
        if isinstance(self.whose, Link):
            body = {"secret": self.whose.secret, "device_id": self.device_id}
            answer = self.post("/api/links/open", json=body)
        else:
            body = {"email": self.whose.email, "password": PASSWORD, "device_id": self.device_id}
            answer = self.post("/api/sign-in", json=body)
        assert answer.status_code == 200, answer.get_data(as_text=True)
        return answer

    def open(self, path: str, *, method: str, **asked: Any) -> TestResponse:
        """Any request, with the header that says which cookie to use."""
        headers = {"X-Flarenut-As": self.kind, **asked.pop("headers", {})}
        return self.client.open(path, method=method, headers=headers, base_url=ORIGIN, **asked)

    def get(self, path: str, **asked: Any) -> TestResponse:
        """Ask."""
        return self.open(path, method="GET", **asked)

    def post(self, path: str, **asked: Any) -> TestResponse:
        """Say."""
        return self.open(path, method="POST", **asked)

    def next_seq(self, job_id: str) -> int:
        """The next number of the lane of that job."""
        return next(self._seqs.setdefault(job_id, itertools.count(1)))

    def pull(self, *, limit: int = 500) -> list[dict[str, Any]]:
        """What changed since the last pull, every page of it."""
        parts: list[dict[str, Any]] = []
        while True:
            body = {"device_id": self.device_id, "cursors": list(self.cursors.values()), "limit": limit}
            answer = self.post("/api/sync/pull", json=body)
            assert answer.status_code == 200, answer.get_data(as_text=True)
            jobs = answer.get_json()["jobs"]
            parts += jobs
            for job in jobs:
                self.cursors[job["job_id"]] = job["cursor"]
                if job["cursor"] is None:
                    del self.cursors[job["job_id"]]
            if not any(job["more"] for job in jobs):
                return parts

    def rows(self, table: str) -> dict[str, dict[str, Any]]:
        """Every row of one table that a new phone would get, by id."""
        kept, self.cursors = self.cursors, {}
        found = {row["id"]: row["fields"] for job in self.pull() for row in job["rows"] if row["table"] == table}
        self.cursors = kept
        return found


def a_mutation(kind: str, entity: str = "", *, base_rev: int = 0, **fields: Any) -> dict[str, Any]:
    """A change as a phone words it; its number is given when it is sent."""
    return {
        "id": new_id(),
        "type": kind,
        "v": 1,
        "entity": entity or new_id(),
        "base_rev": base_rev,
        "fields": fields,
        "device_time": "2026-11-25T09:00:00.000Z",
        "app": "test",
    }


def push(phone: Phone, job_id: str, mutations: list[dict[str, Any]]) -> dict[str, Any]:
    """Send mutations down the lane of one job; those without a number get the next ones."""
    for mutation in mutations:
        mutation.setdefault("seq", 0)
        mutation["seq"] = mutation["seq"] or phone.next_seq(job_id)
    lanes = [{"job_id": job_id, "mutations": mutations}]
    answer = phone.post("/api/sync/push", json={"device_id": phone.device_id, "lanes": lanes})
    assert answer.status_code == 200, answer.get_data(as_text=True)
    lane: dict[str, Any] = answer.get_json()["lanes"][0]
    return lane
