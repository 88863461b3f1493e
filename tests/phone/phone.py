"""A browser with a profile of its own on disk: a phone, or the dispatcher's desk."""

import os
import signal
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, ConsoleMessage, Error, Page, Playwright

from tests.phone.slow_phone import BUSY_DISK

# The class of a current mid-size Android phone, in CSS pixels, and the browser that people have, whole.
PHONE = {
    "viewport": {"width": 412, "height": 915},
    "device_scale_factor": 2.625,
    "has_touch": True,
    "is_mobile": True,
    "is_whole": True,
}
# The same with one dot to a pixel, of a person who asked for less motion: drawing seven times as many, and colours on
# their way, took a fourth of all that a story costs. The main job and the camera have both. For what becomes of a
# browser, its permissions and what it keeps.
COARSE_PHONE = {**PHONE, "device_scale_factor": 1, "reduced_motion": "reduce"}
# For all that happens within the page: the same Chromium without what is around pages, at half the price of a start.
LIGHT_PHONE = {**COARSE_PHONE, "is_whole": False}
# A camera that films a moving test picture, and a person who says yes when asked for it. Without
# the second the browser says no for them; without both there is no camera at all.
FAKE_CAMERA = "--use-fake-device-for-media-stream"
SAYS_YES = "--use-fake-ui-for-media-stream"
CAMERA_PHONE = {**PHONE, "args": [FAKE_CAMERA, SAYS_YES]}
REFUSING_PHONE = {**PHONE, "args": [FAKE_CAMERA]}
DESK = {"viewport": {"width": 1280, "height": 800}, "is_whole": False}
# Pages that the browser loads for its own address bar, which nobody sees here, at half a second of a core for each
# start; with them what Playwright leaves out by itself, as only the last such list counts.
_UNSEEN = ("WebUIOmniboxPopup", "WebUIOmniboxAimPopup", "WebUIOmniboxFullPopup")
_AS_PLAYWRIGHT = (
    "AvoidUnnecessaryBeforeUnloadCheckSync",
    "DestroyProfileOnBrowserClose",
    "HttpsUpgrades",
    "HttpsFirstBalancedModeAutoEnable",
    "LensOverlay",
    "MediaRouter",
    "PaintHolding",
    "ThirdPartyStoragePartitioning",
    "AvoidCorsURLLoaderRestartOnRedirect",
    "OptimizationHints",
    "NetworkTimeServiceQuerying",
    "AimEnabled",
    "PreconnectToSearch",
)
QUIET = [
    f"--disable-features={','.join((*_AS_PLAYWRIGHT, *_UNSEEN))}",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
GONE_WITHIN_S = 15
PATIENCE_MS = 20_000
LOOKED_FOR_MS = 10_000  # what is to be seen: half of the app's own 20 s, which would bring whatever a press should
NEWS_WITHIN_MS = 40_000  # the app asks for news every 20 s while it is looked at
COOKIE = b"__Host-flarenut_device"
COOKIES_WITHIN_S = 60

TURN_TO = """(path) => {
  history.pushState(null, "", path);
  dispatchEvent(new PopStateEvent("popstate"));
}"""


def program_of(*, is_whole: bool) -> str:
    """Chromium; where there is no light one, or another one than the whole, the whole."""
    whole = os.environ.get("FLARENUT_CHROMIUM", "/usr/bin/chromium")
    return whole if is_whole else os.environ.get("FLARENUT_LIGHT_CHROMIUM", whole)


READ_TABLE = """async (table) => {
  const names = (await indexedDB.databases()).map(({ name }) => name);
  const name = names.find((one) => /^flarenut-.{36}$/.test(one));
  if (!name) throw new Error("This phone has no store yet.");
  const store = await new Promise((opened, failed) => {
    const asked = indexedDB.open(name);
    asked.onsuccess = () => opened(asked.result);
    asked.onerror = () => failed(asked.error);
  });
  const reading = store.transaction(table);
  const rows = reading.objectStore(table).getAll();
  await new Promise((done, failed) => {
    rows.onsuccess = done;
    reading.onabort = () => failed(reading.error ?? new Error("The store went."));
  });
  store.close();
  return rows.result;
}"""


class Phone:
    """Playwright's usual contexts keep IndexedDB in memory; this one survives being killed."""

    def __init__(self, playwright: Playwright, *, profile: Path, origin: str, kind: dict[str, Any]) -> None:
        self._playwright = playwright
        self.profile = profile
        self.origin = origin
        self._kind = {name: value for name, value in kind.items() if name != "is_whole"}
        self._program = program_of(is_whole=kind["is_whole"])
        self.complaints: list[str] = []
        self.contexts: list[BrowserContext] = []  # one for each time that it was opened
        self.context: BrowserContext
        self.page: Page
        self.open()

    def open(self) -> None:
        self.context = self._playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=self._program,
            locale="en-US",
            timezone_id="America/Chicago",
            **{**self._kind, "args": [*QUIET, *self._kind.get("args", [])]},
        )
        self.contexts.append(self.context)
        if os.environ.get("FLARENUT_SLOW_PHONES"):
            self.context.add_init_script(BUSY_DISK)
        self.context.set_default_timeout(PATIENCE_MS)
        self.page = self.context.pages[0]
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", self._listen)
        # While anyone listens, no picker of the system opens that a test could not answer.
        self.page.on("filechooser", lambda _chooser: None)

    def _listen(self, message: ConsoleMessage) -> None:
        # What the network did is the story's own doing; a refused policy or a broken script is not.
        if message.type == "error" and "net::" not in message.text and "status of" not in message.text:
            self.complaints.append(message.text)

    def go(self, path: str) -> None:
        self.page.goto(self.origin + path)

    def turn_to(self, path: str) -> None:
        """As a link of the app would, without loading the app anew; anew where it is there, or under a sheet."""
        here = urlsplit(self.page.url)._replace(scheme="", netloc="", fragment="").geturl()
        if here == path or self.page.get_by_role("dialog").count():
            self.go(path)
        else:
            self.page.evaluate(TURN_TO, path)

    def lose_signal(self) -> None:
        self.context.set_offline(True)

    def find_signal(self) -> None:
        self.context.set_offline(False)

    def wait_until_the_sign_in_is_on_disk(self) -> None:
        """Chromium writes cookies half a minute late. A phone killed sooner keeps its work and asks who it is."""
        cookies = self.profile / "Default" / "Cookies"
        deadline = time.monotonic() + COOKIES_WITHIN_S
        while COOKIE not in cookies.read_bytes():
            assert time.monotonic() < deadline, "Chromium never wrote its cookies."
            time.sleep(0.2)

    def wait_for_rows(self, table: str, are_kept: Callable[[list[Any]], bool]) -> None:
        """What is shown at once is written a moment later: a page that ends sooner takes it with it."""
        until = time.monotonic() + PATIENCE_MS / 1000
        while not are_kept(rows := self.rows(table)):
            assert time.monotonic() < until, rows
            self.page.wait_for_timeout(100)

    def wait_for_drafts(self, are_kept: Callable[[list[Any]], bool]) -> None:
        """What is typed and not saved yet, as it lies on this phone."""
        self.wait_for_rows("drafts", lambda rows: are_kept([row["value"] for row in rows]))

    def rows(self, table: str) -> list[Any]:
        """Everything in one table of this phone's own database; its pictures come as empty things."""
        return list(self.page.evaluate(READ_TABLE, table))

    def kill(self) -> None:
        """As Android would: at once, whatever the page is doing. Everything on disk stays as it is."""
        pids = self._processes()
        for pid in pids:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        deadline = time.monotonic() + GONE_WITHIN_S
        while self._processes() and time.monotonic() < deadline:
            time.sleep(0.05)
        assert not self._processes(), "The browser outlived being killed."
        with suppress(Error):
            self.context.close()
        (self.profile / "SingletonLock").unlink(missing_ok=True)

    def _processes(self) -> list[int]:
        """Only the processes of this profile, and of those only the ones still alive."""
        mine = f"--user-data-dir={self.profile}".encode()
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                if mine in (folder / "cmdline").read_bytes().split(b"\0"):
                    found.append(int(folder.name))
        return found

    def close(self) -> None:
        with suppress(Error):
            self.context.close()
