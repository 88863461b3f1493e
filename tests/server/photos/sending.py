"""A phone announces a photo and sends its bytes by tus, a piece at a time."""

import base64
import hashlib
from typing import Any

from werkzeug.test import TestResponse

from flarenut.photos.sent import _writer
from tests.builders import Phone, new_id
from tests.server.photos.pictures import picture, sha256_of
from tests.server.site import Site
from tests.server.telling import tell

UPLOADS = "/api/photos/uploads"
TUS = {"Tus-Resumable": "1.0.0"}
BODY = "application/offset+octet-stream"
CONTENT = picture()


def announce(who: Phone, site: Site, content: bytes, /, **changed: Any) -> dict[str, Any]:
    """`photo.add`; the receipt says which photo it was."""
    photo_id = new_id()
    fields = {
        "sha256": sha256_of(content),
        "size_bytes": len(content),
        "width_px": 640,
        "height_px": 480,
        "taken_at": "2025-06-02T08:30:00.000Z",
        **changed,
    }
    return {"photo": photo_id, **tell(who, site.job.id, "photo.add", photo_id, **fields)}


def create(
    who: Phone, photo_id: str, *, size_bytes: int, body: bytes = b"", headers: dict[str, str] | None = None
) -> TestResponse:
    """Begin or find the upload; with a body the first bytes come along."""
    said = {
        **TUS,
        "Upload-Length": str(size_bytes),
        "Upload-Metadata": f"photo_id {base64.b64encode(photo_id.encode()).decode()}",
        **(headers or {}),
    }
    asked = {"data": body, "content_type": BODY} if body else {}
    return who.post(UPLOADS, headers=said, **asked)


def make(who: Phone, *, size_bytes: int = 100, body: bytes = b"", **headers: str) -> TestResponse:
    """An upload that names no photo, as any client of the protocol would make one."""
    said = {**TUS, "Upload-Length": str(size_bytes), **{name.replace("_", "-"): said for name, said in headers.items()}}
    return who.post(UPLOADS, headers=said, **({"data": body, "content_type": BODY} if body else {}))


def id_of(created: TestResponse) -> str:
    """Its address, without what all addresses have in common."""
    assert created.status_code == 201, created.get_data(as_text=True)
    return created.headers["Location"].rpartition("/")[2]


def see(who: Phone, photo_id: str) -> TestResponse:
    """Ask how much has arrived."""
    return who.open(f"{UPLOADS}/{photo_id}", method="HEAD", headers=TUS)


def send(
    who: Phone,
    photo_id: str,
    body: bytes,
    *,
    offset: int,
    headers: dict[str, str] | None = None,
    environ: dict[str, Any] | None = None,
) -> TestResponse:
    """Send a piece."""
    said = {**TUS, "Upload-Offset": str(offset), **(headers or {})}
    asked = {"data": body, "content_type": BODY, "environ_overrides": environ or {}}
    return who.open(f"{UPLOADS}/{photo_id}", method="PATCH", headers=said, **asked)


def end(who: Phone, photo_id: str) -> TestResponse:
    """Have it forgotten."""
    return who.open(f"{UPLOADS}/{photo_id}", method="DELETE", headers=TUS)


def checksum(body: bytes, *, algorithm: str = "sha1") -> str:
    """As the header carries it."""
    return f"{algorithm} {base64.b64encode(hashlib.new(algorithm, body).digest()).decode()}"


def bring(who: Phone, photo_id: str, content: bytes) -> TestResponse:
    """The whole way at once, and what is to be written down beside the bytes is written."""
    answer = create(who, photo_id, size_bytes=len(content), body=content)
    all_noted()
    return answer


def all_noted() -> None:
    """What was to be written down beside bytes is written."""
    _writer().submit(int).result()


def state_of(site: Site, photo_id: str) -> tuple[str, str | None]:
    """Whether a photo is kept, and why not."""
    row = site.office.rows("photo")[photo_id]
    return row["state"], row["refused_reason"]
