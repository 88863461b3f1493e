"""A person, or a contractor by link, at one device: says things through the routes that the app uses."""

import base64
import hashlib
import io
import secrets
import uuid
from datetime import datetime
from typing import Any, ClassVar

from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from werkzeug.test import TestResponse

from demo_seed.calendar import wire_time
from demo_seed.people import DemoPerson
from demo_seed.pictures import PICTURES

APP = "demo"
TUS = {"Tus-Resumable": "1.0.0"}
# The cookies are only sent over a secure line, and the test client is one when the address says so.
ORIGIN = "https://localhost"


class StoryError(Exception):
    """The server did not take what the story said: the story or the server is wrong."""


def new_id(at: datetime) -> str:
    """A UUID of version 7, as a phone would have made it at that moment."""
    value = int(at.timestamp() * 1000) << 80 | secrets.randbits(80)
    value = value & ~(0xF << 76) | 7 << 76
    return str(uuid.UUID(int=value & ~(0x3 << 62) | 0x2 << 62))


class Voice:
    """Signed in on one device, with one lane for each job it speaks of."""

    # Everyone in the story has seen all that was said before, so that no two of them set one field at once.
    _seen: ClassVar[dict[str, int]] = {}

    def __init__(self, app: Flask, *, signed_in_as: str) -> None:
        self.client: FlaskClient = app.test_client()
        self.device_id = str(uuid.uuid4())
        self.headers = {"X-Flarenut-As": signed_in_as}
        self._seqs: dict[str, int] = {}

    @classmethod
    def of_person(cls, app: Flask, *, person: DemoPerson) -> "Voice":
        voice = cls(app, signed_in_as="device")
        words = {"email": person.email, "password": person.password}
        voice.post("/api/sign-in", {**words, "device_id": voice.device_id, "device_name": "Demo"})
        return voice

    @classmethod
    def of_link(cls, app: Flask, *, secret: str) -> "Voice":
        voice = cls(app, signed_in_as="link")
        voice.post("/api/links/open", {"secret": secret, "device_id": voice.device_id})
        return voice

    def post(self, path: str, body: dict[str, Any]) -> dict[str, Any]:
        answer = self.client.post(path, json=body, headers=self.headers, base_url=ORIGIN)
        return dict(_checked(answer, what=path).get_json() or {})

    def say(self, kind: str, *, job: str, entity: str, at: datetime, **fields: Any) -> None:
        """One mutation, sent at once. It knows of everything that was said before it."""
        seq = self._seqs.get(job, 0) + 1
        self._seqs[job] = seq
        mutation = {
            "id": new_id(at),
            "seq": seq,
            "type": kind,
            "v": 1,
            "entity": entity,
            "base_rev": self._seen.get(job, 0),
            "fields": fields,
            "device_time": wire_time(at),
            "app": APP,
        }
        lanes = [{"job_id": job, "mutations": [mutation]}]
        lane = self.post("/api/sync/push", {"device_id": self.device_id, "lanes": lanes})["lanes"][0]
        if lane["error"] or lane["receipts"][0]["outcome"] not in ("applied", "merged"):
            raise StoryError(f"{kind} by {self.headers}: {lane}")
        self._seen[job] = lane["receipts"][0]["rev"]

    def show(self, picture: str, *, job: str, at: datetime, **owner: str) -> None:
        """A picture, as its row and then its bytes."""
        content = PICTURES[picture]()
        width, height = Image.open(io.BytesIO(content)).size
        photo = new_id(at)
        facts = {"sha256": hashlib.sha256(content).hexdigest(), "size_bytes": len(content)}
        sides = {"width_px": width, "height_px": height}
        self.say("photo.add", job=job, entity=photo, at=at, **owner, **facts, **sides, taken_at=wire_time(at))
        self._upload(photo, content=content)

    def _upload(self, photo: str, *, content: bytes) -> None:
        name = base64.b64encode(photo.encode()).decode()
        create = {"Upload-Length": str(len(content)), "Upload-Metadata": f"photo_id {name}"}
        path = "/api/photos/uploads"
        answer = self.client.post(path, headers={**self.headers, **TUS, **create}, base_url=ORIGIN)
        _checked(answer, what=path)
        patch = {"Upload-Offset": "0", "Content-Type": "application/offset+octet-stream"}
        path = f"{path}/{photo}"
        answer = self.client.patch(path, data=content, headers={**self.headers, **TUS, **patch}, base_url=ORIGIN)
        _checked(answer, what=path)


def _checked(answer: TestResponse, *, what: str) -> TestResponse:
    if answer.status_code >= 400:  # noqa: PLR2004 -- the first of the statuses that HTTP keeps for errors.
        raise StoryError(f"{what}: {answer.status_code} {answer.get_data(as_text=True)[:600]}")
    return answer
