"""What the demo prints when it is up: where it is, and who can sign in."""

import json
import os
import shutil
import sys
from pathlib import Path

import segno

from demo_seed.people import ANA, BEN

WIDE_ENOUGH = 100  # [columns] a code of this length needs about 45, beside nothing else


def welcome(*, origin: str, secret: str) -> str:
    """Plain lines, so that they can be copied."""
    link = f"{origin}/answer#{secret}"
    lines = [
        "",
        f"flarenut is at {origin}",
        "Every person, firm, site and piece of equipment in it is invented.",
        "",
        f"  dispatcher   {ANA.email}   {ANA.password}",
        f"  technician   {BEN.email}   {BEN.password}",
        f"  contractor   {link}",
        "",
        "Ctrl-C stops it; the data is kept. README.md says how to open it on a phone.",
    ]
    return "\n".join(lines)


def main() -> None:
    port, data = sys.argv[1], Path(os.environ["FLARENUT_DATA"])
    secret = json.loads((data / "demo.json").read_text())["link_secret"]
    origin = f"http://localhost:{port}"
    print(welcome(origin=origin, secret=secret))
    if sys.stdout.isatty() and shutil.get_terminal_size().columns >= WIDE_ENOUGH:
        segno.make(f"{origin}/answer#{secret}").terminal(compact=True)


if __name__ == "__main__":
    main()
