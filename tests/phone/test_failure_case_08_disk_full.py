"""Failure case 8 of sync: the disk is full in the middle of a burst of photos."""

from contextlib import suppress
from typing import Any

import pytest
from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Error, Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.phone import CAMERA_PHONE, PATIENCE_MS, Phone
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

ROOM_BYTES = 5_000_000
FITTING, MOST_PHOTOS = 2, 20
SAME_AGAIN_MS = 2_000
TRIED_MS = 10_000
# Beside the app's own, in smaller and smaller pieces: in the end not even words fit any more.
USE_UP = """async () => {
  const database = await new Promise((done, failed) => {
    const asked = indexedDB.open("invented", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("pieces", { autoIncrement: true });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = failed;
  });
  const fits = (bytes) => new Promise((done) => {
    const change = database.transaction("pieces", "readwrite");
    change.oncomplete = () => done(true);
    change.onabort = () => done(false);
    const piece = Uint8Array.from({ length: bytes }, () => Math.random() * 256);
    change.objectStore("pieces").add(piece);
  });
  for (const bytes of [300_000, 100_000, 30_000, 10_000, 3_000, 1_000, 300]) {
    while (await fits(bytes)) {}
  }
  database.close();
}"""
DRAIN, WORDS = "Drips onto the desk", "Words fit still"


@pytest.fixture
def ben(own_demo: Server, open_device: OpenDevice) -> Phone:
    """On a phone with a camera that can do without the network."""
    ben = open_device("ben", origin=own_demo.origin, kind=CAMERA_PHONE, signed_in=BEN)
    ben.go("/")
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    return ben


def test_case_08_the_disk_is_full_in_the_middle_of_a_photo_burst_and_nothing_is_lost(
    own_demo: Server, ben: Phone
) -> None:
    places = Places.on(own_demo.origin)
    disk = _begin_with_little_room(ben)

    page = ben.page
    _begin_an_issue(page, address=f"{ben.origin}{places.job}/log?unit={places.units['L2-03']}", words=DRAIN)
    taken = _take_photos_until_the_phone_is_full(page)
    page.get_by_role("button", name="Save issue").tap()
    expect(page.get_by_text("on this screen and nowhere else")).to_be_visible()
    expect(page.get_by_text("Nothing was lost")).to_have_count(0)
    expect(page.get_by_role("button", name="Take a photo")).to_have_attribute("aria-disabled", "true")
    expect(page.get_by_role("button", name=f"Remove photo {taken}", exact=True)).to_be_visible()
    look_at(page)
    other = ben.context.new_page()
    _begin_an_issue(other, address=f"{ben.origin}{places.job}/log?unit={places.units['L2-04']}", words=WORDS)
    save_issue(other)
    look_at(other)
    other.goto(f"{ben.origin}/you")
    expect(other.get_by_text("Not enough for a photo")).to_be_visible()
    expect(other.get_by_text("This phone is full.")).to_be_visible()
    look_at(other)
    disk.allow(disk.used_bytes() + 50_000_000)  # some videos were thrown away
    expect(other.get_by_text("This phone is full.")).to_have_count(0, timeout=PATIENCE_MS)  # looked at every 5 s
    save_issue(page)
    ben.find_signal()

    _everything_arrives(ServerView(own_demo.origin, person=ANA), taken=taken)


def test_case_08_a_photo_of_a_unit_that_a_full_phone_cannot_save_stays_on_the_screen_until_there_is_room(
    own_demo: Server, ben: Phone
) -> None:
    places = Places.on(own_demo.origin)
    disk = _begin_with_little_room(ben)

    page, unit = ben.page, places.units["L2-03"]
    page.goto(f"{ben.origin}{places.job}/unit/{unit}")
    _take_one_photo_on_a_phone_just_filled(page)
    expect(page.get_by_text("1 photo is not saved yet")).to_be_visible()
    expect(page.get_by_text("Nothing was lost")).to_have_count(0)
    look_at(page)
    page.get_by_role("button", name="Save again").tap()
    expect(page.get_by_text("1 photo is not saved yet")).to_be_visible()
    disk.allow(disk.used_bytes() + 50_000_000)  # some videos were thrown away
    with suppress(Error):  # the try of a moment ago may be under way still, and find the room
        page.get_by_role("button", name="Save again").tap(timeout=TRIED_MS)
    expect(page.get_by_text("1 photo is not saved yet")).to_have_count(0)
    ben.find_signal()

    view = ServerView(own_demo.origin, person=ANA)
    view.wait_for("photo", lambda rows: [row["state"] for row in rows if row["unit_id"] == unit] == ["stored"])


