"""Every answer that is not a success has the one shape, whoever gives it."""

from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from marshmallow import ValidationError
from sqlalchemy.exc import OperationalError
from werkzeug.exceptions import TooManyRequests
from werkzeug.test import TestResponse

from flarenut import errors
from flarenut.errors import STATUS, FlarenutError
from tests.builders import CastMember, Phone, new_id

Enter = Callable[..., Phone]


def _check_shape(answer: TestResponse, *, status: int, code: str) -> None:
    assert answer.status_code == status
    body = answer.get_json()
    assert set(body) == {"error"}
    assert set(body["error"]) == {"code", "message", "fields"}
    assert body["error"]["code"] == code
    assert body["error"]["message"]
    assert isinstance(body["error"]["fields"], dict)


def _ask(app: Flask, method: str, path: str, **asked: Any) -> TestResponse:
    return app.test_client().open(path, method=method, **asked)


@pytest.mark.parametrize(
    ("method", "path", "asked", "status", "code"),
    [
        ("GET", "/api/nothing/here", {}, 404, "not_found"),
        ("GET", "/api", {}, 404, "not_found"),
        ("GET", "/no-such-script.js", {}, 404, "not_found"),
        ("DELETE", "/api/me", {}, 405, "method_not_allowed"),
        ("GET", "/api/sync/push", {}, 404, "not_found"),
        ("GET", "/api/me", {}, 401, "not_signed_in"),
        ("GET", "/api/me", {"headers": {"X-Flarenut-As": "device"}}, 401, "not_signed_in"),
        ("GET", "/api/me", {"headers": {"X-Flarenut-As": "nonsense"}}, 401, "not_signed_in"),
        ("POST", "/api/sign-in", {"data": "{", "content_type": "application/json"}, 400, "bad_request"),
        ("POST", "/api/sign-in", {"json": ["no", "object"]}, 422, "invalid"),
        ("POST", "/api/sign-in", {"json": {"email": 7}}, 422, "invalid"),
        ("POST", "/api/sign-in", {"data": "email=x", "content_type": "text/plain"}, 422, "invalid"),
    ],
)
def test_what_cannot_be_answered(app: Flask, method: str, path: str, asked: Any, status: int, code: str) -> None:
    _check_shape(_ask(app, method, path, **asked), status=status, code=code)


def test_missing_fields_are_named_as_they_were_sent(app: Flask) -> None:
    answer = _ask(app, "POST", "/api/sign-in", json={"email": "x@invented.example", "device_id": "none"})

    assert answer.get_json()["error"]["fields"] == {
        "password": ["Missing data for required field."],
        "device_id": ["Not a valid UUID."],
    }


def test_a_body_beyond_all_limits(ana: CastMember, client_as: Enter) -> None:
    answer = client_as(ana).post("/api/sync/push", data=b" " * 17_000_000, content_type="application/json")

    _check_shape(answer, status=413, code="too_large")


def test_a_body_nested_without_end(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    answer = phone.post("/api/sync/push", data="[" * 100_000, content_type="application/json")

    _check_shape(answer, status=400, code="bad_request")


def _raising(error: Exception) -> Callable[..., Any]:
    def act(*_positional: Any, **_named: Any) -> Any:
        raise error

    return act


@pytest.mark.parametrize(
    ("error", "status", "code"),
    [
        (RuntimeError("a secret detail"), 500, "server_error"),
        (OperationalError("a secret detail", {}, Exception()), 503, "busy"),
        (TooManyRequests("a secret detail"), 429, "too_many_requests"),
        (ValidationError({"tag": ["is missing"]}), 422, "invalid"),
        *((kind("some_code", "Some words."), STATUS[kind], "some_code") for kind in STATUS),
    ],
)
def test_whatever_is_raised_has_the_one_shape(
    app: Flask, monkeypatch: pytest.MonkeyPatch, error: Exception, status: int, code: str
) -> None:
    monkeypatch.setitem(app.view_functions, "people.get_me", _raising(error))

    answer = _ask(app, "GET", "/api/me")

    _check_shape(answer, status=status, code=code)
    assert "secret detail" not in answer.get_data(as_text=True)


def test_every_kind_of_our_errors_has_a_status() -> None:
    kinds = {
        kind
        for kind in vars(errors).values()
        if isinstance(kind, type) and issubclass(kind, FlarenutError) and kind is not FlarenutError
    }

    assert kinds == set(STATUS)


def test_an_answer_that_says_wait_also_says_how_long(app: Flask) -> None:
    body = {"email": "nobody@invented.example", "password": "guessed", "device_id": new_id()}

    answers = [_ask(app, "POST", "/api/sign-in", json=body) for _ in range(12)]

    _check_shape(answers[-1], status=429, code="too_many_requests")
