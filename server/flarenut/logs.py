"""Logs: one JSON object a line. Who and what by id; no words a person wrote, no secrets, no addresses."""

import logging
import secrets
import sys
import time
import traceback
from typing import Any

import structlog
from flask import Flask, Response, g, request

log = structlog.get_logger(__name__)


def wire_logs(app: Flask) -> None:
    """One line for each request, and a request id that the answer carries too."""
    configure_logs(app.config["FLARENUT_LOG_LEVEL"])
    app.before_request(_begin)
    app.after_request(_finish)


def configure_logs(level: str) -> None:
    """JSON on standard error, which is what every kind of host collects."""
    structlog.configure(
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True),
            _where_it_broke,
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(logging.getLevelNamesMapping()[level.upper()]),
        logger_factory=lambda *_names: structlog.WriteLogger(sys.stderr),
        cache_logger_on_first_use=False,
    )


def _where_it_broke(_logger: object, _method: str, entry: Any) -> Any:
    """The kind of an error, the database's number for it, and where it was. Not its text: that may quote someone."""
    error = entry.pop("exc_info", None)
    if isinstance(error, BaseException):
        frames = traceback.extract_tb(error.__traceback__)
        entry["error"] = type(error).__name__
        entry["sqlstate"] = getattr(getattr(error, "orig", None), "pgcode", None)
        entry["trace"] = [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in frames]
    return entry


def _begin() -> None:
    # A proxy's id would let whoever calls write into the log, so each request gets one of ours.
    g.request_id, g.started = secrets.token_hex(8), time.perf_counter()
    structlog.contextvars.clear_contextvars()
    structlog.contextvars.bind_contextvars(request_id=g.request_id)


def _finish(response: Response) -> Response:
    response.headers["X-Request-Id"] = g.request_id
    actor = g.get("actor")
    log.info(
        "request",
        method=request.method,
        route=request.url_rule.rule if request.url_rule else None,  # the pattern: a path may hold a secret
        status=response.status_code,
        ms=round((time.perf_counter() - g.started) * 1000, 1),
        company_id=str(actor.company_id) if actor else None,
        person_id=str(actor.person_id) if actor and actor.person_id else None,
        link_id=str(actor.link_id) if actor and actor.link_id else None,
    )
    return response
