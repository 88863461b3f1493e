"""Lets the phones work and breaks things under them, then heals everything and looks at the clock."""

import math
import random
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from tests.faults.journal import tables_on_disk
from tests.faults.schedule import Fault, Size
from tests.faults.stack import PhoneProcess, Stack

LOST_SHARE = 0.2  # of all answers
LOST_WITHIN = 0.05  # as many more or fewer; of so few answers that chance alone goes further, four times its spread
DEAF_S = 3.0  # at the end, no answer comes back at all
READY_WITHIN_S = 90
LOOK_S = 0.25


class Conductor:
    """One run. `done` counts what was really killed, `lost` of `answers` did not come back before the last faults."""

    def __init__(self, stack: Stack, *, phones: list[PhoneProcess], size: Size) -> None:
        self._stack = stack
        self._phones = phones
        self._size = size
        self._mutations = size.mutations
        self.done: Counter[str] = Counter()
        self.lost = self.answers = 0
        self._stops_before = stack.database.immediate_stops()

    def wait_for_the_phones(self) -> None:
        """Until each is signed in and knows the jobs."""
        for phone in self._phones:
            phone.start()
        self._wait("phones that know their jobs", lambda: all(self._tables(one).get("cursors") for one in self._phones))

    def run(self, schedule: list[Fault]) -> None:
        """The faults in their order, with an even share of the work before each."""
        self._stack.keep_up()
        self._stack.proxy.begin_to_lose(LOST_SHARE)
        for place, fault in enumerate(schedule, start=1):
            self._allow(self._mutations * place // (len(schedule) + 1))
            time.sleep(fault.pause_s)
            self._break(fault)

    def break_all_at_once(self) -> None:
        """The last of the work, while no answer comes back and then nothing is left standing."""
        self._wait("the server", self._stack.server.is_ready)
        self.lost, self.answers = self._stack.proxy.count()
        self._stack.proxy.lost_share = 1.0
        self._allow(self._mutations)
        time.sleep(DEAF_S)
        self._end("database", self._stack.database.stop_at_once)
        self._end("everything", self._stack.kill_everything)
        self.done["phone"] += sum(phone.kill() for phone in self._phones[::2])

    def check_that_all_of_it_happened(self) -> None:
        """A run in which less was broken than was asked for would prove less than it says."""
        size = self._size
        wanted = {"worker": size.workers, "master": size.masters, "everything": size.everything + 1,
            "database": size.databases + 1, "phone": size.phones + len(self._phones[::2])}  # fmt: skip
        assert dict(self.done) == wanted
        # One that was up again before its end was noticed is stopped once more, and counted once.
        stops = self._stack.database.immediate_stops() - self._stops_before
        assert stops >= wanted["database"], f"the database was stopped {stops} times, not {wanted['database']}"
        assert self._stack.restarts >= size.masters + size.everything
        assert self.answers >= size.mutations / 10, f"only {self.answers} answers: nothing can be said of their share"
        by_chance = 4 * math.sqrt(LOST_SHARE * (1 - LOST_SHARE) / self.answers)
        share = self.lost / self.answers
        assert abs(share - LOST_SHARE) <= max(LOST_WITHIN, by_chance), (
            f"{share:.1%} of {self.answers} answers were lost"
        )

    def heal(self) -> None:
        """All is up again when this returns. Half of the phones were killed; the others have tried for a while."""
        for phone in self._phones[::2]:
            phone.start()
        self._stack.database.start()
        self._wait("the server", self._stack.server.is_ready)
        self._stack.proxy.heal()

    def seconds_until_nothing_waits(self, *, longest_s: float) -> float:
        """From now until the outbox of every phone is empty and all is written."""
        begun = time.monotonic()
        while (waiting := self.waiting()) and time.monotonic() - begun < longest_s:
            time.sleep(LOOK_S)
        assert waiting == 0, f"{waiting} changes still wait after {longest_s} s"
        return time.monotonic() - begun

    def waiting(self) -> int:
        """What is not yet written, or written and not yet acknowledged."""
        tables = [self._tables(phone) for phone in self._phones]
        made = sum(one.get("meta", {}).get("made", 0) for one in tables)
        return self._mutations - made + sum(len(one.get("outbox", {})) for one in tables)

    def _break(self, fault: Fault) -> None:
        chance = random.Random(fault.which)
        if fault.kind == "phone":
            phone = self._phones[fault.which % len(self._phones)]
            assert phone.kill(), (phone.folder / "log").read_text()[-3000:]
            self.done["phone"] += 1
            phone.start()
            return
        if fault.waits:
            self._wait("the server", self._stack.server.is_ready)
        self._kill(fault, chance=chance)

    def _kill(self, fault: Fault, *, chance: random.Random) -> None:
        stack = self._stack
        if fault.kind == "database":
            self._end("database", stack.database.stop_at_once)
            time.sleep(fault.down_s)
            stack.database.start()
            return
        kills = {
            "worker": lambda: stack.kill_worker(chance),
            "master": stack.kill_master,
            "everything": stack.kill_everything,
        }
        self._end(fault.kind, kills[fault.kind])

    def _end(self, kind: str, kill: Callable[[], bool]) -> None:
        """What is not there yet is waited for: only what runs can be killed."""
        self._wait(f"{kind}, to be killed", kill)
        self.done[kind] += 1

    def _allow(self, deeds: int) -> None:
        path = self._phones[0].folder.parent / "allowed"
        path.with_suffix(".new").write_text(str(deeds))
        path.with_suffix(".new").replace(path)

    def _tables(self, phone: PhoneProcess) -> dict[str, dict[str, object]]:
        return tables_on_disk(phone.folder / "journal")

    def _wait(self, what: str, is_there: Callable[[], object]) -> None:
        deadline = time.monotonic() + READY_WITHIN_S
        while not is_there():
            assert time.monotonic() < deadline, f"never there: {what}\n{self._log()}"
            time.sleep(LOOK_S / 5)

    def _log(self) -> str:
        return Path(self._stack.data / "server.log").read_text()[-3000:]
