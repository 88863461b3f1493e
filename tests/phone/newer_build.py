"""Builds of the app that are changed by a test: one that is newer, and whose store has one table more."""

import re
from pathlib import Path

TEXTS = (".js", ".mjs", ".html")
BEFORE = ",this.outbox.hook("  # after all versions of the store
AFTER = ",this.version(4).stores({invented:`id`}),this.outbox.hook("
NEWER = 40  # how the browser counts version 4


def serve_as_written(build: Path) -> None:
    """Without the packed copies, which would hide what a test has changed."""
    for packed in [*build.rglob("*.br"), *build.rglob("*.gz")]:
        packed.unlink()


def put_a_newer_store_in_place(build: Path) -> None:
    """Every script has another name, as after any change, or browsers would keep the ones they have."""
    serve_as_written(build)
    scripts = [path for path in (build / "assets").iterdir() if path.suffix in {".js", ".mjs"}]
    changed = 0
    for path in [path for path in build.rglob("*") if path.suffix in TEXTS]:
        text = path.read_text()
        changed += text.count(BEFORE)
        text = text.replace(BEFORE, AFTER)
        for script in scripts:
            text = text.replace(script.name, _renamed(script.name))
        # The start page and the list of what is kept offline are told apart by a checksum.
        path.write_text(re.sub(r'("revision":")[0-9a-f]{8}', r"\g<1>0badcafe", text))
    for script in scripts:
        script.rename(script.with_name(_renamed(script.name)))
    assert changed == 2, "The store's newest version was not found where the app and its service worker open it."


def _renamed(name: str) -> str:
    stem, _, ending = name.rpartition(".")
    return f"{stem}-n.{ending}"
