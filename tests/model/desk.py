"""The desk beside the server: it makes companies for the runs, moves visits, and tells what lies in the database.

It speaks JSON on loopback to the program that runs the phones, and goes past every wall of the server.
"""

import base64
import hashlib
import io
import json
import secrets
import sys
import threading
import uuid
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import psycopg2.extras
from PIL import Image

from tests.faults.database import Database

PEOPLE = (("Ana", "dispatcher", ("ana-1",)), ("Ben", "technician", ("ben-1", "ben-2")))
COUNTED = ("issue", "issue_event", "reading", "photo", "visit")
# Whose visit it is while it is not theirs.
SOMEBODY_ELSE = "Noa"

_PERSON = (
    "INSERT INTO person (id, company_id, email, name, role, password_hash)"
    " VALUES (%s, %s, %s, %s, %s, 'signs in nowhere') RETURNING id"
)
_DEVICE = "INSERT INTO device (id, company_id, name, person_id) VALUES (%s, %s, %s, %s)"
_SESSION = "INSERT INTO device_session (id, company_id, device_id, person_id, token_hash) VALUES (%s, %s, %s, %s, %s)"
_RECEIPTS = "SELECT id, device_id, job_id, seq, outcome, rev FROM receipt WHERE job_id = ANY(%s::uuid[])"
_PHOTOS = "SELECT id, job_id, company_id, sha256, state FROM photo WHERE job_id = ANY(%s::uuid[])"
_ASIDE = (
    "SELECT id, company_id, person_id, type, entity, body, settled_at IS NOT NULL AS is_settled, taken_rev"
    " FROM set_aside"
    " WHERE job_id = ANY(%s::uuid[])"
)
_VALUES = (
    "SELECT id, json_build_object('words', words, 'due_on', due_on) AS fields FROM issue"
    " WHERE job_id = ANY(%(jobs)s::uuid[])"
    " UNION ALL SELECT id, json_build_object('room', room, 'place', place) FROM unit"
    " WHERE job_id = ANY(%(jobs)s::uuid[])"
    " UNION ALL SELECT id, json_build_object('note', note) FROM step WHERE job_id = ANY(%(jobs)s::uuid[])"
)
_LINES = (
    "SELECT issue_id, words, promised_on::text FROM issue_event"
    " WHERE kind IN ('raised', 'answered', 'promised', 'proved', 'sent_back') AND job_id = ANY(%(jobs)s::uuid[])"
    " UNION ALL SELECT id, reason, NULL FROM reading WHERE job_id = ANY(%(jobs)s::uuid[])"
)
_MOVE = "UPDATE job SET rev = rev + 1 WHERE id = %s RETURNING rev, company_id"
_EPOCH = "UPDATE company SET epoch = gen_random_uuid() WHERE id = %s"
_OTHER = "(SELECT id FROM person WHERE company_id = %s AND name = %s)"
_TO_OTHER = f"UPDATE visit SET rev = %s, person_id = {_OTHER} WHERE job_id = %s"
_TO_THEM = "UPDATE visit SET rev = %s, person_id = %s WHERE job_id = %s"


