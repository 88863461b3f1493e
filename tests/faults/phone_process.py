"""One phone as a process of its own, which may be killed at any moment: `python -m tests.faults.phone_process FOLDER`.

The folder holds what it was told at the start (`told.json`) and its journal; the file `allowed`
beside the folder says how many deeds all phones together may have done by now.
"""

import json
import random
import sys
import time
from pathlib import Path
from typing import Any

from tests.faults.backoff import Backoff
from tests.faults.deeds import Site, do_one
from tests.faults.journal import Journal
from tests.faults.phone import Phone
from tests.faults.wire import over_http

LOOK_S = 0.02


class App:
    """The app on that phone: writes when it may, and sends whenever there is a reason to."""

    def __init__(self, folder: Path) -> None:
        self._allowed = folder.parent / "allowed"
        self._told: dict[str, Any] = json.loads((folder / "told.json").read_text())
        self._sites = [Site(**site) for site in self._told["sites"]]
        self._phone = Phone(Journal(folder / "journal"), ask=over_http(self._told["port"]))
        self._backoff = Backoff(random.Random())
        self._due = 0.0

    def run(self) -> None:
        while True:
            if self._write():
                self._backoff.reset()
                self._due = 0.0
            if time.monotonic() >= self._due:
                self._due = time.monotonic() + self._backoff.pause(self._round())
            time.sleep(LOOK_S)

    def _write(self) -> bool:
        """At most one deed between two looks at the clock, as a person would."""
        if self._phone.meta.get("made", 0) >= self._may_make():
            return False
        do_one(self._phone, sites=self._sites, name=self._told["name"], seed=self._told["seed"])
        return True

    def _may_make(self) -> int:
        allowed = int(self._allowed.read_text()) if self._allowed.exists() else 0
        return (allowed + int(self._told["place"])) // int(self._told["phones"])

    def _round(self) -> str:
        if "cookie" not in self._phone.meta and not self._phone.sign_in(**self._told["person"]):
            return "later"
        return self._phone.exchange()


if __name__ == "__main__":
    App(Path(sys.argv[1])).run()
