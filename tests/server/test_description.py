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


def test_every_route_says_what_it_answers_when_all_is_well(described: dict[str, Any]) -> None:
    silent = [name for name, route in _routes(described) if not any(status[0] == "2" for status in route["responses"])]

    assert silent == []


def test_an_error_is_described_as_it_is_answered(app: Flask, described: dict[str, Any]) -> None:
    told = app.test_client().get("/api/me").get_json()
    refused = [route["responses"]["default"] for _, route in _routes(described)]

    assert {answer["$ref"] for answer in refused} == {"#/components/responses/DEFAULT_ERROR"}
    content = described["components"]["responses"]["DEFAULT_ERROR"]["content"]["application/json"]
    whole = described["components"]["schemas"][_name(content["schema"])]
    inner = described["components"]["schemas"][_name(whole["properties"]["error"])]
    assert set(whole["properties"]) == set(told) == {"error"}
    assert set(inner["properties"]) == set(told["error"])
    assert inner["properties"]["code"]["type"] == "string"


def test_every_route_says_who_may_use_it(app: Flask, described: dict[str, Any]) -> None:
    page = app.test_client().get("/api/docs").get_data(as_text=True)
    rules = {
        f"{method.lower()} {_template(rule.rule)}": app.view_functions[rule.endpoint]
        for rule in app.url_map.iter_rules()
        for method in rule.methods or ()
        if method != "OPTIONS" or not rule.provide_automatic_options
    }

    told = {name: route["x-who"] for name, route in _routes(described)}

    assert told == {name: sorted(rules[name].access) or ["anyone"] for name in told}
    assert told["post /api/as-built/check"] == ["dispatcher"]
    assert [
        name for name, route in _routes(described) if (route.get("security") == []) != (not rules[name].access)
    ] == []
    assert "For the dispatcher." in page


def _routes(described: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    return [
        (f"{method} {path}", route)
        for path, methods in described["paths"].items()
        for method, route in methods.items()
        if method != "parameters"
    ]


def _name(reference: dict[str, str]) -> str:
    return reference["$ref"].rpartition("/")[2]


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
