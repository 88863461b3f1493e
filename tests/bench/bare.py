"""The least that could be done with the same rows and bytes: written, read and put on the disk without sync."""

import gzip
import json
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

from psycopg2.extras import Json, execute_values

from tests.bench.stand import Stand
from tests.faults.database import Database

# What a push writes for each observation: the issue, the first line of its history, the receipt.
WRITTEN = ("issue", "issue_event", "receipt")
# What a pull brings of it.
BROUGHT = ("issue", "issue_event")
ROWS_AT_ONCE = 1_000


def insert_again(database: Database, *, job_id: str) -> float:
    """[ms] for the same rows by multi-row INSERT into tables of the same columns and indexes, in one transaction."""
    connection = database.connect()
    connection.autocommit = False
    with connection, connection.cursor() as cursor:
        rows = {table: _rows(cursor, table=table, job_id=job_id) for table in WRITTEN}
        for table in WRITTEN:
            cursor.execute(f"CREATE TABLE bare_{table} (LIKE {table} INCLUDING ALL)")
    began = time.perf_counter()
    with connection, connection.cursor() as cursor:
        for table in WRITTEN:
            execute_values(cursor, f"INSERT INTO bare_{table} VALUES %s", rows[table], page_size=ROWS_AT_ONCE)
    took_ms = (time.perf_counter() - began) * 1_000
    connection.close()
    return took_ms


def _rows(cursor: Any, *, table: str, job_id: str) -> list[tuple[Any, ...]]:
    cursor.execute(f"SELECT * FROM {table} WHERE job_id = %s", (job_id,))
    return [tuple(Json(value) if isinstance(value, (dict, list)) else value for value in row) for row in cursor]


def read_again(stand: Stand, *, job_id: str) -> dict[str, Any]:
    """{ms, rows} for the same rows by plain SELECTs, sent as they come, packed, and read by the same client."""
    with _streaming(stand.database, job_id=job_id) as port:
        return dict(stand.on_a_phone("readStream", port=port))


@contextmanager
def _streaming(database: Database, *, job_id: str) -> Iterator[int]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Encoding", "gzip")
            self.end_headers()
            with gzip.open(self.wfile, "wb", compresslevel=5) as out:
                for row in _selected(database, job_id=job_id):
                    out.write(json.dumps(row, default=str).encode() + b"\n")

        def log_message(self, *_said: Any) -> None:
            """Nobody reads along."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield int(server.server_address[1])
    finally:
        server.shutdown()
        server.server_close()


def _selected(database: Database, *, job_id: str) -> Iterator[dict[str, Any]]:
    connection = database.connect()
    connection.autocommit = False
    for table in BROUGHT:
        with connection.cursor(f"read_{table}") as cursor:
            cursor.itersize = ROWS_AT_ONCE
            cursor.execute(f"SELECT * FROM {table} WHERE job_id = %s ORDER BY rev, id", (job_id,))
            for row in cursor:
                yield dict(zip([column.name for column in cursor.description], row, strict=True))
    connection.close()


def write_again(photos: Path, *, into: Path) -> float:
    """[ms] for the same bytes, a file each, every one flushed to the disk."""
    into.mkdir()
    contents = [path.read_bytes() for path in sorted(photos.iterdir())]
    began = time.perf_counter()
    for place, content in enumerate(contents):
        with (into / str(place)).open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
    return (time.perf_counter() - began) * 1_000
