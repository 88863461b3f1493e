"""Addresses of photos: bytes come by tus, and go as renditions."""

import io
from uuid import UUID

from flask import Response, current_app, request, send_file, url_for
from flask.typing import ResponseReturnValue
from flask_smorest import Blueprint
from sqlalchemy.exc import DBAPIError

from flarenut.errors import NotAllowed, NotFound, TooLarge, error_answer
from flarenut.people.access import access, access_public
from flarenut.people.actor import Actor, current_actor
from flarenut.people.sessions import AS_HEADER
from flarenut.photos import tus
from flarenut.photos.arriving import Damaged, Stopped, append, finish_if_whole, take_whole
from flarenut.photos.images import NotAPhoto, media_type
from flarenut.photos.incoming import Cut, is_heard_out, pieces
from flarenut.photos.kept import NotKept, NotReadable, PhotoStore, while_reading
from flarenut.photos.reads import find_own_photo, find_photo
from flarenut.photos.renditions import rendition
from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from flarenut.photos.store import photo_store
from flarenut.photos.tables import Photo
from flarenut.photos.uploads import (
    Arrival,
    OffsetDiffers,
    end_upload,
    forget_unclaimed,
    let_go,
    make_unclaimed,
    open_upload,
    past_the_end,
    resume_upload,
    resume_upload_at,
)

blueprint = Blueprint("photos", __name__, url_prefix="/api/photos", description="Photos and their bytes")

UPLOADS = "/uploads"
BELOW = f"/api/photos{UPLOADS}"
ONE = f"{UPLOADS}/<string:upload_id>"  # any text: what is no id is an unknown upload like any other

# The bytes behind an address never change, but they are private to whoever may see the issue.
KEEP_S = 365 * 24 * 3600


def _store() -> PhotoStore:
    return photo_store(current_app.config, company_id=current_actor().company_id)


@blueprint.route(UPLOADS, methods=["OPTIONS"], provide_automatic_options=False, strict_slashes=False)
@blueprint.route(ONE, methods=["OPTIONS"], provide_automatic_options=False)
@access_public
@blueprint.alt_response(200, description="In the headers of tus 1.0.0.", success=True)
def abilities(upload_id: str = "") -> Response:  # noqa: ARG001 -- the same for every upload.
    """What this server can do with uploads."""
    response = Response(status=200)
    response.headers["Tus-Version"] = tus.VERSION
    response.headers["Tus-Extension"] = tus.EXTENSIONS
    response.headers["Tus-Max-Size"] = str(LARGEST_PHOTO_BYTES)
    response.headers["Tus-Checksum-Algorithm"] = ",".join(tus.CHECKSUMS)
    return response


@blueprint.route(UPLOADS, methods=["POST"], strict_slashes=False)
@access("technician", "dispatcher", "contractor")
@blueprint.alt_response(201, description="At Location; Upload-Offset says what has arrived.", success=True)
def create_upload() -> Response:
    """Begin an upload, or find that of a photo again. One that names no photo is forgotten after a day."""
    tus.check_version(request)
    tus.check_offered(request)
    photo_id, size_bytes = tus.photo_id_of(request), tus.size_header(request, "Upload-Length")
    _check_create(size_bytes=size_bytes)
    tus.absolute(request, "")  # before anything is made
    arrival = _open(photo_id, size_bytes=size_bytes)
    if tus.has_body(request) and arrival.received_bytes == 0 and not arrival.is_finished:
        arrival = _take_first_body(arrival)
    else:
        if tus.has_body(request):
            let_go(arrival)  # what is known of it already is not taken again
        arrival = finish_if_whole(arrival, store=_store())
    response = tus.say_progress(Response(status=201), arrival)
    path = url_for("photos.take_bytes", upload_id=arrival.upload_id)
    response.headers["Location"] = tus.absolute(request, path)
    return response


def _check_create(*, size_bytes: int) -> None:
    """Whatever can be said about a create before anything is made."""
    if size_bytes > LARGEST_PHOTO_BYTES:
        raise TooLarge("photo_too_large", f"A photo may have at most {LARGEST_PHOTO_BYTES} bytes.")
    if tus.has_body(request):
        tus.check_body_type(request)
        tus.Checksum(request)
    if (request.content_length or 0) > size_bytes:
        raise past_the_end()


