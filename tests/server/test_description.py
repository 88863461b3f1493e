"""The API describes itself, for machines and for people."""

from typing import Any

import pytest
from flask import Flask
from openapi_spec_validator import validate


@pytest.fixture
def described(app: Flask) -> dict[str, Any]:
    """What machines read."""
    spec: dict[str, Any] = app.test_client().get("/api/openapi.json").get_json()
    return spec


def test_it_is_openapi_3_1(described: dict[str, Any]) -> None:
    validate(described)

    assert described["openapi"].startswith("3.1.")


def test_every_route_of_the_api_is_in_it(app: Flask, described: dict[str, Any]) -> None:
    not_of_the_api = ("/api/openapi.json", "/api/docs", "/api/docs.css", "/", "/<path:path>")
    rules = [rule for rule in app.url_map.iter_rules() if rule.rule not in not_of_the_api]

    missing = [
        f"{method} {rule.rule}"
        for rule in rules
        for method in set(rule.methods or ()) - {"HEAD", "OPTIONS"}
        if method.lower() not in described["paths"].get(_template(rule.rule), {})
    ]

    assert len(rules) > 15
    assert missing == []


def _template(rule: str) -> str:
    for converter in ("uuid:", "string:", "any('320', '1280', 'full'):"):
        rule = rule.replace(f"<{converter}", "{")
    return rule.replace(">", "}")


def test_every_route_says_in_words_what_it_does(described: dict[str, Any]) -> None:
    silent = [
        f"{method} {path}"
        for path, methods in described["paths"].items()
        for method, route in methods.items()
        if isinstance(route, dict) and not route.get("summary")
    ]

    assert silent == []


def test_what_a_pull_and_a_push_look_like_is_written_out(described: dict[str, Any]) -> None:
    shapes = described["components"]["schemas"]

    assert set(shapes["JobOut"]["properties"]) == {"job_id", "state", "rows", "removals", "cursor", "more", "last_seq"}
    assert set(shapes["ReceiptOut"]["properties"]) == {"id", "seq", "outcome", "rev", "detail"}
    assert shapes["PushIn"]["required"] == ["device_id", "lanes"]


def test_people_can_read_it_without_any_script(app: Flask, described: dict[str, Any]) -> None:
    page = app.test_client().get("/api/docs").get_data(as_text=True)

    assert "<script" not in page
    assert "style=" not in page
    for path in described["paths"]:
        assert path.replace("'", "&#39;") in page
