"""The camera within the page, and marks drawn on photos: offline, on the link, and where there is no camera."""

import json
from typing import Any
from urllib.parse import urlsplit

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Locator, Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at, look_at_contrast
from tests.phone.phone import CAMERA_PHONE, PATIENCE_MS, PHONE, REFUSING_PHONE, Phone
from tests.phone.photos import camera_photo
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.taps import start_counting, taps

MOST_TAPS = 5  # design: from the photo to "saved", the unit being known


def _go_to_log(ben: Phone, *, tag: str, server: Server) -> str:
    """Ben stands at the unit, and this phone can do without the network."""
    unit = Places.on(server.origin).units[tag]
    ben.go("/")
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    ben.go(f"{Places.on(server.origin).job}/unit/{unit}")
    ben.page.get_by_role("link", name="Log an issue here").tap()
    # The unit's own screen has a camera too, and stays until the next one is there.
    expect(ben.page.get_by_role("heading", name=f"Issue at {tag}")).to_be_visible(timeout=PATIENCE_MS)
    return unit


def _open_camera(page: Page) -> Locator:
    page.get_by_role("button", name="Take a photo").tap()
    camera = page.get_by_role("dialog", name="Camera")
    expect(camera).to_be_visible(timeout=PATIENCE_MS)
    return camera


def _shutter(camera: Locator) -> Locator:
    """Once it can be pressed."""
    shutter = camera.get_by_role("button", name="Take the photo")
    expect(shutter).to_have_attribute("aria-disabled", "false", timeout=PATIENCE_MS)
    return shutter


def _shoot(camera: Locator, *, count: str) -> None:
    _shutter(camera).tap()
    expect(camera.get_by_text(count, exact=True)).to_be_visible(timeout=PATIENCE_MS)


def _drag(page: Page, *, start: tuple[float, float], end: tuple[float, float]) -> None:
    """With a finger held down, over the picture; places are parts of what is shown."""
    box = page.get_by_role("dialog", name="Draw on the photo").get_by_role("img").bounding_box()
    assert box is not None
    (x0, y0), (x1, y1) = ((box["x"] + x * box["width"], box["y"] + y * box["height"]) for x, y in (start, end))
    page.mouse.move(x0, y0)
    page.mouse.down()
    page.mouse.move((x0 + x1) / 2, (y0 + y1) / 2)
    page.mouse.move(x1, y1)
    page.mouse.up()


def _photos_of(view: ServerView, *, unit: str, count: int) -> list[dict[str, Any]]:
    """The photos of the one issue there, in the order they were taken, once the server has them whole."""
    issues = view.wait_for("issue", lambda rows: any(row["unit_id"] == unit for row in rows))
    [issue] = [row for row in issues if row["unit_id"] == unit]
    photos = view.wait_for("photo", lambda rows: _states(rows, issue) == ["stored"] * count)
    return sorted(_of(photos, issue), key=lambda row: str(row["taken_at"]))


def _of(photos: list[dict[str, Any]], issue: dict[str, Any]) -> list[dict[str, Any]]:
    return [row for row in photos if row["issue_id"] == issue["id"]]


def _states(photos: list[dict[str, Any]], issue: dict[str, Any]) -> list[str]:
    return [row["state"] for row in _of(photos, issue)]