def _open(photo_id: UUID | None, *, size_bytes: int) -> Arrival:
    actor, said, is_writing = current_actor(), tus.said_metadata(request), tus.has_body(request)
    if photo_id is None:
        if actor.role == "contractor":
            raise NotAllowed("not_your_photo", "A contractor's upload names a photo.")
        return make_unclaimed(actor, size_bytes=size_bytes, said_metadata=said, is_writing=is_writing)
    photo = find_own_photo(photo_id, actor=actor)
    _check_announced(photo, size_bytes=size_bytes)
    return open_upload(photo, said_metadata=said, is_writing=is_writing)


def _check_announced(photo: Photo, *, size_bytes: int) -> None:
    if size_bytes != photo.size_bytes:
        message = f"This photo was announced with {photo.size_bytes} bytes, not {size_bytes}."
        raise tus.TusError(400, code="size_differs", message=message)


@blueprint.route(ONE, methods=["HEAD"])
@access("technician", "dispatcher", "contractor")
@blueprint.alt_response(200, description="Upload-Offset says what has arrived.", success=True)
def see_offset(upload_id: str) -> Response:
    """How much has arrived. Whoever still writes to this upload is stopped: the asker goes on from here."""
    tus.check_version(request)
    arrival = resume_upload(_id(upload_id), actor=current_actor())
    response = tus.say_progress(Response(status=200), finish_if_whole(arrival, store=_store()))
    response.headers["Upload-Length"] = str(arrival.size_bytes)
    if arrival.said_metadata:
        response.headers["Upload-Metadata"] = arrival.said_metadata
    response.headers["Cache-Control"] = "no-store"
    return response


@blueprint.route(ONE, methods=["PATCH"])
@access("technician", "dispatcher", "contractor")
@blueprint.alt_response(204, description="Upload-Offset says what has arrived.", success=True)
def take_bytes(upload_id: str) -> Response:
    """Append what comes, and keep it even if the line is cut before the end."""
    tus.check_version(request)
    tus.check_body_type(request)
    offset, checksum = tus.size_header(request, "Upload-Offset"), tus.Checksum(request)
    more_bytes = request.content_length or 0
    arrival = resume_upload_at(offset, _id(upload_id), actor=current_actor(), more_bytes=more_bytes)
    return tus.say_progress(Response(status=204), _take_body(arrival, checksum=checksum))


@blueprint.route(ONE, methods=["DELETE"])
@access("technician", "dispatcher", "contractor")
@blueprint.alt_response(204, description="It is gone.", success=True)
def terminate(upload_id: str) -> Response:
    """Forget what has arrived. A photo that is stored already stays: nothing a person made is destroyed."""
    tus.check_version(request)
    end_upload(_id(upload_id), actor=current_actor())
    return Response(status=204)


def _id(said: str) -> UUID:
    try:
        return UUID(said)
    except ValueError as error:
        raise NotFound("unknown_upload", "There is no such upload. Create it first.") from error


def _take_first_body(arrival: Arrival) -> Arrival:
    """Come with the create. The upload of a photo is found again by its name; another by nobody, and is not kept."""
    try:
        return _take_body(arrival, checksum=tus.Checksum(request))
    except (tus.TusError, TooLarge, Cut):
        if not arrival.is_for_photo:
            forget_unclaimed(arrival)
        raise


def _take_body(arrival: Arrival, *, checksum: tus.Checksum) -> Arrival:
    """All that comes. Whoever asks meanwhile is not kept waiting once it has ended, however it has."""
    try:
        taken = _take_pieces(arrival, checksum=checksum)
    except (Stopped, DBAPIError):
        raise
    except Exception:
        let_go(arrival)
        raise
    if not taken.is_finished:
        let_go(arrival)
    return taken


