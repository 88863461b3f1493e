"""Addresses of photos: bytes come by tus, and go as renditions."""

from collections.abc import Iterator
from uuid import UUID

from flask import Response, current_app, request, send_file, url_for
from flask.typing import ResponseReturnValue
from flask_smorest import Blueprint
from werkzeug.exceptions import ClientDisconnected

from flarenut.errors import NotFound, TooLarge, error_answer
from flarenut.people.access import access, access_public
from flarenut.people.actor import Actor, current_actor
from flarenut.people.sessions import AS_HEADER
from flarenut.photos import tus
from flarenut.photos.arriving import (
    Arrival,
    Damaged,
    Stopped,
    append_chunk,
    drop_expired,
    finish_if_whole,
    open_upload,
    resume_upload,
    take_back,
)
from flarenut.photos.images import media_type
from flarenut.photos.reads import find_photo
from flarenut.photos.renditions import rendition
from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from flarenut.photos.store import DiskStore
from flarenut.photos.tables import Photo

blueprint = Blueprint("photos", __name__, url_prefix="/api/photos", description="Photos and their bytes")

# A cut loses at most this, so that even a line that holds for seconds only makes progress;
# a photo of 1 MB takes the lock of its row 64 times, a quarter of a second on two busy cores (measured).
CHUNK_BYTES = 16 * 1024
UPLOADS = "/uploads"

# The bytes behind an address never change, but they are private to whoever may see the issue.
KEEP_S = 365 * 24 * 3600


def _store() -> DiskStore:
    return DiskStore(root=current_app.config["FLARENUT_PHOTO_DIR"], company_id=current_actor().company_id)


@blueprint.route(UPLOADS, methods=["OPTIONS"], provide_automatic_options=False)
@blueprint.route(f"{UPLOADS}/<uuid:photo_id>", methods=["OPTIONS"], provide_automatic_options=False)
@access_public
def abilities(photo_id: UUID | None = None) -> Response:  # noqa: ARG001 -- the same for every upload.
    """What this server can do with uploads."""
    response = tus.say_abilities(Response(status=204))
    response.headers["Tus-Extension"] = tus.EXTENSIONS
    response.headers["Tus-Max-Size"] = str(LARGEST_PHOTO_BYTES)
    response.headers["Tus-Checksum-Algorithm"] = ",".join(tus.CHECKSUMS)
    return response


@blueprint.route(UPLOADS, methods=["POST"])
@access("technician", "dispatcher", "contractor")
def create_upload() -> Response:
    """Begin, or find again, the upload of a photo that was announced."""
    tus.check_version(request)
    photo_id, size_bytes = tus.photo_id_of(request), tus.size_header(request, "Upload-Length")
    drop_expired(_store())
    photo = find_photo(photo_id, actor=current_actor())
    _check_size(photo, size_bytes=size_bytes)
    arrival = open_upload(photo, store=_store())
    if request.mimetype == tus.BODY_TYPE and arrival.offset == 0 and not arrival.is_finished:
        _take_body(arrival)
    response = tus.say_progress(Response(status=201), finish_if_whole(arrival))
    response.headers["Location"] = url_for("photos.take_bytes", photo_id=photo_id, _external=True)
    return response


def _check_size(photo: Photo, *, size_bytes: int) -> None:
    if size_bytes > LARGEST_PHOTO_BYTES:
        raise TooLarge("photo_too_large", f"A photo may have at most {LARGEST_PHOTO_BYTES} bytes.")
    if size_bytes != photo.size_bytes:
        message = f"This photo was announced with {photo.size_bytes} bytes, not {size_bytes}."
        raise tus.TusError(400, code="size_differs", message=message)