class _Line(ThreadingHTTPServer):
    """A program of phones may be ended in the middle of a question."""

    daemon_threads = True

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Whatever else goes wrong is told."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class Desk:
    """One connection, used by one request at a time."""

    def __init__(self, database: Database, *, photos: Path) -> None:
        self._photos = photos
        psycopg2.extras.register_uuid()
        self._connection = database.connect()
        self._connection.autocommit = False
        with self._connection, self._connection.cursor() as cursor:
            cursor.execute("CREATE SCHEMA IF NOT EXISTS backups")
        self._lock = threading.Lock()
        self._picture = _a_picture()
        self._http = _Line(("127.0.0.1", 0), self._handler())
        self.port = int(self._http.server_address[1])
        threading.Thread(target=self._http.serve_forever, daemon=True).start()

    def close(self) -> None:
        self._http.shutdown()
        self._http.server_close()
        self._connection.close()

    def answer(self, path: str, said: dict[str, Any]) -> Any:
        """What was asked for, in a transaction of its own."""
        ways = {
            "/company": self._company,
            "/visit": self._visit,
            "/epoch": self._epoch,
            "/back_up": self._back_up,
            "/restore": self._restore,
            "/truth": self._truth,
        }
        with (
            self._lock,
            self._connection,
            self._connection.cursor(cursor_factory=psycopg2.extras.RealDictCursor) as cursor,
        ):
            return ways[path](cursor, **said)

    def _company(self, cursor: Any) -> dict[str, Any]:
        company, phones = uuid.uuid4(), []
        cursor.execute("INSERT INTO company (id, name) VALUES (%s, 'Invented Climate')", (company,))
        for name, role, devices in (*PEOPLE, (SOMEBODY_ELSE, "technician", ())):
            person = uuid.uuid4()
            cursor.execute(_PERSON, (person, company, f"{person}@invented.example", name, role))
            for device_name in devices:
                device, token = uuid.uuid4(), secrets.token_urlsafe(32)
                hashed = hashlib.sha256(token.encode()).hexdigest()
                cursor.execute(_DEVICE, (device, company, device_name, person))
                cursor.execute(_SESSION, (uuid.uuid4(), company, device, person, hashed))
                who = {"id": person, "name": name, "role": role}
                phones.append({"name": device_name, "device_id": device, "cookie": token, "person": who})
        about = {"salt": secrets.token_hex(8), "company": "Invented Climate", "company_id": company}
        return {**about, "phones": phones, "picture": self._picture}

    def _visit(self, cursor: Any, *, job_id: str, person_id: str, is_theirs: bool) -> dict[str, Any]:
        cursor.execute(_MOVE, (job_id,))
        job = cursor.fetchone()
        if is_theirs:
            cursor.execute(_TO_THEM, (job["rev"], person_id, job_id))
        else:
            cursor.execute(_TO_OTHER, (job["rev"], job["company_id"], SOMEBODY_ELSE, job_id))
        return {"rev": job["rev"]}

    def _epoch(self, cursor: Any, *, company_id: str) -> dict[str, Any]:
        cursor.execute(_EPOCH, (company_id,))
        return {}

    def _back_up(self, cursor: Any, *, company_id: str) -> dict[str, Any]:
        """All of a company as it is now, in place of an older backup."""
        for table, column in _tables(cursor):
            copy = _copy_of(table, company_id=company_id)
            cursor.execute(f"DROP TABLE IF EXISTS {copy}")
            cursor.execute(f"CREATE UNLOGGED TABLE {copy} AS SELECT * FROM {table} WHERE {column} = %s", (company_id,))
        return {}

    def _restore(self, cursor: Any, *, company_id: str) -> dict[str, Any]:
        """As it was then; nothing is checked meanwhile, as in a restore."""
        cursor.execute("SET LOCAL session_replication_role = replica")
        for table, column in _tables(cursor):
            cursor.execute(f"DELETE FROM {table} WHERE {column} = %s", (company_id,))
            cursor.execute(f"INSERT INTO {table} SELECT * FROM {_copy_of(table, company_id=company_id)}")
        return {}

    def _truth(self, cursor: Any, *, job_ids: list[str]) -> dict[str, Any]:
        def rows(query: str) -> list[dict[str, Any]]:
            cursor.execute(query, (job_ids,))
            return list(cursor.fetchall())

        cursor.execute(_VALUES, {"jobs": job_ids})
        values = {str(row["id"]): row["fields"] for row in cursor.fetchall()}
        cursor.execute(_LINES, {"jobs": job_ids})
        lines = [list(row.values()) for row in cursor.fetchall()]
        counts = {
            table: rows(f"SELECT count(*) AS n FROM {table} WHERE job_id = ANY(%s::uuid[])")[0]["n"]
            for table in COUNTED
        }
        aside = [self._as_kept(row) for row in rows(_ASIDE)]
        return {
            "jobs": rows("SELECT id, rev FROM job WHERE id = ANY(%s::uuid[])"),
            "receipts": rows(_RECEIPTS),
            "aside": aside,
            "counts": counts,
            "photos": [self._with_bytes(row) for row in rows(_PHOTOS)],
            "values": values,
            "lines": lines,
        }

    def _with_bytes(self, photo: dict[str, Any]) -> dict[str, Any]:
        company, sha256 = photo.pop("company_id"), photo.pop("sha256")
        return {**photo, "is_kept": self._is_kept(company, sha256=sha256, photo=photo["id"])}

    def _as_kept(self, aside: dict[str, Any]) -> dict[str, Any]:
        """What was meant; and of a photo, whether its bytes came before a restore."""
        company, photo = aside.pop("company_id"), aside.pop("entity")
        fields = json.loads(aside.pop("body"))["fields"]
        is_photo = aside.pop("type") == "photo.add"
        is_kept = is_photo and self._is_kept(company, sha256=fields["sha256"], photo=photo)
        return {**aside, "fields": fields, "is_kept": is_kept}

    def _is_kept(self, company: uuid.UUID, *, sha256: str, photo: uuid.UUID) -> bool:
        """Are the bytes in the store, with the note that they were sent as this photo?"""
        near = self._photos / str(company) / sha256[:2]
        return (near / sha256).is_file() and any(near.glob(f"{sha256}.{photo}.*"))

    def _handler(desk) -> type[BaseHTTPRequestHandler]:  # noqa: N805 -- `self` is the handler's below.
        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def do_POST(self) -> None:
                said = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                try:
                    status, told = 200, desk.answer(self.path, said)
                except Exception as problem:  # noqa: BLE001 -- told to whoever asked, who fails with it.
                    status, told = 500, repr(problem)
                body = json.dumps(told, default=str).encode()
                self.send_response(status)
                self.send_header("Content-Length", str(len(body)))
                self.end_headers()
                self.wfile.write(body)

            def log_message(self, *_said: Any) -> None:
                """Nobody reads along."""

        return Handler


def _tables(cursor: Any) -> list[tuple[str, str]]:
    """Every table that holds something of one company, and which column says whose it is."""
    cursor.execute(
        "SELECT table_name FROM information_schema.columns"
        " JOIN information_schema.tables USING (table_schema, table_name)"
        " WHERE table_schema = 'public' AND column_name = 'company_id' AND table_type = 'BASE TABLE'"
    )
    return [("company", "id"), *((f'"{row["table_name"]}"', "company_id") for row in cursor.fetchall())]


def _copy_of(table: str, *, company_id: str) -> str:
    name = f"{table}_{company_id}".replace('"', "").replace("-", "")
    return f'backups."{name}"'


def _a_picture() -> str:
    out = io.BytesIO()
    Image.new("RGB", (8, 6), "teal").save(out, "JPEG")
    return base64.b64encode(out.getvalue()).decode()