def test_two_photos_one_of_them_marked_are_saved_offline_and_reach_the_contractor(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    unit = _go_to_log(ben, tag="L2-03", server=own_demo)
    ben.lose_signal()

    camera = _open_camera(page)
    _shoot(camera, count="1 photo")
    _shoot(camera, count="2 photos")
    look_at(page)
    camera.get_by_role("button", name="Draw on photo 2").tap()
    drawing = page.get_by_role("dialog", name="Draw on the photo")
    _drag(page, start=(0.2, 0.7), end=(0.5, 0.5))
    drawing.get_by_role("button", name="Ring").tap()
    _drag(page, start=(0.3, 0.3), end=(0.6, 0.6))
    drawing.get_by_role("button", name="Line").tap()
    _drag(page, start=(0.2, 0.4), end=(0.8, 0.5))
    expect(drawing.get_by_role("img", name="3 marks")).to_be_visible()
    look_at(page)
    drawing.get_by_role("button", name="Take back").tap()
    expect(drawing.get_by_role("img", name="2 marks")).to_be_visible()
    drawing.get_by_role("button", name="Keep the marks").tap()
    camera.get_by_role("button", name="Done").tap()
    expect(page.get_by_role("button", name="Remove photo 2")).to_be_visible()
    look_at(page)
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_role("button", name="Save issue").tap()
    expect(page.get_by_text("Saved on this phone.").first).to_be_visible()
    ben.find_signal()

    first, second = _photos_of(ServerView(own_demo.origin, person=ANA), unit=unit, count=2)
    assert first["marks"] == []
    assert [mark["tool"] for mark in second["marks"]] == ["arrow", "ring"]
    assert first["sha256"] != second["sha256"]
    _kim_sees_the_marks(open_device("kim", origin=own_demo.origin, has_app=True), server=own_demo)


def _kim_sees_the_marks(kim: Phone, *, server: Server) -> None:
    page = kim.page
    secret = json.loads((server.data / "demo.json").read_text())["link_secret"]
    kim.go(f"/answer#{secret}")
    page.get_by_role("link", name="Drain").filter(has_text="L2-03").first.click()
    page.get_by_role("button", name="Open the photo: Photo 2").click()
    photo = page.get_by_role("dialog")
    expect(photo.locator("svg.marks path.mark-core")).to_have_count(2)
    look_at(page)
    photo.get_by_role("button", name="Hide the marks").click()
    expect(photo.locator("svg.marks")).to_have_count(0)
    expect(photo.get_by_role("button", name="Draw on it")).to_have_count(0)
    photo.get_by_role("button", name="Close").click()


def test_a_saved_photo_is_marked_later_and_turning_back_keeps_what_was_drawn(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    unit = _go_to_log(ben, tag="L2-03", server=own_demo)
    camera = _open_camera(page)
    _shoot(camera, count="1 photo")
    camera.get_by_role("button", name="Done").tap()
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_role("button", name="Save issue").tap()
    page.get_by_role("link", name="L2-03").first.click()
    view = ServerView(own_demo.origin, person=ANA)
    [before] = _photos_of(view, unit=unit, count=1)
    ben.lose_signal()

    page.get_by_role("button", name="Open the photo").click()
    page.get_by_role("button", name="Draw on it").click()
    drawing = page.get_by_role("dialog", name="Draw on the photo")
    _drag(page, start=(0.2, 0.7), end=(0.5, 0.5))
    page.keyboard.press("Escape")
    expect(drawing).to_have_count(0)
    page.get_by_role("button", name="Draw on it").click()
    expect(drawing.get_by_role("img", name="1 mark")).to_be_visible()
    look_at(page)
    drawing.get_by_role("button", name="Save the marks").click()
    expect(page.get_by_role("button", name="Hide the marks")).to_be_visible()
    look_at(page)
    ben.find_signal()

    photos = view.wait_for("photo", lambda rows: any(row["id"] == before["id"] and row["marks"] for row in rows))
    [after] = [row for row in photos if row["id"] == before["id"]]
    assert [mark["tool"] for mark in after["marks"]] == ["arrow"]
    assert (after["sha256"], after["state"]) == (before["sha256"], "stored")


def test_what_is_drawn_on_a_new_photo_is_there_after_the_browser_was_killed_and_cancel_takes_back_the_rest(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    _go_to_log(ben, tag="L2-03", server=own_demo)
    camera = _open_camera(ben.page)
    _shoot(camera, count="1 photo")
    camera.get_by_role("button", name="Draw on photo 1").tap()
    _draw_an_arrow(ben.page, then="1 mark")
    _wait_until_kept(ben, marks=1)

    _kill_and_open(ben)
    ben.go("/")

    page = ben.page
    page.get_by_role("button", name="Draw on photo 1").tap()
    drawing = page.get_by_role("dialog", name="Draw on the photo")
    expect(drawing.get_by_role("img", name="1 mark")).to_be_visible()
    _draw_an_arrow(page, then="2 marks")
    look_at(page)
    drawing.get_by_role("button", name="Cancel").tap()
    page.get_by_role("button", name="Draw on photo 1").tap()
    expect(drawing.get_by_role("img", name="1 mark")).to_be_visible()
    drawing.get_by_role("button", name="Take back").tap()
    page.keyboard.press("Escape")
    _wait_until_kept(ben, marks=0)
    _kill_and_open(ben)
    ben.go(urlsplit(page.url).path + "?" + urlsplit(page.url).query)
    ben.page.get_by_role("button", name="Draw on photo 1").tap()
    expect(ben.page.get_by_role("img", name="No marks yet")).to_be_visible()


def _draw_an_arrow(page: Page, *, then: str) -> None:
    _drag(page, start=(0.2, 0.7), end=(0.5, 0.5))
    expect(page.get_by_role("dialog", name="Draw on the photo").get_by_role("img", name=then)).to_be_visible()


def _wait_until_kept(phone: Phone, *, marks: int) -> None:
    """After each stroke, with nothing pressed."""
    phone.wait_for_drafts(lambda drafts: _marks_in(drafts) == marks)


def _leads_nowhere_back(phone: Phone) -> None:
    """A camera that is shut is no longer what the app comes back to."""
    phone.wait_for_rows("intents", lambda rows: rows == [])


def _marks_in(drafts: list[Any]) -> int:
    ofs = [photo.get("marks", []) for draft in drafts for photo in draft.get("photos", [])]
    return sum(len(marks) for marks in [*ofs, *(draft.get("marks", []) for draft in drafts)])


def _kill_and_open(phone: Phone) -> None:
    phone.kill()
    phone.open()


def test_what_is_drawn_on_a_saved_photo_is_there_after_the_browser_was_killed_until_it_is_cancelled(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    _go_to_log(ben, tag="L2-03", server=own_demo)
    _shoot(_open_camera(page), count="1 photo")
    page.get_by_role("dialog", name="Camera").get_by_role("button", name="Done").tap()
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_role("button", name="Save issue").tap()
    page.get_by_role("link", name="L2-03").first.click()
    drawing = _draw_on_the_photo(page)
    issue = urlsplit(page.url).path
    _draw_an_arrow(page, then="1 mark")
    _wait_until_kept(ben, marks=1)

    _kill_and_open(ben)
    ben.go(issue)

    page = ben.page
    drawing = _draw_on_the_photo(page)
    expect(drawing.get_by_role("img", name="1 mark")).to_be_visible()
    drawing.get_by_role("button", name="Take back").click()
    _draw_an_arrow(page, then="1 mark")
    drawing.get_by_role("button", name="Take back").click()
    _draw_an_arrow(page, then="1 mark")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Draw on it").click()
    _draw_an_arrow(page, then="2 marks")
    drawing.get_by_role("button", name="Cancel").click()
    page.get_by_role("button", name="Draw on it").click()
    expect(drawing.get_by_role("img", name="1 mark")).to_be_visible()
    drawing.get_by_role("button", name="Take back").click()
    drawing.get_by_role("button", name="Cancel").click()
    expect(drawing).to_have_count(0)
    look_at(page)


def _draw_on_the_photo(page: Page) -> Locator:
    page.get_by_role("button", name="Open the photo").click()
    page.get_by_role("button", name="Draw on it").click()
    return page.get_by_role("dialog", name="Draw on the photo")


def test_an_issue_photographed_in_the_page_takes_at_most_five_taps_after_the_photo(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    unit = _go_to_log(ben, tag="L2-03", server=own_demo)
    camera = _open_camera(page)
    _shoot(camera, count="1 photo")

    start_counting(page)
    camera.get_by_role("button", name="Done").tap()
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_role("button", name="Save issue").tap()
    expect(page.get_by_role("heading", name="Issue saved")).to_be_visible()

    tapped = taps(page)
    assert 0 < len(tapped) <= MOST_TAPS, tapped
    look_at(page)
    assert len(_photos_of(ServerView(own_demo.origin, person=ANA), unit=unit, count=1)) == 1


def test_the_camera_is_let_go_while_nobody_looks_and_comes_back(own_demo: Server, open_device: OpenDevice) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    _go_to_log(ben, tag="L2-03", server=own_demo)
    camera = _open_camera(page)
    _shoot(camera, count="1 photo")
    page.evaluate("() => { window.__film = document.querySelector('video').srcObject }")

    _hide(page, hidden=True)
    page.wait_for_function("() => window.__film.getTracks().every((track) => track.readyState === 'ended')")
    _hide(page, hidden=False)

    expect(camera.get_by_role("button", name="Take the photo")).to_have_attribute("aria-disabled", "false")
    page.wait_for_function("() => document.querySelector('video').srcObject?.active")
    page.keyboard.press("Escape")
    expect(camera).to_have_count(0)
    expect(page.get_by_role("button", name="Remove photo 1")).to_be_visible()
    look_at(page)


# A camera that gives neither a still nor a frame of its film, once it is told to give up.
BREAK_CAMERA = """() => {
  ImageCapture.prototype.takePhoto = () => Promise.reject();
  HTMLCanvasElement.prototype.toBlob = (take) => { window.__giveUp = () => take(null); };
}"""


def test_whoever_leaves_the_camera_at_once_keeps_the_photo_and_is_told_first_where_none_came(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    page = ben.page
    _go_to_log(ben, tag="L2-03", server=own_demo)

    _shutter(_open_camera(page)).tap()
    page.keyboard.press("Escape")
    expect(page.get_by_role("button", name="Remove photo 1")).to_be_visible()
    _leads_nowhere_back(ben)

    camera = _open_camera(page)
    shutter = _shutter(camera)
    page.evaluate(BREAK_CAMERA)
    shutter.tap()
    page.wait_for_function("() => window.__giveUp")
    # A browser lets a page refuse the first of these and not the second.
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    page.evaluate("() => window.__giveUp()")
    expect(camera.get_by_role("alert")).to_have_text("That photo did not work. Press again.")
    look_at(page)
    camera.get_by_role("button", name="Back").tap()
    expect(camera).to_have_count(0)
    _leads_nowhere_back(ben)


def _hide(page: Page, *, hidden: bool) -> None:
    """As the browser tells a page that another app came in front of it."""
    page.evaluate(
        """(hidden) => {
          Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
          document.dispatchEvent(new Event("visibilitychange"));
        }""",
        hidden,
    )


def test_where_the_camera_is_refused_the_phones_own_takes_over(own_demo: Server, open_device: OpenDevice) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=REFUSING_PHONE, signed_in=BEN)
    page = ben.page
    _go_to_log(ben, tag="L2-03", server=own_demo)

    camera = _open_camera(page)
    expect(camera.get_by_text("does not let this page use the camera")).to_be_visible()
    expect(camera.get_by_role("button", name="Take the photo")).to_have_count(0)
    look_at(page)
    with page.expect_file_chooser() as choosing:
        camera.get_by_role("button", name="Open the phone's own camera").tap()
    assert choosing.value.element.get_attribute("capture") == "environment"
    choosing.value.set_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": camera_photo()})

    expect(page.get_by_role("button", name="Remove photo 1")).to_be_visible()
    expect(camera).to_have_count(0)


def test_a_device_without_a_camera_says_so_and_leads_back(own_demo: Server, open_device: OpenDevice) -> None:
    ben = open_device("ben", origin=own_demo.origin, kind=PHONE, signed_in=BEN)
    _go_to_log(ben, tag="L2-03", server=own_demo)

    camera = _open_camera(ben.page)
    expect(camera.get_by_role("alert")).to_contain_text("camera")
    for mode in ("dark", "sun"):
        look_at_contrast(ben.page, mode=mode)
    look_at(ben.page)
    camera.get_by_role("button", name="Back").tap()

    expect(ben.page.get_by_role("button", name="Gallery")).to_be_visible()
