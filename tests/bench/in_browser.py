"""What only a real browser can tell: how long a strict write takes, and what an idle sync puts on the wire."""

import os
import random
import statistics
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from playwright.sync_api import Page, sync_playwright

from tests.bench.drawn import SEED, observation
from tests.bench.stand import Stand
from tests.bench.tap import Tap, request_taken_apart, taken_apart
from tests.phone.phone import QUIET

COOKIE = "__Host-flarenut_device"
IDLE_ROUNDS = 20

ENTER = """async ({ owner }) => {
  const { id, name, role } = owner.person;
  const who = { as: "device", principal_id: id, role, name, company_name: "Invented Climate" };
  window.line = phone.lineFor(who);
  await phone.adoptDevice(line.store, owner.device_id);
  await phone.enterSession(who);
  await phone.exchangeWords(line);
}"""

# By turns, so that whatever else the machine does meets both alike.
SAVE = """async ({ site, one, rounds }) => {
  const opening = indexedDB.open("bare", 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore("kept", { keyPath: "id" });
  const database = await new Promise((done) => { opening.onsuccess = () => done(opening.result); });
  const put = (value) => new Promise((done, failed) => {
    const writing = database.transaction("kept", "readwrite", { durability: "strict" });
    writing.objectStore("kept").put(value);
    writing.oncomplete = done;
    writing.onabort = failed;
  });
  const timed = async (work) => { const began = performance.now(); await work(); return performance.now() - began; };
  const save = async () => {
    const saved = await phone.raiseIssue({ ...one, jobId: site.job_id, unitId: site.unit_id });
    if (!saved.ok) throw new Error(saved.code);
  };
  const times = { bare: [], saved: [] };
  for (let round = 0; round < rounds; round += 1) {
    times.bare.push(await timed(() => put({ id: phone.uuid7(), ...one })));
    times.saved.push(await timed(save));
  }
  return times;
}"""

IDLE = """async () => {
  const began = performance.now();
  const ended = await phone.exchangeWords(line);
  if (ended !== "done") throw new Error(ended);
  return performance.now() - began;
}"""


def measure_in_browser(stand: Stand, *, rounds: int) -> dict[str, Any]:
    """Saving [ms], the middle of many; and one idle sync."""
    scene = stand.site()
    tap = Tap(target_port=stand.server.port)
    try:
        with _page(stand, tap=tap, cookie=scene["reader"]["cookie"]) as page:
            page.evaluate(ENTER, {"owner": scene["reader"]})
            one = observation(random.Random(SEED))
            times = page.evaluate(SAVE, {"site": scene["site"], "one": one, "rounds": rounds})
            return {"save": {name: statistics.median(of) for name, of in times.items()}, "idle": _idle(page, tap=tap)}
    finally:
        tap.close()


def _idle(page: Page, *, tap: Tap) -> dict[str, Any]:
    """After everything has been sent and read. The last of several rounds is taken apart."""
    times = [page.evaluate(IDLE) for _ in range(3 + IDLE_ROUNDS)][3:]
    tap.empty()
    page.evaluate(IDLE)
    up, (_, down) = request_taken_apart(bytes(tap.up)), taken_apart(bytes(tap.down))
    return {
        "requests": tap.requests,
        "ms": statistics.median(times),
        "up": {"headers": up.headers, "body": up.body, "of_the_browser": up.of_the_browser, "ours": up.ours},
        "down": {"headers": down.headers, "body": down.body, "of_the_browser": 0, "ours": down.ours},
    }


@contextmanager
def _page(stand: Stand, *, tap: Tap, cookie: str) -> Iterator[Page]:
    """Of a browser with a profile on the disk: the usual ones of Playwright keep IndexedDB in memory."""
    with sync_playwright() as playwright:
        context = playwright.chromium.launch_persistent_context(
            stand.folder / "profile",
            executable_path=os.environ.get("FLARENUT_CHROMIUM", "/usr/bin/chromium"),
            args=QUIET,
        )
        known = {"name": COOKIE, "value": cookie, "domain": "localhost", "path": "/", "secure": True}
        context.add_cookies([{**known, "httpOnly": True, "sameSite": "Strict"}])
        page = context.new_page()
        page.goto(tap.origin)
        yield page
        context.close()
