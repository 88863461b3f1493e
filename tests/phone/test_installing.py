"""What a phone needs to know to install the app, and that what it is told is so."""

import json
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.phone.conftest import BUILT, OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.newer_build import serve_as_written
from tests.phone.phone import COARSE_PHONE, Phone
from tests.phone.server_process import Server

SAFE_ZONE = 0.8  # W3C App Manifest: a maskable icon keeps to a circle of 80 % of its width (S)


@pytest.fixture
def manifest() -> dict[str, Any]:
    return dict(json.loads((BUILT / "app.webmanifest").read_text()))


def _picture(entry: dict[str, Any]) -> Image.Image:
    with Image.open(BUILT / entry["src"].lstrip("/")) as picture:
        return picture.convert("RGBA")


def test_the_app_has_one_lasting_identity_and_opens_by_itself(manifest: dict[str, Any]) -> None:
    assert manifest["id"] == "/flarenut"
    assert manifest["start_url"] == "/"
    assert manifest["scope"] == "/"
    assert manifest["display"] == "standalone"
    assert 'rel="manifest"' in (BUILT / "index.html").read_text()


def test_every_icon_and_screenshot_exists_and_has_the_size_it_claims(manifest: dict[str, Any]) -> None:
    entries = [*manifest["icons"], *manifest["screenshots"]]

    sizes = {entry["src"]: "x".join(map(str, _picture(entry).size)) for entry in entries}

    assert sizes == {entry["src"]: entry["sizes"] for entry in entries}
    plain = {icon["sizes"] for icon in manifest["icons"] if icon["purpose"] == "any"}
    assert plain >= {"192x192", "512x512"}
    assert {shot["form_factor"] for shot in manifest["screenshots"]} == {"narrow", "wide"}


def test_the_maskable_icon_keeps_its_drawing_inside_the_safe_zone(manifest: dict[str, Any]) -> None:
    [entry] = [icon for icon in manifest["icons"] if icon["purpose"] == "maskable"]
    icon = _picture(entry)
    ground, radius = icon.getpixel((0, 0)), icon.width * SAFE_ZONE / 2

    outside = [
        (x, y)
        for x in range(icon.width)
        for y in range(icon.height)
        if (x - icon.width / 2) ** 2 + (y - icon.height / 2) ** 2 > radius**2
        and max(abs(a - b) for a, b in zip(icon.getpixel((x, y)), ground, strict=True)) > 8
    ]

    assert not outside
    assert len(icon.getcolors(icon.width * icon.height) or []) > 1, "The icon is empty."


def test_the_shortcuts_lead_into_the_app(manifest: dict[str, Any]) -> None:
    assert 3 <= len(manifest["shortcuts"]) <= 4
    assert all(shortcut["url"].startswith("/") and shortcut["name"] for shortcut in manifest["shortcuts"])


def test_chromium_finds_nothing_that_keeps_the_app_from_being_installed(
    server: Server, open_device: OpenDevice
) -> None:
    phone = open_device("phone", origin=server.origin, kind=COARSE_PHONE)

    assert _what_keeps_it_from_being_installed(phone) == []

    look_at(phone.page)


def test_chromium_says_so_where_an_app_cannot_be_installed(
    own_build: Path, demo_of_own_build: Server, open_device: OpenDevice
) -> None:
    """The same question to the same app without its icons: "nothing" is an answer only where there can be another."""
    manifest = own_build / "app.webmanifest"
    manifest.write_text(json.dumps({**json.loads(manifest.read_text()), "icons": []}))
    serve_as_written(own_build)
    phone = open_device("phone", origin=demo_of_own_build.origin, kind=COARSE_PHONE)

    assert "manifest-missing-suitable-icon" in _what_keeps_it_from_being_installed(phone)

    look_at(phone.page)


def _what_keeps_it_from_being_installed(phone: Phone) -> list[str]:
    phone.go("/")
    expect(phone.page.get_by_role("heading", name="Sign in")).to_be_visible()
    wait_until_offline_ready(phone)
    told = phone.context.new_cdp_session(phone.page).send("Page.getInstallabilityErrors")
    return [error["errorId"] for error in told["installabilityErrors"]]
