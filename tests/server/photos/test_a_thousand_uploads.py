"""A thousand photos over lines that are cut in the middle, again and again; every one arrives as it was."""

import base64
import random
import secrets
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from flarenut.photos.disk_store import DiskStore
from flarenut.photos.kept import NotKept
from tests.builders import a_mutation, an_issue, push
from tests.server.photos.pictures import noisy_picture, sha256_of
from tests.server.photos.running import Wire, hang_up, headers_of, reset, serving
from tests.server.photos.sending import UPLOADS
from tests.server.site import Site

PHOTOS = 1_000
PHONES = 6
MOST_CUTS = 2


@pytest.fixture
def server(migrated_app: Flask, tmp_path: Path) -> Iterator[int]:
    """Two workers: hardly two requests of one upload meet the same one."""
    with serving(migrated_app, data=tmp_path) as port:
        yield port


def _contents(chance: random.Random) -> list[bytes]:
    """All different, though drawn from a few pictures: a decoder stops at the end of the picture."""
    drawn = [noisy_picture(side_px) for side_px in range(60, 180, 8)]
    return [chance.choice(drawn) + chance.randbytes(chance.randint(16, 4_000)) for _ in range(PHOTOS)]


def _announced(site: Site, contents: list[bytes]) -> dict[str, bytes]:
    issue = an_issue(site.phone, job=site.job)
    facts = {"issue_id": issue, "width_px": 64, "height_px": 64, "taken_at": "2025-06-02T08:30:00.000Z"}
    mutations = [
        a_mutation("photo.add", sha256=sha256_of(content), size_bytes=len(content), **facts) for content in contents
    ]
    for start in range(0, len(mutations), 100):
        lane = push(site.phone, site.job.id, mutations[start : start + 100])
        assert {receipt["outcome"] for receipt in lane["receipts"]} == {"applied"}
    return dict(zip((mutation["entity"] for mutation in mutations), contents, strict=True))


class Sender:
    """Sends one photo; its line is cut as often as its seed says. Counts what the cuts did."""

    def __init__(self, wire: Wire, *, photo: str, content: bytes, seed: str) -> None:
        self._wire, self._photo, self._content = wire, photo, content
        self._chance = random.Random(seed)  # noqa: S311 -- a test can be run again with its seed.
        self.cuts = self.kept = 0

    def run(self) -> "Sender":
        offset = self._create()
        for _ in range(self._chance.randint(0, MOST_CUTS)):
            offset = self._cut("PATCH", f"{UPLOADS}/{self._photo}", offset=offset, Upload_Offset=str(offset))
        while offset < len(self._content):
            answer = self._wire.send(self._photo, self._content[offset:], offset=offset)
            # A cut request may be looked at only now, and be the newer one: then the phone asks again.
            assert answer.status in (204, 409, 423), (answer.status, answer.content)
            offset = len(self._content) if answer.status == 204 else self._wire.offset(self._photo)
        return self

    def _create(self) -> int:
        named = f"photo_id {base64.b64encode(self._photo.encode()).decode()}"
        said = {"Upload_Length": str(len(self._content)), "Upload_Metadata": named}
        if self._chance.random() < 0.3:
            self._cut("POST", UPLOADS, offset=0, **said)
        answer = self._wire.ask("POST", UPLOADS, **said)
        assert answer.status == 201, answer.content
        return int(answer.headers["Upload-Offset"])

    def _cut(self, method: str, path: str, *, offset: int, **headers: str) -> int:
        rest = self._content[offset:]
        if not rest:
            return offset
        sent = rest[: self._chance.randint(0, len(rest) - 1)]
        line = self._wire.begin(method, path, promised=len(rest), body=sent, **headers)
        self._chance.choice([reset, hang_up])(line)
        self.cuts += 1
        # Some phones are back before the server has looked at what came before the cut.
        time.sleep(self._chance.choice([0, 0.01, 0.03]))
        if method == "POST":
            return 0
        arrived = self._wire.offset(self._photo)
        assert offset <= arrived <= len(self._content)
        self.kept += arrived > offset
        return arrived


def test_a_thousand_photos_arrive_byte_for_byte_over_lines_that_are_cut(
    site: Site, server: int, tmp_path: Path
) -> None:
    seed = secrets.randbelow(1_000_000)
    print(f"seed {seed}")  # noqa: T201 -- with it, the same cuts can be made again.
    photos = _announced(site, _contents(random.Random(seed)))  # noqa: S311 -- as above.
    wire = Wire(server, headers=headers_of(site.phone))

    with ThreadPoolExecutor(PHONES) as phones:
        senders = [
            phones.submit(Sender(wire, photo=photo, content=content, seed=f"{seed} {number}").run)
            for number, (photo, content) in enumerate(photos.items())
        ]
        done = [sender.result() for sender in senders]

    cuts, kept = sum(sender.cuts for sender in done), sum(sender.kept for sender in done)
    print(f"{cuts} cuts, {kept} of them kept something")  # noqa: T201
    assert cuts > PHOTOS
    assert kept > PHOTOS / 20  # the busier the machine, the more are back before their bytes were looked at
    assert {row["state"] for row in site.office.rows("photo").values()} == {"stored"}
    store = DiskStore(tmp_path / "photos", site.ana.company_id)
    assert [photo for photo, content in photos.items() if _read(store, sha256_of(content)) != content] == []


def _read(store: DiskStore, name: str) -> Any:
    try:
        with store.read(name) as kept:
            return kept.read()
    except NotKept:
        return None
