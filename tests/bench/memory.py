"""How much memory processes held at most: their own share, looked at four times a second."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress

import psutil

EVERY_S = 0.25
MEGABYTE = 1_000_000


class Peaks:
    """The highest sum for each name. Shared pages count by the share of each process (PSS)."""

    def __init__(self) -> None:
        self.mb: dict[str, float] = {}

    @contextmanager
    def watching(self, name: str, *, pids: list[int]) -> Iterator[None]:
        """While the block runs; children that the processes have by then are theirs."""
        over = threading.Event()
        watcher = threading.Thread(target=self._watch, args=(name,), kwargs={"pids": pids, "over": over}, daemon=True)
        watcher.start()
        try:
            yield
        finally:
            over.set()
            watcher.join()

    def _watch(self, name: str, *, pids: list[int], over: threading.Event) -> None:
        while not over.wait(EVERY_S):
            self.mb[name] = max(self.mb.get(name, 0.0), sum(map(_with_children, pids)) / MEGABYTE)


def _with_children(pid: int) -> int:
    with suppress(psutil.Error):
        process = psutil.Process(pid)
        return sum(_held(one.memory_full_info) for one in [process, *process.children(recursive=True)])
    return 0


def _held(look: Callable[[], object]) -> int:
    """A process may be gone by the time it is looked at."""
    with suppress(psutil.Error):
        return int(getattr(look(), "pss", 0))
    return 0
