"""Real servers on the database of this run, and a phone's requests as bytes on a real line."""

import http.client
import os
import signal
import socket
import struct
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from flask import Flask

from tests.builders import Phone
from tests.builders.phones import ORIGIN
from tests.server.photos.sending import BODY, TUS, UPLOADS

STARTS_WITHIN_S = 60
ANSWERS_WITHIN_S = 60


@contextmanager
def serving(app: Flask, *, data: Path, workers: int = 2, first: str = "", **settings: str) -> Iterator[int]:
    """One more server on the same database, with a data folder of its own; its port. What comes first is Python."""
    port = free_port()
    given = {
        "FLARENUT_DATA": str(data),
        "FLARENUT_PORT": str(port),
        "FLARENUT_WORKERS": str(workers),
        "FLARENUT_SECRET": app.config["SECRET_KEY"],
        "FLARENUT_LOG_LEVEL": "error",
        "DATABASE_URL": app.config["OWNER_URL"].render_as_string(hide_password=False),
        "DATABASE_APP_URL": app.config["SQLALCHEMY_DATABASE_URI"].render_as_string(hide_password=False),
        **settings,
    }
    data.mkdir(parents=True, exist_ok=True)
    with (data / "server.log").open("wb") as log:
        command = [sys.executable, "-c", f"{first}\nfrom flarenut.cli import main\nmain(['serve'])"]
        process = subprocess.Popen(command, env={**os.environ, **given}, stdout=log, stderr=log, start_new_session=True)
    try:
        wait_for(port, process=process, log=data / "server.log")
        yield port
    finally:
        os.killpg(process.pid, signal.SIGKILL)
        process.wait(10)


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def wait_for(port: int, *, process: subprocess.Popen[bytes], log: Path) -> None:
    """Until it is ready."""
    until = time.monotonic() + STARTS_WITHIN_S
    while not _is_ready(port):
        is_starting = process.poll() is None and time.monotonic() < until
        assert is_starting, log.read_text()[-2_000:]
        time.sleep(0.05)


def _is_ready(port: int) -> bool:
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        line.request("GET", "/readyz")
        return line.getresponse().status == 200
    except OSError:
        return False
    finally:
        line.close()


def headers_of(phone: Phone) -> dict[str, str]:
    """What a signed-in phone sends along with every request."""
    name = f"__Host-flarenut_{phone.kind}"
    cookie = phone.client.get_cookie(name, domain=ORIGIN.partition("//")[2])
    assert cookie is not None
    return {"Cookie": f"{name}={cookie.value}", "X-Flarenut-As": phone.kind}


class Wire:
    """A phone's line to one server. Each request is a line of its own, as after a change of network."""

    def __init__(self, port: int, *, headers: dict[str, str]) -> None:
        self.port = port
        self.headers = {**TUS, **headers}

    def ask(self, method: str, path: str, *, body: bytes | None = None, **headers: str) -> http.client.HTTPResponse:
        """The whole of a request and its answer."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=ANSWERS_WITHIN_S)
        line.request(method, path, body=body, headers={**self.headers, **_named(headers)})
        answer = line.getresponse()
        answer.content = answer.read()  # type: ignore[attr-defined]
        line.close()
        return answer

    def offset(self, upload: str) -> int:
        """What the server says that it has."""
        answer = self.ask("HEAD", f"{UPLOADS}/{upload}")
        assert answer.status == 200, answer.status
        return int(answer.headers["Upload-Offset"])

    def send(self, upload: str, body: bytes, *, offset: int) -> http.client.HTTPResponse:
        """A PATCH that nothing happens to."""
        return self.ask("PATCH", f"{UPLOADS}/{upload}", body=body, Content_Type=BODY, Upload_Offset=str(offset))

    def begin(self, method: str, path: str, *, promised: int, body: bytes, **headers: str) -> socket.socket:
        """A request of which only the beginning has been sent; the line is still open."""
        line = socket.create_connection(("127.0.0.1", self.port), timeout=ANSWERS_WITHIN_S)
        said = {**self.headers, **_named(headers), "Host": "localhost", "Content-Type": BODY}
        head = "".join(f"{name}: {value}\r\n" for name, value in {**said, "Content-Length": str(promised)}.items())
        line.sendall(f"{method} {path} HTTP/1.1\r\n{head}\r\n".encode() + body)
        return line


def _named(headers: dict[str, str]) -> dict[str, Any]:
    return {name.replace("_", "-"): value for name, value in headers.items()}


def reset(line: socket.socket) -> None:
    """Cut at once: what the server has not read yet may be lost on the way."""
    line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    line.close()


def hang_up(line: socket.socket) -> None:
    """Cut after everything that was sent has gone through."""
    line.shutdown(socket.SHUT_WR)
    line.close()