def _take_one_photo_on_a_phone_just_filled(page: Page) -> None:
    """The phone fills up while the camera is open: before that, it is not opened at all."""
    page.get_by_role("button", name="Take a photo").tap()
    camera = page.get_by_role("dialog", name="Camera")
    shutter = camera.get_by_role("button", name="Take the photo")
    expect(shutter).to_have_attribute("aria-disabled", "false")
    page.evaluate(USE_UP)
    shutter.tap()
    expect(camera.get_by_text("This phone is full.")).to_be_visible()
    expect(shutter).to_have_attribute("aria-disabled", "true")
    camera.get_by_role("button", name="Done").tap()
    expect(camera).to_have_count(0)


class Disk:
    """How much the browser may keep for this origin. It looks again every 30 s, and whenever that is used up."""

    def __init__(self, ben: Phone) -> None:
        self._origin = ben.origin
        self._session = ben.context.new_cdp_session(ben.page)  # with it goes what it allows

    def used_bytes(self) -> int:
        return int(self._session.send("Storage.getUsageAndQuota", {"origin": self._origin})["usage"])

    def allow(self, bytes_: int) -> None:
        asked = {"origin": self._origin, "quotaSize": bytes_}
        self._session.send("Storage.overrideQuotaForOrigin", asked)


def _begin_with_little_room(ben: Phone) -> Disk:
    """A browser that has not yet asked how much room there is. Until it has, it cannot tell what is used."""
    used_bytes = Disk(ben).used_bytes()
    ben.kill()
    ben.open()
    disk = Disk(ben)
    disk.allow(used_bytes + ROOM_BYTES)
    ben.lose_signal()
    return disk


def _begin_an_issue(page: Page, *, address: str, words: str) -> None:
    page.goto(address)
    page.get_by_role("radio", name="Drain").tap()
    page.get_by_label("In your words").fill(words)


READY = "button.camera-shutter[aria-disabled=false]"


def _take_photos_until_the_phone_is_full(page: Page) -> int:
    """The camera says so, and what was taken stays on the screen."""
    page.get_by_role("button", name="Take a photo").tap()
    camera = page.get_by_role("dialog", name="Camera")
    full = camera.get_by_text("This phone is full.")
    shutter = camera.get_by_role("button", name="Take the photo")
    for number in range(1, MOST_PHOTOS + 1):
        expect(camera.locator(READY).or_(full).first).to_be_visible()
        if full.is_visible():
            break
        shutter.tap()
        with suppress(Error):  # the test's camera may film the same picture twice, which is one photo
            camera.get_by_text(f"{number} photo").or_(full).first.wait_for(timeout=SAME_AGAIN_MS)
        if number == FITTING:
            page.evaluate(USE_UP)
        if full.is_visible():
            break
    expect(full).to_be_visible()
    expect(shutter).to_have_attribute("aria-disabled", "true")
    look_at(page)
    camera.get_by_role("button", name="Done").tap()
    expect(camera).to_have_count(0)
    expect(page.get_by_text("Getting the photo ready")).to_have_count(0)
    return page.get_by_role("button", name="Remove photo").count()


def _everything_arrives(view: ServerView, *, taken: int) -> None:
    issues = view.wait_for("issue", lambda rows: len(_said(rows)) == 2)
    words = {issue["id"]: issue["words"] for issue in _said(issues)}
    view.wait_for("photo", lambda rows: len(_stored(rows, words)) == taken)
    shown = [words[photo["issue_id"]] for photo in view.rows("photo") if photo["issue_id"] in words]
    assert sorted(words.values()) == [DRAIN, WORDS]
    assert shown == [DRAIN] * taken


def _said(issues: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [issue for issue in issues if issue["words"] in {DRAIN, WORDS}]


def _stored(photos: list[dict[str, Any]], words: dict[str, str]) -> list[dict[str, Any]]:
    return [photo for photo in photos if photo["issue_id"] in words and photo["state"] == "stored"]
