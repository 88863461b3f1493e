"""The server that programs which test tus are pointed at: uploads without a sign-in, and nothing else of anybody."""

import base64
import http.client
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from flarenut.photos.conformance import HOST, scratch_settings
from tests.server.photos.running import Wire, free_port, wait_for
from tests.server.photos.sending import BODY, UPLOADS, checksum

PIECE = b"ten bytes."


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, Path]]:
    """The command as a person gives it; its port, and the folder where it may make one of its own."""
    port, folder = free_port(), tmp_path_factory.mktemp("temporary")
    folder.chmod(0o755)
    log = folder.with_name("conformance.log")
    command = [sys.executable, "-m", "flarenut.cli", "photos", "conformance", "--port", str(port)]
    with log.open("wb") as written:
        process = subprocess.Popen(
            command, env={**os.environ, "TMPDIR": str(folder)}, stdout=written, stderr=written, start_new_session=True
        )
    try:
        wait_for(port, process=process, log=log)
        yield port, folder
        process.terminate()
        process.wait(40)
        assert list(folder.glob("flarenut*")) == []  # what was uploaded went with it
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait(10)


def _make(wire: Wire, **said: str) -> http.client.HTTPResponse:
    return wire.ask("POST", UPLOADS, Upload_Length="10", **said)


def test_a_stranger_makes_fills_checks_and_ends_an_upload(server: tuple[int, Path]) -> None:
    wire = Wire(server[0], headers={})
    name = base64.b64encode(b"a name").decode()

    created = _make(wire, Upload_Metadata=f"filename {name},is_private")
    upload = created.headers["Location"].rpartition("/")[2]
    damaged = wire.ask(
        "PATCH", f"{UPLOADS}/{upload}", body=b"ten bytes!", Content_Type=BODY, Upload_Offset="0",
        Upload_Checksum=checksum(PIECE),
    )  # fmt: skip
    sent = wire.send(upload, PIECE, offset=wire.offset(upload))
    seen = wire.ask("HEAD", f"{UPLOADS}/{upload}")
    ended = wire.ask("DELETE", f"{UPLOADS}/{upload}")

    assert [answer.status for answer in (created, damaged, sent, seen, ended)] == [201, 460, 204, 200, 204]
    assert (seen.headers["Upload-Offset"], seen.headers["Upload-Length"]) == ("10", "10")
    assert seen.headers["Upload-Metadata"] == f"filename {name},is_private"
    assert wire.ask("HEAD", f"{UPLOADS}/{upload}").status == 404


def test_more_uploads_than_any_company_may_leave_lying_are_taken(server: tuple[int, Path]) -> None:
    wire = Wire(server[0], headers={})

    assert {_make(wire).status for _ in range(1_010)} == {201}


def test_every_other_address_asks_for_a_sign_in_as_ever(server: tuple[int, Path]) -> None:
    wire = Wire(server[0], headers={})

    assert [wire.ask("GET", path).status for path in ("/api/me", "/api/people")] == [401, 401]


def test_the_real_database_and_store_are_out_of_its_reach(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("DATABASE_URL", "DATABASE_APP_URL", "FLARENUT_PHOTO_BUCKET", "FLARENUT_PHOTO_DIR", "FLARENUT_DATA"):
        monkeypatch.setenv(name, "/somebody/else")
    monkeypatch.setenv("FLARENUT_HOST", "0.0.0.0")  # noqa: S104 -- and is not listened to.

    settings = scratch_settings(tmp_path, port=1)

    assert "/somebody/else" not in {str(value) for value in settings.values()}
    assert (settings["FLARENUT_HOST"], settings["FLARENUT_DATA"]) == (HOST, tmp_path)
    assert (settings["DATABASE_URL"], settings["FLARENUT_PHOTO_BUCKET"]) == ("", "")
