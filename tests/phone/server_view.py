"""What the server itself holds, asked as a phone would ask: sign in, then pull from the start; or told."""

import json
import time
import urllib.request
import uuid
from collections.abc import Callable
from datetime import UTC, datetime
from http.cookies import SimpleCookie
from typing import Any

from demo_seed.calendar import wire_time
from demo_seed.people import DemoPerson
from demo_seed.voice import new_id

SECONDS_MAY_PASS = 20
COOKIE = "__Host-flarenut_device"


class ServerView:
    """The rows of every job that this person may see."""

    def __init__(self, origin: str, *, person: DemoPerson) -> None:
        self._origin = origin
        self._device_id = str(uuid.uuid4())
        self._cookie = ""
        self._seqs: dict[str, int] = {}
        words = {"email": person.email, "password": person.password, "device_id": self._device_id}
        self._post("/api/sign-in", {**words, "device_name": "Test"})

    def _post(self, path: str, body: dict[str, Any]) -> dict[str, Any]:
        headers = {"Content-Type": "application/json", "X-Flarenut-As": "device", "Cookie": self._cookie}
        request = urllib.request.Request(self._origin + path, data=json.dumps(body).encode(), headers=headers)
        with urllib.request.urlopen(request, timeout=30) as answer:
            for header in answer.headers.get_all("Set-Cookie") or []:
                self._cookie = f"{COOKIE}={SimpleCookie(header)[COOKIE].value}"
            return dict(json.load(answer))

    def rows(self, table: str) -> list[dict[str, Any]]:
        """Every row of a table, its fields with its id."""
        found: dict[str, dict[str, Any]] = {}
        cursors: list[str] = []
        while True:
            asked = {"device_id": self._device_id, "cursors": cursors, "limit": 10_000}
            jobs = self._post("/api/sync/pull", asked)["jobs"]
            for job in jobs:
                rows = [row for row in job["rows"] if row["table"] == table]
                found |= {row["id"]: {**row["fields"], "id": row["id"], "job_id": row["job_id"]} for row in rows}
            if not any(job["more"] for job in jobs):
                return list(found.values())
            cursors = [job["cursor"] for job in jobs]

    def say(self, kind: str, *, job: str, entity: str = "", **fields: Any) -> str:
        """One change by this person, from a device of its own; gives the id of what it is about."""
        self._seqs[job] = self._seqs.get(job, 0) + 1
        now = datetime.now(UTC)
        entity = entity or new_id(now)
        mutation = {
            "id": new_id(now),
            "seq": self._seqs[job],
            "type": kind,
            "v": 1,
            "entity": entity,
            "base_rev": 0,
            "fields": fields,
            "device_time": wire_time(now),
            "app": "test",
        }
        lanes = [{"job_id": job, "mutations": [mutation]}]
        lane = self._post("/api/sync/push", {"device_id": self._device_id, "lanes": lanes})["lanes"][0]
        assert lane["receipts"][0]["outcome"] == "applied", lane
        return entity

    def wait_for(self, table: str, is_there: Callable[[list[dict[str, Any]]], bool]) -> list[dict[str, Any]]:
        """Asks again until the rows are as wanted; says what was there instead."""
        deadline = time.monotonic() + SECONDS_MAY_PASS
        while not is_there(rows := self.rows(table)):
            assert time.monotonic() < deadline, f"The server never had the {table} rows as wanted: {rows}"
            time.sleep(0.3)
        return rows
