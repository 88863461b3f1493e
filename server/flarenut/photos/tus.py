"""The words of the protocol: tus 1.0.0 with creation, creation-with-upload, expiration and checksum.

tus.io, Resumable upload protocol 1.0.x (an open protocol). What the bytes mean is not known here.
"""

import base64
import binascii
import hashlib
from email.utils import format_datetime
from typing import Any
from uuid import UUID

from flask import Request, Response

from flarenut.errors import FlarenutError
from flarenut.photos.arriving import Arrival

VERSION = "1.0.0"
EXTENSIONS = "creation,creation-with-upload,expiration,checksum"
CHECKSUMS = ("sha1", "sha256")
BODY_TYPE = "application/offset+octet-stream"
LONGEST_COUNT = 18  # digits: more bytes than there are disks for, and what a 64-bit number holds


class TusError(FlarenutError):
    """The protocol names a status for each of its errors."""

    def __init__(self, status: int, *, code: str, message: str) -> None:
        super().__init__(code, message)
        self.status = status


def check_version(request: Request) -> None:
    """Speak the same version or say so, before anything else is looked at."""
    if request.headers.get("Tus-Resumable") != VERSION:
        raise TusError(412, code="tus_version", message=f"This server speaks tus {VERSION} and no other version.")


def check_body_type(request: Request) -> None:
    """Only bytes that say that they are bytes are appended."""
    if request.mimetype != BODY_TYPE:
        raise TusError(415, code="wrong_media_type", message=f"The body must be {BODY_TYPE}.")


def size_header(request: Request, name: str) -> int:
    """A header that holds a count of bytes."""
    said = request.headers.get(name, "")
    if not (said.isascii() and said.isdigit() and len(said) <= LONGEST_COUNT):
        raise TusError(400, code="bad_header", message=f"The header {name} must be a count of bytes.")
    return int(said)


def photo_id_of(request: Request) -> UUID:
    """Which photo an upload is for, out of `Upload-Metadata: photo_id <base64>`."""
    for pair in request.headers.get("Upload-Metadata", "").split(","):
        name, _, value = pair.strip().partition(" ")
        if name == "photo_id":
            return _decoded_id(value)
    raise TusError(400, code="photo_id_missing", message="Upload-Metadata must carry photo_id.")


def _decoded_id(value: str) -> UUID:
    try:
        return UUID(base64.b64decode(value, validate=True).decode("ascii"))
    except (binascii.Error, ValueError) as error:
        message = "photo_id in Upload-Metadata must be a UUID in base64."
        raise TusError(400, code="photo_id_wrong", message=message) from error


class Checksum:
    """What the sender says about its own body, held against the body as it arrives."""

    def __init__(self, request: Request) -> None:
        self._algorithm, _, said = request.headers.get("Upload-Checksum", "").partition(" ")
        self._said = said
        if self._algorithm and self._algorithm not in CHECKSUMS:
            message = f"Upload-Checksum may be one of: {', '.join(CHECKSUMS)}."
            raise TusError(400, code="checksum_algorithm", message=message)
        self._digest: Any = hashlib.new(self._algorithm, usedforsecurity=False) if self._algorithm else None

    def take(self, chunk: bytes) -> None:
        """One more chunk went by."""
        if self._digest is not None:
            self._digest.update(chunk)

    @property
    def is_wrong(self) -> bool:
        """Was a checksum given that the body does not have?"""
        if self._digest is None:
            return False
        return base64.b64encode(self._digest.digest()).decode() != self._said


def say_progress(response: Response, arrival: Arrival) -> Response:
    """How far the upload is, and until when it can be resumed."""
    response.headers["Upload-Offset"] = str(arrival.offset)
    response.headers["Upload-Expires"] = format_datetime(arrival.expires_at, usegmt=True)
    return response


def say_abilities(response: Response) -> Response:
    """What this server can do, for OPTIONS and for a client of another version."""
    response.headers["Tus-Version"] = VERSION
    return response
