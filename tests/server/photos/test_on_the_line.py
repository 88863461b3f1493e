"""Lines as they are: two servers at once, a request that hangs, a server that is killed, and two known clients."""

import base64
import io
import json
import subprocess
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from tusclient.client import TusClient

from flarenut.db import db
from flarenut.photos.tables import Upload
from tests.builders.world import behind_the_wall
from tests.server.photos.pictures import noisy_picture
from tests.server.photos.running import Wire, hang_up, headers_of, serving
from tests.server.photos.sending import BODY, UPLOADS, announce, create, see, state_of
from tests.server.photos.stores import KEY_ID, KEY_SECRET, a_bucket, an_s3_server, make_bucket
from tests.server.site import Site
from tests.trade.runtimes import node

AT_ONCE_S = 10  # far less than any silence that ends a line, and generous on a busy machine
LARGE = noisy_picture()
SENT_BYTES = 200_000


@pytest.fixture(scope="module")
def two_servers(migrated_app: Flask, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, int]]:
    """Two machines that share a database and a bucket, and no folder."""
    folder = tmp_path_factory.mktemp("servers")
    with an_s3_server(folder) as endpoint:
        bucket = a_bucket(endpoint)
        make_bucket(bucket)
        kept = {
            "FLARENUT_PHOTO_BUCKET": bucket.name,
            "FLARENUT_PHOTO_ENDPOINT": endpoint,
            "FLARENUT_PHOTO_KEY_ID": KEY_ID,
            "FLARENUT_PHOTO_KEY_SECRET": KEY_SECRET,
        }
        patient = "from flarenut.photos import uploads; uploads.HANDOVER_S = 3"  # on a busy machine
        with (
            serving(migrated_app, data=folder / "one", first=patient, **kept) as one,
            serving(migrated_app, data=folder / "two", first=patient, **kept) as two,
        ):
            yield one, two


@pytest.fixture
def wires(two_servers: tuple[int, int], site: Site) -> tuple[Wire, Wire]:
    """Ben's phone, by way of the one and by way of the other."""
    one, two = (Wire(port, headers=headers_of(site.phone)) for port in two_servers)
    return one, two


@pytest.fixture
def large(site: Site, issue: str) -> str:
    """A photo of some hundred kilobytes, announced."""
    photo = announce(site.phone, site, LARGE, issue_id=issue)["photo"]
    assert create(site.phone, photo, size_bytes=len(LARGE)).status_code == 201
    return str(photo)


def _shown(wire: Wire, photo: str) -> bytes:
    answer: Any = wire.ask("GET", f"/api/photos/{photo}/full")
    assert answer.status == 200, answer.content
    content: bytes = answer.content
    return content


def _patch(wire: Wire, photo: str, *, offset: int, body: bytes) -> Any:
    promised = len(LARGE) - offset
    return wire.begin("PATCH", f"{UPLOADS}/{photo}", promised=promised, body=body, Upload_Offset=str(offset))


def _wait_until_it_has(site: Site, photo: str, *, at_least: int) -> None:
    """Looked up in the database: a question to the server would stop whoever is sending."""
    _wait_until(lambda: _upload(site, photo).received_bytes >= at_least, why="what was sent is not written down")


def _wait_until(is_so: Callable[[], bool], *, why: str) -> None:
    until = time.monotonic() + AT_ONCE_S
    while not is_so():
        assert time.monotonic() < until, why
        time.sleep(0.02)


def _upload(site: Site, photo: str) -> Upload:
    with behind_the_wall(site.ana.company_id):
        upload = db.session.get_one(Upload, photo)
        db.session.expunge(upload)
        return upload


def test_case_12_a_patch_that_hangs_is_replaced_at_once_by_one_from_another_network(
    site: Site, wires: tuple[Wire, Wire], large: str
) -> None:
    hanging = _patch(wires[0], large, offset=0, body=LARGE[:SENT_BYTES])
    _wait_until_it_has(site, large, at_least=SENT_BYTES)
    began = time.monotonic()

    offset = wires[1].offset(large)
    answer = wires[1].send(large, LARGE[offset:], offset=offset)

    assert (offset, answer.status) == (SENT_BYTES, 204)
    assert state_of(site, large) == ("stored", None)
    # The old request learns of it from nobody but the database, and its thread is free again.
    told = hanging.recv(1_000)
    assert told.startswith(b"HTTP/1.1 423")
    assert b"Connection: close\r\n" in told
    assert time.monotonic() - began < AT_ONCE_S
    hanging.close()
    assert _shown(wires[0], large) == LARGE


def test_what_comes_slowly_is_written_down_before_the_line_is_cut(
    site: Site, wires: tuple[Wire, Wire], large: str
) -> None:
    line = _patch(wires[0], large, offset=0, body=b"")
    for start in range(0, 40_960, 4_096):
        line.sendall(LARGE[start : start + 4_096])
        time.sleep(0.06)

    _wait_until_it_has(site, large, at_least=20_000)

    hang_up(line)
    _wait_until_it_has(site, large, at_least=40_960)
    assert wires[1].offset(large) == 40_960


@pytest.mark.parametrize("sent_bytes", [200, 20_000, 75_000])
def test_whoever_asks_at_once_after_a_cut_is_told_of_all_that_came(
    sent_bytes: int, site: Site, wires: tuple[Wire, Wire], large: str
) -> None:
    told = []
    for wire in wires * 2:
        begun = wire.offset(large)
        line = _patch(wire, large, offset=begun, body=LARGE[begun : begun + sent_bytes])
        _wait_until(lambda: _upload(site, large).writer is not None, why="nobody writes")
        hang_up(line)
        told.append(wire.offset(large) - begun)

    assert told == [sent_bytes] * 4


