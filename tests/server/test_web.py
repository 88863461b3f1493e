"""What browsers are told beside the answer, and how the built app is served."""

import gzip
from pathlib import Path

import pytest
from flask import Flask
from werkzeug.test import TestResponse


@pytest.fixture
def site(app: Flask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Flask:
    """A build of the app, small but of the same form."""
    (tmp_path / "assets").mkdir()
    (tmp_path / "index.html").write_text("<!doctype html><title>flarenut</title>")
    (tmp_path / "sw.js").write_text("// the service worker")
    (tmp_path / "assets" / "main-abc123.js").write_text("let n = 1;\n" * 500)
    (tmp_path / "assets" / "main-abc123.js.gz").write_bytes(gzip.compress(b"let n = 1;\n" * 500))
    (tmp_path / "assets" / "main-abc123.js.br").write_bytes(b"packed by the build")
    (tmp_path / "assets" / "engine-abc123.wasm").write_bytes(b"\0asm")
    monkeypatch.setitem(app.config, "FLARENUT_APP_DIR", tmp_path)
    return app


def _get(site: Flask, path: str, *, packed: str = "gzip") -> TestResponse:
    with site.test_client().get(path, headers={"Accept-Encoding": packed}) as answer:
        assert answer.data is not None  # read before the file is closed
        return answer


@pytest.mark.parametrize("path", ["/", "/job/0190/round", "/answer", "/answer/issue/1", "/board"])
def test_every_path_of_the_app_gets_its_start_page(site: Flask, path: str) -> None:
    answer = _get(site, path)

    assert answer.status_code == 200
    assert b"flarenut" in answer.data
    assert answer.mimetype == "text/html"


def test_the_start_page_and_the_service_worker_are_always_asked_for_anew(site: Flask) -> None:
    for path in ("/", "/sw.js", "/index.html"):
        assert _get(site, path).headers["Cache-Control"] == "no-cache"


def test_an_asset_whose_name_changes_with_it_is_kept_for_a_year(site: Flask) -> None:
    answer = _get(site, "/assets/main-abc123.js")

    assert "immutable" in answer.headers["Cache-Control"]
    assert answer.headers["Content-Encoding"] == "gzip"
    assert gzip.decompress(answer.data) == b"let n = 1;\n" * 500
    assert answer.mimetype == "text/javascript"


def test_a_browser_gets_the_smallest_copy_that_it_can_unpack(site: Flask) -> None:
    as_chromium = _get(site, "/assets/main-abc123.js", packed="gzip, deflate, br, zstd")
    without = _get(site, "/assets/main-abc123.js", packed="br;q=0, gzip")
    only_plain_there = _get(site, "/assets/engine-abc123.wasm", packed="br")

    assert (as_chromium.headers["Content-Encoding"], as_chromium.data) == ("br", b"packed by the build")
    assert as_chromium.mimetype == "text/javascript"
    assert as_chromium.headers["ETag"] != without.headers["ETag"]
    assert without.headers["Content-Encoding"] == "gzip"
    assert only_plain_there.data == b"\0asm"
    assert all(answer.vary == {"Accept-Encoding"} for answer in (as_chromium, without, only_plain_there))


def test_who_cannot_unpack_gets_it_plain(site: Flask) -> None:
    answer = _get(site, "/assets/main-abc123.js", packed="identity")

    assert "Content-Encoding" not in answer.headers
    assert answer.data == b"let n = 1;\n" * 500


def test_the_engine_is_served_as_what_it_is(site: Flask) -> None:
    assert _get(site, "/assets/engine-abc123.wasm").mimetype == "application/wasm"


def test_a_missing_script_is_not_answered_with_a_page(site: Flask) -> None:
    assert _get(site, "/assets/old-build.js").status_code == 404


@pytest.mark.parametrize("path", ["/../pyproject.toml", "/%2e%2e/pyproject.toml", "/assets/../../pyproject.toml"])
def test_nothing_outside_the_build_is_served(site: Flask, path: str) -> None:
    answer = _get(site, path)

    assert b"build-system" not in answer.data


@pytest.mark.parametrize("path", ["/", "/api/docs", "/healthz", "/nothing.js"])
def test_every_answer_is_guarded(site: Flask, path: str) -> None:
    headers = _get(site, path).headers

    policy = headers["Content-Security-Policy"]
    for part in ("default-src 'none'", "frame-ancestors 'none'", "require-trusted-types-for 'script'"):
        assert part in policy
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Request-Id"]


@pytest.mark.parametrize("path", ["/api/me", "/api/openapi.json", "/api/nothing"])
def test_data_is_guarded_in_few_bytes(site: Flask, path: str) -> None:
    headers = _get(site, path).headers

    assert headers["Content-Security-Policy"] == "default-src 'none'; frame-ancestors 'none'"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Request-Id"]
    assert sum(len(f"{name}: {value}\r\n") for name, value in headers.items()) < 300


def test_a_page_reached_by_a_secret_link_is_neither_kept_nor_found(site: Flask) -> None:
    headers = _get(site, "/answer").headers

    assert headers["Cache-Control"] == "no-store"
    assert "noindex" in headers["X-Robots-Tag"]


def test_a_long_answer_of_the_api_is_packed(site: Flask) -> None:
    answer = _get(site, "/api/openapi.json")

    assert answer.headers["Content-Encoding"] == "gzip"
    assert answer.headers["Cache-Control"] == "no-store"
    assert len(answer.data) < 0.4 * len(gzip.decompress(answer.data))


@pytest.mark.parametrize("path", ["/" + "a" * 300, "/%00", "/..%2f..%2fetc"])
def test_a_path_that_no_file_can_have_is_the_apps_or_nothing(site: Flask, path: str) -> None:
    assert _get(site, path).mimetype == "text/html"
    assert _get(site, f"{path}.js").status_code == 404
