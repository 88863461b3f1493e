"""What browsers are told beside the answer itself, and the built phone app."""

import gzip
from pathlib import Path

from flask import Flask, Response, abort, current_app, make_response, request, send_from_directory

from flarenut.people.access import access_public

_POLICY = (
    "default-src 'none'",
    "script-src 'self' 'wasm-unsafe-eval'",
    "style-src 'self'",
    "img-src 'self' blob: data:",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "font-src 'self'",
    "media-src 'self' blob:",
    "form-action 'self'",
    "base-uri 'none'",
    "object-src 'none'",
    "frame-ancestors 'none'",
    "require-trusted-types-for 'script'",
    "trusted-types flarenut flarenut-engine",
)

_ALWAYS = {
    "Content-Security-Policy": "; ".join(_POLICY),
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(self), microphone=(), payment=(), usb=()",
    "Strict-Transport-Security": "max-age=31536000",  # ignored by browsers on a plain line
}

# A phone that asks whether anything is new hears these with every answer: what only a page can heed is left out.
# No page of another origin gets at an answer in any case, since a header of ours must go with each question.
_ON_DATA = {
    "Content-Security-Policy": "default-src 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff",
    "Cache-Control": "no-store",
}

# What the build puts beside a file, the smallest first. Python's own library cannot make a .br, so data goes as gzip.
_PACKED_COPIES = {"br": ".br", "gzip": ".gz"}

_YEAR = "public, max-age=31536000, immutable"
_ASK_FIRST = "no-cache"  # kept, but never used without asking whether it is still the newest
_SECRET_PATHS = ("/answer",)  # reached by links whose fragment is a secret

# Below this an answer fits one packet anyway, and packing it costs more than it saves.
_WORTH_PACKING_BYTES = 1_000
_PACKABLE = ("application/json", "text/", "image/svg+xml", "application/javascript", "application/manifest+json")


def wire_web(app: Flask) -> None:
    """The app under every path that is not the API's, and headers on every answer."""
    app.add_url_rule("/", view_func=serve_app, defaults={"path": ""})
    app.add_url_rule("/<path:path>", view_func=serve_app)
    app.after_request(_pack)
    app.after_request(_guard)
    app.config["MAX_CONTENT_LENGTH"] = 16 * 1024 * 1024  # [B] a mutation with a ten-megabyte note is still read


@access_public
def serve_app(path: str) -> Response:
    """A file of the built app, or its start page: the app itself knows its paths, also offline."""
    if path == "api" or path.startswith("api/"):
        abort(404)
    folder: Path = current_app.config["FLARENUT_APP_DIR"]
    is_file = bool(path) and _is_file(folder / path)
    if not is_file and "." in path.rsplit("/", 1)[-1]:
        abort(404)  # a missing script must not be answered with a page
    response = _file(folder, name=path if is_file else "index.html")
    is_hashed = path.startswith("assets/") and is_file
    response.headers["Cache-Control"] = _YEAR if is_hashed else _ASK_FIRST
    return response


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name longer than any file can have
        return False


def _file(folder: Path, *, name: str) -> Response:
    """The file, or the smallest packed copy that the build has put beside it and the browser can unpack."""
    plain = make_response(send_from_directory(folder, name))
    plain.vary.add("Accept-Encoding")
    for encoding, ending in _PACKED_COPIES.items():
        packed = f"{name}{ending}"
        if request.accept_encodings[encoding] and (folder / packed).is_file():
            plain.close()
            response = make_response(send_from_directory(folder, packed, mimetype=plain.mimetype))
            response.headers["Content-Encoding"] = encoding
            response.vary.add("Accept-Encoding")
            return response
    return plain


def _is_data(response: Response) -> bool:
    return request.path.startswith("/api/") and response.mimetype == "application/json"


def _guard(response: Response) -> Response:
    if _is_data(response):
        for name, value in _ON_DATA.items():
            response.headers.setdefault(name, value)
        return response
    for name, value in _ALWAYS.items():
        response.headers.setdefault(name, value)
    if request.path.startswith(_SECRET_PATHS):
        response.headers["Cache-Control"] = "no-store"
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
    elif request.path.startswith("/api/"):
        response.headers.setdefault("Cache-Control", "no-store")
        response.headers["X-Robots-Tag"] = "noindex, nofollow"
    return response


def _pack(response: Response) -> Response:
    """Pack what is text. A pull on a poor line arrives in a fifth of the time."""
    is_text = response.mimetype.startswith(_PACKABLE)
    if not is_text or "Content-Encoding" in response.headers or response.status_code != 200:  # noqa: PLR2004
        return response
    if not _is_data(response):  # which nobody keeps
        response.vary.add("Accept-Encoding")
    if "gzip" not in request.accept_encodings:
        return response
    response.direct_passthrough = False
    body = response.get_data()
    if len(body) >= _WORTH_PACKING_BYTES:
        response.set_data(gzip.compress(body, compresslevel=5, mtime=0))
        response.headers["Content-Encoding"] = "gzip"
    return response
