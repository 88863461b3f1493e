"""One program that runs seeds, one after the other: what it tells, and which seed it was at when it told no more."""

import json
import queue
import subprocess
import threading
from collections.abc import Iterator
from typing import Any

# A seed takes a second or two; a machine that is busy with much else may need many times that (P).
SILENCE_S = 180


class Program:
    """A line of JSON says which seed it begins, and one what became of it."""

    def __init__(self, line: list[str], *, silence_s: float = SILENCE_S) -> None:
        self._silence_s = silence_s
        self._process = subprocess.Popen(line, stdout=subprocess.PIPE, text=True)
        self._lines: queue.Queue[str | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def told(self) -> Iterator[dict[str, Any]]:
        """What became of each seed; of the one at which it died or hung, that."""
        seed = None
        try:
            while (line := self._lines.get(timeout=self._silence_s)) is not None:
                said = json.loads(line)
                seed = said.get("begins")
                if seed is None:
                    yield said
            end = f"ended with {self._process.wait(self._silence_s)}"
        except queue.Empty:
            end = f"was silent for {self._silence_s} s"
        if seed is not None:
            yield {"seed": seed, "problems": [f"the program of the phones {end}"]}
        else:
            assert end == "ended with 0", f"the program of the phones {end}, between two seeds"

    def end(self) -> None:
        self._process.kill()
        self._process.wait()
        self._reader.join()

    def _read(self) -> None:
        """Whole lines only: it may die within one."""
        assert self._process.stdout is not None
        with self._process.stdout as lines:
            for line in lines:
                if line.endswith("\n"):
                    self._lines.put(line)
        self._lines.put(None)
