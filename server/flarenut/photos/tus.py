"""The words of the protocol: tus 1.0.0 with creation, creation-with-upload, checksum, expiration, termination.

tus.io, Resumable upload protocol 1.0.x (an open protocol). What the bytes mean is not known here.
"""

import base64
import binascii
import hashlib
import hmac
import re
from email.utils import format_datetime
from typing import Any
from uuid import UUID

from flask import Request, Response

from flarenut.errors import FlarenutError
from flarenut.photos.uploads import Arrival

VERSION = "1.0.0"
EXTENSIONS = "creation,creation-with-upload,checksum,expiration,termination"
CHECKSUMS = ("sha1", "sha256")
BODY_TYPE = "application/offset+octet-stream"
# Of extensions that are not offered; who ignored them would make another upload than was asked for.
NOT_OFFERED = {"Upload-Defer-Length": "uploads whose length is told later", "Upload-Concat": "uploads made of others"}
LONGEST_COUNT = 40  # digits: far more than any disk holds, and few enough to be read at once
BEYOND_COUNT = 10**LONGEST_COUNT
# A name as proxies use it, with its underscore, or an address; and a port.
_A_HOST = re.compile(r"([A-Za-z0-9._-]*[A-Za-z0-9][A-Za-z0-9._-]*|\[[0-9A-Fa-f:.]+\])(:[0-9]{1,5})?")


class TusError(FlarenutError):
    """The protocol names a status for each of its errors, and sometimes a header."""

    def __init__(self, status: int, *, code: str, message: str, headers: dict[str, str] | None = None) -> None:
        super().__init__(code, message)
        self.status = status
        self.headers = headers or {}


def check_version(request: Request) -> None:
    """Speak the same version or say so, before anything else is looked at."""
    if request.headers.get("Tus-Resumable") != VERSION:
        message = f"This server speaks tus {VERSION} and no other version."
        raise TusError(412, code="tus_version", message=message, headers={"Tus-Version": VERSION})


def check_body_type(request: Request) -> None:
    """Only bytes that say that they are bytes are appended, and only as they are: nothing here unpacks."""
    if request.mimetype != BODY_TYPE:
        raise TusError(415, code="wrong_media_type", message=f"The body must be {BODY_TYPE}.")
    if _coding(request, "Content-Encoding") not in ("", "identity"):
        raise TusError(415, code="packed", message="The body must not be packed (Content-Encoding).")
    if _coding(request, "Transfer-Encoding") not in ("", "chunked"):
        raise TusError(501, code="packed", message="The body must not be packed (Transfer-Encoding).")


def _coding(request: Request, name: str) -> str:
    return request.headers.get(name, "").strip().lower()


def has_body(request: Request) -> bool:
    """Do bytes come along?"""
    return bool(request.content_length) or "chunked" in request.headers.get("Transfer-Encoding", "").lower()


def check_offered(request: Request) -> None:
    """A create that asks for more than a plain upload is told so now, and not when its bytes are here."""
    for name, what in NOT_OFFERED.items():
        if name in request.headers:
            message = f"The header {name} is not taken: this server does not offer {what}."
            raise TusError(400, code="not_offered", message=message)


def size_header(request: Request, name: str) -> int:
    """A header that holds a count of bytes."""
    said = request.headers.get(name, "").strip()
    if not (said.isascii() and said.isdigit()):
        raise TusError(400, code="bad_header", message=f"The header {name} must be a count of bytes.")
    return int(said) if len(said) <= LONGEST_COUNT else BEYOND_COUNT


def photo_id_of(request: Request) -> UUID | None:
    """Which photo an upload is for, out of `Upload-Metadata: photo_id <base64>`; it may be for none."""
    said = _metadata(request).get("photo_id")
    if said is None:
        return None
    try:
        return UUID(said.decode("ascii"))
    except ValueError as error:
        message = "photo_id in Upload-Metadata must be a UUID in base64."
        raise TusError(400, code="photo_id_wrong", message=message) from error


def _metadata(request: Request) -> dict[str, bytes]:
    """Pairs `key value` between commas; a value is base64 and may be left out, a key comes once."""
    found: dict[str, bytes] = {}
    said = said_metadata(request)
    for pair in said.split(",") if said else ():
        key, _, value = pair.strip().partition(" ")
        if not key or not (key.isascii() and key.isprintable()) or key in found:
            raise _bad_metadata("every pair must have a name of its own, in printable ASCII")
        try:
            found[key] = _unpacked(value.strip())
        except binascii.Error as error:
            raise _bad_metadata(f"the value of {key} must be base64") from error
    return found


def _unpacked(said: str) -> bytes:
    """Python takes one sign of padding too many; RFC 4648 does not."""
    if len(said) % 4:
        raise binascii.Error
    return base64.b64decode(said, validate=True)


def _bad_metadata(why: str) -> TusError:
    return TusError(400, code="bad_metadata", message=f"Upload-Metadata cannot be read: {why}.")


def said_metadata(request: Request) -> str:
    """As it was sent, for whoever asks for it again."""
    return request.headers.get("Upload-Metadata", "").strip()


class Checksum:
    """What the sender says about its own body, held against the body as it arrives."""

    def __init__(self, request: Request) -> None:
        if "upload-checksum" in request.headers.get("Trailer", "").lower():
            message = "Upload-Checksum must come before the body: this server does not offer it in a trailer."
            raise TusError(400, code="not_offered", message=message)
        said = request.headers.get("Upload-Checksum")
        self.is_said = said is not None
        if said is None:
            return
        algorithm, _, expected = said.strip().partition(" ")
        if algorithm not in CHECKSUMS:
            message = f"Upload-Checksum may be one of: {', '.join(CHECKSUMS)}."
            raise TusError(400, code="checksum_algorithm", message=message)
        self._digest: Any = hashlib.new(algorithm, usedforsecurity=False)
        self._expected = _decoded_digest(expected)

    def take(self, chunk: bytes) -> None:
        """One more chunk went by."""
        self._digest.update(chunk)

    def judge(self) -> None:
        """Is the body what its sender says it is?"""
        if not hmac.compare_digest(self._digest.digest(), self._expected):
            message = "These bytes were damaged on their way and are not counted. Send them again."
            raise TusError(460, code="checksum_mismatch", message=message)


def _decoded_digest(said: str) -> bytes:
    """One of another length is a digest as well: that of no body, whatever comes."""
    try:
        digest = _unpacked(said.strip())
    except binascii.Error:
        digest = b""
    if not digest:
        message = "Upload-Checksum must be a name and the digest of the body in base64."
        raise TusError(400, code="bad_checksum", message=message)
    return digest


def absolute(request: Request, path: str) -> str:
    """The address of an upload. From a host that is none it would lead nowhere (RFC 9112, section 3.2)."""
    host = request.headers.get("Host", "")
    if not _A_HOST.fullmatch(host):
        message = "The header Host must name a host, so that the upload has an address."
        raise TusError(400, code="bad_host", message=message)
    return f"{request.scheme}://{host}{path}"


def say_progress(response: Response, arrival: Arrival) -> Response:
    """How far the upload is, and until when it can be resumed."""
    response.headers["Upload-Offset"] = str(arrival.received_bytes)
    response.headers["Upload-Expires"] = format_datetime(arrival.expires_at, usegmt=True)
    return response
