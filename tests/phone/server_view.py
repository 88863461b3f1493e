"""What the server itself holds, asked as a phone would ask: sign in, then pull from the start; or told."""

import json
import time
import urllib.error
import urllib.request
import uuid
from collections.abc import Callable
from datetime import UTC, datetime
from http.cookies import SimpleCookie
from pathlib import Path
from typing import Any

from demo_seed.calendar import wire_time
from demo_seed.people import DemoPerson
from demo_seed.voice import new_id

from tests.phone.server_process import LOGS

SECONDS_MAY_PASS = 20
COOKIE = "__Host-flarenut_device"
LINES_OF_THE_LOG = 20


class ServerView:
    """The rows of every job that this person may see."""

    def __init__(self, origin: str, *, person: DemoPerson) -> None:
        self._origin = origin
        self._device_id = str(uuid.uuid4())
        self._cookie = ""
        self._seqs: dict[str, int] = {}
        self._rows: dict[tuple[str, str, str], dict[str, Any]] = {}  # by job, table and id
        self._cursors: dict[str, str] = {}
        words = {"email": person.email, "password": person.password, "device_id": self._device_id}
        self._post("/api/sign-in", {**words, "device_name": "Test"})

    def _post(self, path: str, body: dict[str, Any]) -> dict[str, Any]:
        return dict(json.loads(self._ask(path, data=json.dumps(body).encode())))

    def _ask(self, path: str, *, data: bytes | None = None) -> bytes:
        headers = {"Content-Type": "application/json", "X-Flarenut-As": "device", "Cookie": self._cookie}
        request = urllib.request.Request(self._origin + path, data=data, headers=headers)
        try:
            with urllib.request.urlopen(request, timeout=30) as answer:
                for header in answer.headers.get_all("Set-Cookie") or []:
                    self._cookie = f"{COOKIE}={SimpleCookie(header)[COOKIE].value}"
                return bytes(answer.read())
        except urllib.error.HTTPError as refusal:
            raise AssertionError(_told(refusal, path=path, log=LOGS.get(self._origin))) from refusal

    def photo(self, photo_id: str) -> bytes:
        """The bytes that the server keeps of a photo."""
        return self._ask(f"/api/photos/{photo_id}/full")

    def plan(self, job_id: str) -> dict[str, Any]:
        """The return plan of a job as of now, worked out by the engine on the server."""
        return dict(json.loads(self._ask(f"/api/jobs/{job_id}/plan")))

    def rows(self, table: str) -> list[dict[str, Any]]:
        """Every row of a table, its fields with its id."""
        self._catch_up()
        return [row for (_, name, _), row in self._rows.items() if name == table]

    def _catch_up(self) -> None:
        """Read on from what is known: a whole job again and again would keep the server from what it is asked about."""
        is_whole = False
        while not is_whole:
            asked = {"device_id": self._device_id, "cursors": list(self._cursors.values()), "limit": 10_000}
            jobs = self._post("/api/sync/pull", asked)["jobs"]
            for job in jobs:
                self._take(job)
            is_whole = not any(job["more"] for job in jobs)

    def _take(self, job: dict[str, Any]) -> None:
        job_id = job["job_id"]
        if job["state"] != "patch":
            self._rows = {key: row for key, row in self._rows.items() if key[0] != job_id}
        for removal in job["removals"]:
            self._rows.pop((job_id, removal["table"], removal["id"]), None)
        for row in job["rows"]:
            self._rows[job_id, row["table"], row["id"]] = {**row["fields"], "id": row["id"], "job_id": job_id}
        self._cursors[job_id] = job["cursor"]
        if job["state"] == "gone":
            del self._cursors[job_id]

    def say(
        self,
        kind: str,
        *,
        job: str,
        entity: str = "",
        outcome: str = "applied",
        clock: datetime | None = None,
        **fields: Any,
    ) -> str:
        """One change by this person, from a device of its own, whatever its clock says; the id of what it is about."""
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
            "device_time": wire_time(clock or now),
            "app": "test",
        }
        lanes = [{"job_id": job, "mutations": [mutation]}]
        lane = self._post("/api/sync/push", {"device_id": self._device_id, "lanes": lanes})["lanes"][0]
        assert lane["receipts"][0]["outcome"] == outcome, lane
        return entity

    def wait_for(self, table: str, is_there: Callable[[list[dict[str, Any]]], bool]) -> list[dict[str, Any]]:
        """Asks again until the rows are as wanted; says what was there instead."""
        deadline = time.monotonic() + SECONDS_MAY_PASS
        while not is_there(rows := self.rows(table)):
            assert time.monotonic() < deadline, f"The server never had the {table} rows as wanted: {rows}"
            time.sleep(0.3)
        return rows


def _told(refusal: urllib.error.HTTPError, *, path: str, log: Path | None) -> str:
    """What was asked, what was answered, and what the server wrote of it: its last lines, if none names it."""
    request_id = refusal.headers.get("X-Request-Id")
    lines = log.read_text(errors="replace").splitlines() if log is not None and log.is_file() else []
    about = [line for line in lines if request_id and request_id in line] or lines[-LINES_OF_THE_LOG:]
    body = refusal.read().decode(errors="replace")
    return "\n".join([f"{path}: HTTP {refusal.code} {body}", f"Request {request_id}, log {log}:", *about])
