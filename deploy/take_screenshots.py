"""Draws the screens of a fresh demo. Run by deploy/screenshots."""

import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from demo_seed.people import ANA, BEN, DemoPerson
from deploy.screens import Places, Shot, contractor_shots, desk_shots, settle, technician_shots
from PIL import Image
from playwright.sync_api import Playwright, expect, sync_playwright
from tests.phone.entering import sign_in
from tests.phone.looking import wait_until_still
from tests.phone.phone import DESK, PHONE, Phone
from tests.phone.server_process import ROOT, Server

MODES = ("day", "dark", "sun")
# 1080 by 2340 device pixels, the size that the manifest names.
IN_THE_MANIFEST = {**PHONE, "viewport": {"width": 360, "height": 780}, "device_scale_factor": 3}
# Chances are worked out for one job after the other.
NOT_YET = "Working out how sure that is"
WORKED_OUT_WITHIN_MS = 60_000
# What the README and the app's manifest show: name of the shot, mode, where it goes, its width there.
PICTURES = ROOT / "deploy" / "pictures"
IN_THE_APP = ROOT / "pwa" / "public" / "screenshots"


@dataclass(frozen=True)
class Kept:
    """A picture that is committed."""

    shot: str
    mode: str
    path: Path
    width_px: int


KEPT = (
    Kept("job", "day", PICTURES / "phone-job.png", 412),
    Kept("log", "dark", PICTURES / "phone-log.png", 412),
    Kept("supply", "sun", PICTURES / "phone-supply.png", 412),
    Kept("answer", "day", PICTURES / "phone-answer.png", 412),
    Kept("board", "day", PICTURES / "desk-board.png", 1280),
    Kept("narrow-job", "day", IN_THE_APP / "narrow-job.png", 1080),
    Kept("board", "day", IN_THE_APP / "wide-board.png", 1280),
)


@contextmanager
def served_demo(folder: Path) -> Iterator[Server]:
    """The demo, loaded into a folder of its own."""
    server = Server(data=folder, app_dir=ROOT / "pwa" / "dist")
    quiet = {**server.environment, "FLARENUT_LOG_LEVEL": "warning"}
    for command in (["flarenut.cli", "db", "upgrade"], ["demo_seed"]):
        subprocess.run([sys.executable, "-m", *command], env=quiet, check=True, cwd=ROOT)
    server.start()
    try:
        yield server
    finally:
        server.stop()


def take(phone: Phone, *, shots: list[Shot], folder: Path) -> None:
    """Each screen once, in each mode."""
    for shot in shots:
        phone.go(shot.path)
        settle(phone.page)
        shot.then(phone.page)
        expect(phone.page.get_by_text(NOT_YET)).to_have_count(0, timeout=WORKED_OUT_WITHIN_MS)
        for mode in MODES:
            phone.page.evaluate("(mode) => { document.documentElement.dataset.mode = mode }", mode)
            wait_until_still(phone.page)
            phone.page.screenshot(path=folder / f"{shot.name}-{mode}.png")


def _device(playwright: Playwright, *, server: Server, kind: dict[str, Any]) -> Phone:
    return Phone(playwright, profile=Path(tempfile.mkdtemp()), origin=server.origin, kind=kind)


def _person(playwright: Playwright, *, server: Server, person: DemoPerson, kind: dict[str, Any]) -> Phone:
    phone = _device(playwright, server=server, kind=kind)
    sign_in(phone, person=person)
    settle(phone.page)
    return phone


def take_all(playwright: Playwright, *, server: Server, folder: Path) -> None:
    """As each of the three, at the size at which they work."""
    places = Places.on(server.origin)
    secret = json.loads((server.data / "demo.json").read_text())["link_secret"]
    signed_out = _device(playwright, server=server, kind=PHONE)
    take(signed_out, shots=[Shot("sign-in", "/sign-in")], folder=folder)
    ben = _person(playwright, server=server, person=BEN, kind=PHONE)
    take(ben, shots=technician_shots(places), folder=folder)
    kim = _device(playwright, server=server, kind=PHONE)
    kim.go(f"/answer#{secret}")
    expect(kim.page.get_by_text("Before the return")).to_be_visible()
    take(kim, shots=contractor_shots(places), folder=folder)
    ana = _person(playwright, server=server, person=ANA, kind=DESK)
    take(ana, shots=desk_shots(places), folder=folder)
    installed = _person(playwright, server=server, person=BEN, kind=IN_THE_MANIFEST)
    take(installed, shots=[Shot("narrow-job", places.job)], folder=folder)
    for phone in (signed_out, ben, kim, ana, installed):
        phone.close()


def keep(folder: Path) -> None:
    """Small copies, of few colours, in the places where they are shown."""
    for kept in KEPT:
        picture = Image.open(folder / f"{kept.shot}-{kept.mode}.png").convert("RGB")
        height = round(picture.height * kept.width_px / picture.width)
        small = picture.resize((kept.width_px, height), Image.Resampling.LANCZOS)
        kept.path.parent.mkdir(parents=True, exist_ok=True)
        small.quantize(128, dither=Image.Dither.NONE).save(kept.path, optimize=True)
        print(kept.path.relative_to(ROOT), f"{kept.path.stat().st_size / 1000:.0f} kB")


def main() -> None:
    wanted = sys.argv[1] if len(sys.argv) > 1 else "--keep"
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) if wanted == "--keep" else Path(wanted)
        folder.mkdir(parents=True, exist_ok=True)
        data = Path(tempfile.mkdtemp())
        with served_demo(data) as server, sync_playwright() as playwright:
            take_all(playwright, server=server, folder=folder)
        shutil.rmtree(data, ignore_errors=True)
        if wanted == "--keep":
            keep(folder)
        else:
            print(len(list(folder.glob("*.png"))), "pictures in", folder)


if __name__ == "__main__":
    main()
