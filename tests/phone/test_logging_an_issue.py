"""Logging an issue with gloves on: few taps, and nothing lost when the app is renewed under it."""

import hashlib
import io
from pathlib import Path
from typing import Any

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from PIL import Image
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.newer_build import serve_as_written
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.photos import AS_SEEN, camera_photo, corners
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.taps import start_counting, taps
from tests.phone.the_visit import take_photo

MOST_TAPS = 5  # design: from the photo to "saved", the unit being known


def test_an_issue_with_a_photo_on_a_known_unit_takes_at_most_five_taps_after_the_photo(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    unit = _go_to_unit(ben, tag="L2-03", server=own_demo)
    ben.page.get_by_role("link", name="Log an issue here").tap()
    expect(ben.page.get_by_role("heading", name="Issue at L2-03")).to_be_visible()
    take_photo(ben.page, content=camera_photo(width=4000, height=3000))
    look_at(ben.page)

    start_counting(ben.page)
    ben.page.get_by_role("radio", name="Drain").tap()
    ben.page.get_by_role("button", name="Save issue").tap()
    expect(ben.page.get_by_role("heading", name="Issue saved")).to_be_visible()

    tapped = taps(ben.page)
    assert 0 < len(tapped) <= MOST_TAPS, tapped
    look_at(ben.page)
    view = ServerView(own_demo.origin, person=ANA)
    issues = view.wait_for("issue", lambda rows: len(_on(rows, unit)) == 1)
    [issue] = _on(issues, unit)
    assert (issue["category"], issue["stops"], issue["who_must_act"]) == ("drain", ["test_run"], "contractor")
    view.wait_for("photo", lambda rows: [row["state"] for row in _of(rows, issue)] == ["stored"])
    [photo] = _of(view.rows("photo"), issue)
    is_small_upright_and_says_no_place(view.photo(photo["id"]), photo=photo)


def is_small_upright_and_says_no_place(kept: bytes, *, photo: dict[str, Any]) -> None:
    """12 megapixels on their side became 2,048 px upright; nothing tells where the site is."""
    assert (hashlib.sha256(kept).hexdigest(), len(kept)) == (photo["sha256"], photo["size_bytes"])
    with Image.open(io.BytesIO(kept)) as seen:
        assert (seen.format, seen.size) == ("JPEG", (1536, 2048))
        assert (photo["width_px"], photo["height_px"]) == seen.size
        assert "exif" not in seen.info
        assert not seen.getexif()
        assert corners(seen) == AS_SEEN
    assert b"Exif" not in kept


def _of(photos: list[dict[str, Any]], issue: dict[str, Any]) -> list[dict[str, Any]]:
    return [photo for photo in photos if photo["issue_id"] == issue["id"]]


def _on(issues: list[dict[str, Any]], unit: str) -> list[dict[str, Any]]:
    return [issue for issue in issues if issue["unit_id"] == unit]


def _go_to_unit(ben: Phone, *, tag: str, server: Server) -> str:
    places = Places.on(server.origin)
    ben.go(f"{places.job}/unit/{places.units[tag]}")
    return places.units[tag]


def test_a_new_version_is_offered_and_does_not_lose_what_was_typed(
    demo_of_own_build: Server, own_build: Path, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=demo_of_own_build.origin, signed_in=BEN)
    _go_to_unit(ben, tag="L2-03", server=demo_of_own_build)
    wait_until_offline_ready(ben)
    ben.page.get_by_role("link", name="Log an issue here").click()
    expect(ben.page.get_by_role("heading", name="Issue at L2-03")).to_be_visible()
    take_photo(ben.page)
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_label("In your words").fill("Drips onto the desk")
    ben.wait_for_drafts(lambda drafts: any(draft.get("words") == "Drips onto the desk" for draft in drafts))
    where, other = ben.page.url, ben.context.new_page()
    other.goto(ben.origin)
    expect(other.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()

    put_a_newer_build_in_place(own_build)
    ben.go("/")
    newer = ben.page.get_by_text("A new version is ready.")
    expect(newer).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(ben.page)
    with ben.page.expect_navigation():
        ben.page.get_by_role("button", name="Take it now").click()
    expect(ben.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    expect(ben.page.get_by_text("A new version is ready.")).to_have_count(0)
    # The other tab goes on as it is until its person says so, and is offered the same.
    with other.expect_navigation():
        other.get_by_role("button", name="Take it now").click()
    expect(other.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    expect(other.get_by_text("A new version is ready.")).to_have_count(0)

    ben.page.goto(where)
    expect(ben.page.get_by_label("In your words")).to_have_value("Drips onto the desk")
    expect(ben.page.get_by_role("radio", name="Drain")).to_be_checked()
    expect(ben.page.get_by_role("button", name="Remove photo 1")).to_be_visible()


def put_a_newer_build_in_place(build: Path) -> None:
    """A service worker that differs in one byte is a new version to the browser."""
    worker = build / "sw.js"
    worker.write_text(worker.read_text() + "\n// newer\n")
    serve_as_written(build)


def test_a_phone_that_lost_its_sign_in_keeps_everything_and_sends_it_after_signing_in_again(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    unit = _go_to_unit(ben, tag="L2-04", server=own_demo)
    ben.context.clear_cookies()

    ben.page.get_by_role("link", name="Log an issue here").click()
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_role("button", name="Save issue").click()
    expect(ben.page.get_by_text("Sign in to send it").first).to_be_visible()
    look_at(ben.page)
    view = ServerView(own_demo.origin, person=ANA)
    assert _on(view.rows("issue"), unit) == []
    ben.page.get_by_role("link", name="Sign in to send it").first.click()
    _is_known_again(ben)
    ben.page.get_by_label("Password", exact=True).fill(BEN.password)
    ben.page.get_by_role("button", name="Sign in").click()

    assert view.wait_for("issue", lambda rows: len(_on(rows, unit)) == 1)


def _is_known_again(ben: Phone) -> None:
    """What waits is counted, nothing that he has said once is asked again, and there is a way back."""
    page = ben.page
    expect(page.get_by_text(f"1 thing waits on this device. It is sent once you sign in, {BEN.name}.")).to_be_visible()
    expect(page.get_by_label("Email")).to_have_value(BEN.email)
    expect(page.get_by_role("link", name="Back")).to_be_visible()
    look_at(page)
