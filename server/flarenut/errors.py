"""Our errors, and the one table that turns any error into a status and JSON.

Verbs raise these and know nothing of HTTP. Every answer that is not a success has one shape:
`{"error": {"code", "message", "fields"}}`.
"""

from typing import Any

import structlog
from flask import Flask, jsonify
from flask.typing import ResponseReturnValue
from marshmallow import Schema, ValidationError, fields
from sqlalchemy.exc import OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from werkzeug.exceptions import ClientDisconnected, HTTPException

log = structlog.get_logger(__name__)


class FlarenutError(Exception):
    """Something a person can be told: a code for programs, a sentence, and the fields it is about."""

    def __init__(self, code: str, message: str = "", fields: dict[str, Any] | None = None) -> None:
        super().__init__(message or code)
        self.code = code
        self.message = message or code.replace("_", " ").capitalize() + "."
        self.fields = fields or {}


class Invalid(FlarenutError):
    """What was sent cannot be understood: a field is missing, of the wrong kind, or out of its limits."""


class NotSignedIn(FlarenutError):
    """Nobody is known to be asking. The phone keeps everything and asks for a sign-in."""


class NotAllowed(FlarenutError):
    """Someone is known, and this is not theirs to do."""


class NotFound(FlarenutError):
    """There is no such thing, or it stands behind another company's wall: the answer is the same."""


class Refused(FlarenutError):
    """A rule of the trade says no, and says why."""


class TooLarge(FlarenutError):
    """More than one request may carry. The phone halves what it sends."""


class Busy(FlarenutError):
    """Not now. The same bytes may be sent again in a while."""


class UpdateNeeded(FlarenutError):
    """The app is too old to read the answer. What it sends is still taken."""


STATUS: dict[type[FlarenutError], int] = {
    Invalid: 422,
    NotSignedIn: 401,
    NotAllowed: 403,
    NotFound: 404,
    Refused: 409,
    TooLarge: 413,
    Busy: 503,
    UpdateNeeded: 426,
}

# What the web server itself refuses, in our words: status -> (code, sentence).
WEB_ERRORS: dict[int, tuple[str, str]] = {
    400: ("bad_request", "The request could not be read."),
    401: ("not_signed_in", "Sign in first."),
    403: ("not_allowed", "This is not yours to do."),
    404: ("not_found", "There is nothing here."),
    405: ("method_not_allowed", "This address does not take that method."),
    406: ("not_acceptable", "This address cannot answer in that form."),
    408: ("too_slow", "The request took too long to arrive."),
    411: ("length_required", "The request must say how long it is."),
    413: ("too_large", "The request is larger than this address takes."),
    415: ("wrong_media_type", "This address does not take that media type."),
    422: ("invalid", "Some fields are missing or out of their limits."),
    429: ("too_many_requests", "Too many attempts. Wait a minute and try again."),
    500: ("server_error", "Something went wrong here. Nothing you sent was taken."),
    503: ("busy", "The server is busy. Nothing was taken; try again in a moment."),
}


class ErrorTold(Schema):
    """A code for programs, a sentence for people, and what is wrong field by field."""

    code = fields.String()
    message = fields.String()
    fields = fields.Dict()


class ErrorAnswer(Schema):
    """Every answer that is not a success, as the API's description has it."""

    error = fields.Nested(ErrorTold)


def error_answer(status: int, *, code: str, message: str, fields: dict[str, Any]) -> ResponseReturnValue:
    """The one shape of an answer that is not a success."""
    return jsonify({"error": {"code": code, "message": message, "fields": fields}}), status


def _ours(error: FlarenutError) -> ResponseReturnValue:
    status = next(STATUS[kind] for kind in type(error).__mro__ if kind in STATUS)
    return error_answer(status, code=error.code, message=error.message, fields=error.fields)


def _web(error: HTTPException) -> ResponseReturnValue:
    # A line that fell silent within a body: nothing is wrong with what was said, and it may be said again.
    status = 408 if isinstance(error, ClientDisconnected) else error.code or 500
    if status < 400:  # noqa: PLR2004 -- a redirect is no error and goes out as it is.
        return error.get_response()
    code, message = WEB_ERRORS.get(status, ("request_failed", "The request could not be answered."))
    fields = getattr(error, "data", {}).get("messages", {})  # where webargs puts what is wrong
    answer, _ = error_answer(status, code=code, message=message, fields=without_location(fields))
    answer.headers.extend(  # Allow, Retry-After and their like stay with the answer.
        [(name, value) for name, value in error.get_headers() if name not in ("Content-Type", "Content-Length")]
    )
    return answer, status


def without_location(messages: Any) -> dict[str, Any]:
    """Name the fields alone: webargs puts them under "json", "query" or "files"."""
    if not isinstance(messages, dict):
        return {}
    inner = {}
    for place, wrong in messages.items():
        inner.update(wrong if isinstance(wrong, dict) else {place: wrong})
    return inner


def shape_errors(error: ValidationError) -> dict[str, Any]:
    """What is wrong, field by field."""
    messages: dict[str, Any] = error.normalized_messages()  # type: ignore[no-untyped-call]
    return messages


def _shape(error: ValidationError) -> ResponseReturnValue:
    code, message = WEB_ERRORS[422]
    return error_answer(422, code=code, message=message, fields=shape_errors(error))


def _too_deep(_error: RecursionError) -> ResponseReturnValue:
    code, message = WEB_ERRORS[400]
    return error_answer(400, code=code, message=message, fields={"json": ["nested too deeply"]})


def _database_away(error: Exception) -> ResponseReturnValue:
    log.warning("database_away", kind=type(error).__name__)
    code, message = WEB_ERRORS[503]
    return error_answer(503, code=code, message=message, fields={})


def _unexpected(error: Exception) -> ResponseReturnValue:
    log.error("unexpected", kind=type(error).__name__, exc_info=error)
    code, message = WEB_ERRORS[500]
    return error_answer(500, code=code, message=message, fields={})


def answer_errors(app: Flask) -> None:
    """Give every kind of error its one answer."""
    app.register_error_handler(FlarenutError, _ours)
    app.register_error_handler(ValidationError, _shape)
    app.register_error_handler(HTTPException, _web)
    app.register_error_handler(RecursionError, _too_deep)
    app.register_error_handler(OperationalError, _database_away)
    app.register_error_handler(PoolTimeout, _database_away)
    app.register_error_handler(Exception, _unexpected)