def _take_pieces(arrival: Arrival, *, checksum: tus.Checksum) -> Arrival:
    whole = b""
    for piece in pieces(request, room_bytes=arrival.room_bytes, checksum=checksum):
        if arrival.is_for_photo and len(piece) == arrival.size_bytes:
            whole = piece
        else:
            arrival = append(arrival, piece=piece)
    if whole:
        return take_whole(arrival, content=whole, store=_store())
    return finish_if_whole(arrival, store=_store())


@blueprint.errorhandler(tus.TusError)
def _tell(error: tus.TusError) -> ResponseReturnValue:
    response = current_app.make_response(error_answer(error.status, code=error.code, message=error.message, fields={}))
    response.headers.update(error.headers)
    return response


@blueprint.errorhandler(OffsetDiffers)
def _tell_offset(error: OffsetDiffers) -> ResponseReturnValue:
    true = str(error.received_bytes)
    message = f"The server has {true} bytes of this upload. Go on from there."
    return _tell(tus.TusError(409, code="offset_differs", message=message, headers={"Upload-Offset": true}))


@blueprint.errorhandler(Stopped)
def _tell_stopped(_error: Stopped) -> ResponseReturnValue:
    return error_answer(423, code="stopped", message="A newer request took over this upload.", fields={})


@blueprint.errorhandler(Damaged)
def _tell_damaged(_error: Damaged) -> ResponseReturnValue:
    message = "What arrived is not the photo that was announced. Send it again from the first byte."
    return error_answer(460, code="checksum_mismatch", message=message, fields={})


@blueprint.errorhandler(Cut)
def _tell_nobody(_error: Cut) -> ResponseReturnValue:
    """The line was cut, and this answer reaches nobody; or it was silent, and its phone may try again."""
    return error_answer(408, code="cut", message="Nothing came for too long. What came is kept.", fields={})


@blueprint.after_app_request
def _name_version(response: Response) -> Response:
    """Also on what never reached this file: a method that is not taken, a caller who is not known."""
    if request.path.startswith(BELOW):
        if not is_heard_out(request, most_bytes=LARGEST_PHOTO_BYTES):
            response.headers["Connection"] = "close"
        response.headers["Tus-Resumable"] = tus.VERSION
    return response


def _how_long(actor: Actor) -> str:
    """An issue can leave the contractor, and a link can be shut: their browser asks every time.

    The answer to that question is a few bytes while the photo is still theirs.
    """
    return "private, no-cache" if actor.role == "contractor" else f"private, max-age={KEEP_S}, immutable"


@blueprint.route("/<uuid:photo_id>/<any('320', '1280', 'full'):size>")
@access("technician", "dispatcher", "contractor")
@blueprint.alt_response(200, description="A JPEG; in full as it was sent.", success=True)
def show_photo(photo_id: UUID, size: str) -> Response:
    """The pixels. Asked again, the browser already has them."""
    photo = find_photo(photo_id, actor=current_actor())
    if photo.state != "stored":
        raise NotFound("photo_not_here", "The bytes of this photo have not arrived.", {"state": photo.state})
    etag = f"{photo.sha256}-{size}"
    response = Response(status=304) if request.if_none_match.contains(etag) else _pixels(photo, size=size)
    response.set_etag(etag)
    response.headers["Cache-Control"] = _how_long(current_actor())
    response.vary.add(AS_HEADER)  # one browser may hold a link and someone's sign-in
    response.headers["X-Content-Type-Options"] = "nosniff"
    return response


def _pixels(photo: Photo, *, size: str) -> Response:
    store = _store()
    try:
        with while_reading():
            if size != "full":
                return send_file(rendition(store, sha256=photo.sha256, side_px=int(size)), mimetype="image/jpeg")
            with store.read(photo.sha256) as kept:
                whole = io.BytesIO(kept.read())
        mimetype = media_type(whole)
        whole.seek(0)
    except NotKept as error:
        raise NotFound("photo_lost", "The bytes of this photo are missing on the server.") from error
    except (NotAPhoto, NotReadable) as error:
        raise NotFound("photo_damaged", "The bytes of this photo are damaged on the server.") from error
    return send_file(whole, mimetype=mimetype)