def test_nobody_waits_for_a_writer_that_has_ended(site: Site, wires: tuple[Wire, Wire], large: str) -> None:
    assert wires[0].send(large, LARGE[:1_000], offset=0).status == 204

    assert _upload(site, large).writer is None


def test_two_servers_take_the_same_bytes_at_once_and_count_them_once(
    site: Site, wires: tuple[Wire, Wire], large: str
) -> None:
    answers: list[Any] = []

    def keep_sending(wire: Wire) -> None:
        while (offset := wire.offset(large)) < len(LARGE):
            answers.append(wire.send(large, LARGE[offset : offset + 30_000], offset=offset).status)

    with ThreadPoolExecutor(6) as phones:
        for done in [phones.submit(keep_sending, wire) for wire in wires * 3]:
            done.result()

    assert set(answers) <= {204, 409, 423, 413}
    assert state_of(site, large) == ("stored", None)
    assert _shown(wires[0], large) == _shown(wires[1], large) == LARGE


def test_two_creates_at_once_find_one_upload(site: Site, issue: str, wires: tuple[Wire, Wire]) -> None:
    photos = [str(announce(site.phone, site, LARGE, issue_id=issue)["photo"]) for _ in range(5)]

    for photo in photos:
        said = {"Upload_Length": str(len(LARGE)), "Upload_Metadata": _metadata(photo), "Content_Type": BODY}
        together = threading.Barrier(4)

        def bring(wire: Wire, *, said: dict[str, str] = said, together: threading.Barrier = together) -> int:
            together.wait()
            return int(wire.ask("POST", UPLOADS, body=LARGE, **said).status)

        with ThreadPoolExecutor(4) as phones:
            told = list(phones.map(bring, wires * 2))

        assert set(told) <= {201, 423}
        assert 201 in told
        if see(site.phone, photo).headers["Upload-Offset"] != str(len(LARGE)):
            offset = wires[0].offset(photo)
            assert wires[0].send(photo, LARGE[offset:], offset=offset).status == 204
        assert _shown(wires[1], photo) == LARGE


def _metadata(photo: str) -> str:
    return f"photo_id {base64.b64encode(photo.encode()).decode()}"


def test_a_killed_server_has_not_lost_what_it_wrote_down(
    migrated_app: Flask, site: Site, large: str, tmp_path: Path
) -> None:
    with serving(migrated_app, data=tmp_path) as port:
        line = _patch(Wire(port, headers=headers_of(site.phone)), large, offset=0, body=LARGE[:200_000])
        _wait_until_it_has(site, large, at_least=100_000)
    line.close()

    with serving(migrated_app, data=tmp_path) as port:
        wire = Wire(port, headers=headers_of(site.phone))
        offset = wire.offset(large)
        assert wire.send(large, LARGE[offset:], offset=offset).status == 204
        assert offset >= 100_000
        assert _shown(wire, large) == LARGE


@pytest.mark.parametrize("is_checked", [False, True], ids=["plain", "with_checksums"])
def test_the_python_client_uploads_a_photo_in_pieces(site: Site, issue: str, two_servers: Any, is_checked: Any) -> None:
    photo = str(announce(site.phone, site, LARGE, issue_id=issue)["photo"])
    client = TusClient(f"http://127.0.0.1:{two_servers[0]}{UPLOADS}", headers=headers_of(site.phone))
    begun = client.uploader(
        file_stream=io.BytesIO(LARGE), chunk_size=100_000, metadata={"photo_id": photo}, upload_checksum=is_checked
    )
    begun.upload(stop_at=150_000)

    # It goes on by way of the other server, knowing nothing but the address.
    there = begun.url.replace(f":{two_servers[0]}", f":{two_servers[1]}")
    client.uploader(file_stream=io.BytesIO(LARGE), chunk_size=100_000, url=there, upload_checksum=is_checked).upload()

    assert state_of(site, photo) == ("stored", None)
    assert _shown(Wire(two_servers[1], headers=headers_of(site.phone)), photo) == LARGE


def test_the_phones_own_client_uploads_a_photo_stops_goes_on_and_terminates(
    site: Site, issue: str, two_servers: Any, project: Path, tmp_path: Path
) -> None:
    photo, other = (str(announce(site.phone, site, LARGE, issue_id=issue)["photo"]) for _ in range(2))
    (tmp_path / "photo").write_bytes(LARGE)
    asked = {
        "endpoint": f"http://127.0.0.1:{two_servers[0]}{UPLOADS}",
        "headers": headers_of(site.phone),
        "file": str(tmp_path / "photo"),
        "photo": photo,
        "other": other,
    }

    ran = subprocess.run(
        [node(), "tests/server/photos/run_tus_client.mjs", json.dumps(asked)],
        cwd=project, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip

    assert ran.returncode == 0, ran.stderr[-2_000:]
    told = json.loads(ran.stdout)
    assert 0 < told["stopped_at"] < len(LARGE)
    assert told["went_on_from"] == told["stopped_at"]
    assert told["after_the_end"] == 404
    assert state_of(site, photo) == ("stored", None)
    assert state_of(site, other) == ("pending", None)
    assert _shown(Wire(two_servers[0], headers=headers_of(site.phone)), photo) == LARGE