@blueprint.route(f"{UPLOADS}/<uuid:photo_id>", methods=["HEAD"])
@access("technician", "dispatcher", "contractor")
def see_offset(photo_id: UUID) -> Response:
    """How much has arrived. Whoever still writes to this upload is stopped: the asker goes on from here."""
    tus.check_version(request)
    arrival = resume_upload(find_photo(photo_id, actor=current_actor()), store=_store())
    response = tus.say_progress(Response(status=200), finish_if_whole(arrival))
    response.headers["Upload-Length"] = str(arrival.size_bytes)
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.route(f"{UPLOADS}/<uuid:photo_id>", methods=["PATCH"])
@access("technician", "dispatcher", "contractor")
def take_bytes(photo_id: UUID) -> Response:
    """Append what comes, and keep it even if the line is cut before the end."""
    tus.check_version(request)
    tus.check_body_type(request)
    said_offset = tus.size_header(request, "Upload-Offset")
    arrival = resume_upload(find_photo(photo_id, actor=current_actor()), store=_store())
    if said_offset != arrival.offset:
        message = f"The server has {arrival.offset} bytes of this photo, not {said_offset}."
        raise tus.TusError(409, code="offset_differs", message=message)
    _take_body(arrival)
    return tus.say_progress(Response(status=204), finish_if_whole(arrival))


def _take_body(arrival: Arrival) -> None:
    started_at, room = arrival.offset, arrival.size_bytes - arrival.offset
    if (request.content_length or 0) > room:
        raise TooLarge("past_the_end", f"Only {room} bytes of this photo are missing; the body has more.")
    checksum = tus.Checksum(request)
    try:
        for chunk in _chunks(room):
            checksum.take(chunk)
            append_chunk(arrival, chunk)
    finally:
        arrival.store.sync_part(arrival.photo_id)
    if checksum.is_wrong:
        take_back(arrival, to_bytes=started_at)
        raise tus.TusError(460, code="checksum_mismatch", message="These bytes were damaged on their way.")


def _chunks(room: int) -> Iterator[bytes]:
    """The body piece by piece, never as a whole; a body of unknown length ends at the photo's."""
    request.max_content_length = LARGEST_PHOTO_BYTES
    while chunk := request.stream.read(CHUNK_BYTES):
        room -= len(chunk)
        if room < 0:
            raise TooLarge("past_the_end", "The body goes on past the end of the photo.")
        yield chunk


@blueprint.errorhandler(tus.TusError)
def _tell(error: tus.TusError) -> ResponseReturnValue:
    response = current_app.make_response(error_answer(error.status, code=error.code, message=error.message, fields={}))
    return tus.say_abilities(response)


@blueprint.errorhandler(Stopped)
def _tell_stopped(_error: Stopped) -> ResponseReturnValue:
    return error_answer(423, code="stopped", message="A newer request took over this upload.", fields={})


@blueprint.errorhandler(Damaged)
def _tell_damaged(_error: Damaged) -> ResponseReturnValue:
    message = "What arrived is not the photo that was announced. Send it again from the first byte."
    return error_answer(460, code="checksum_mismatch", message=message, fields={})


@blueprint.errorhandler(ClientDisconnected)
def _tell_nobody(_error: ClientDisconnected) -> ResponseReturnValue:
    """The line was cut; what came is kept, and this answer reaches nobody."""
    return error_answer(400, code="cut", message="The line was cut. What came is kept.", fields={})


@blueprint.after_request
def _name_version(response: Response) -> Response:
    if UPLOADS in request.path:
        response.headers["Tus-Resumable"] = tus.VERSION
    return response


def _how_long(actor: Actor) -> str:
    """An issue can leave the contractor, and a link can be shut: their browser asks every time.

    The answer to that question is a few bytes while the photo is still theirs.
    """
    return "private, no-cache" if actor.role == "contractor" else f"private, max-age={KEEP_S}, immutable"


@blueprint.route("/<uuid:photo_id>/<any('320', '1280', 'full'):size>")
@access("technician", "dispatcher", "contractor")
def show_photo(photo_id: UUID, size: str) -> Response:
    """The pixels. Asked again, the browser already has them."""
    photo = find_photo(photo_id, actor=current_actor())
    if photo.state != "stored":
        raise NotFound("photo_not_here", "The bytes of this photo have not arrived.", {"state": photo.state})
    store, sha256 = _store(), photo.sha256
    whole = store.whole(sha256)
    path = whole if size == "full" else rendition(store, sha256=sha256, side_px=int(size))
    response = send_file(
        path,
        mimetype=media_type(whole) if size == "full" else "image/jpeg",
        etag=f"{sha256}-{size}",
        conditional=True,
    )
    response.headers["Cache-Control"] = _how_long(current_actor())
    response.vary.add(AS_HEADER)  # one browser may hold a link and someone's sign-in
    response.headers["X-Content-Type-Options"] = "nosniff"
    return response
