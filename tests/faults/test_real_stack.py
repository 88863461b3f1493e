"""Everything breaks at once, for minutes: servers, databases and phones are killed, answers are lost.

`deploy/test --faults` runs the whole of it, `pytest tests/faults` a short one. A run that fails names its
seed: `FLARENUT_FAULTS_SEED=... deploy/test --faults` draws the same faults in the same order. What
the machine does between them is its own, so that it may need several runs to fail again.
"""

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from demo_seed.people import ANA

from tests.faults import schedule, verdict
from tests.faults.conductor import Conductor
from tests.faults.deeds import Site
from tests.faults.journal import Journal
from tests.faults.phone import Phone
from tests.faults.schedule import Size
from tests.faults.stack import PhoneProcess, Stack, a_site_for_all, phones_told
from tests.faults.wire import over_http

PHONES = 8
JOBS = 4
EMPTY_WITHIN_S = 10


@pytest.fixture
def sites(stack: Stack, folder: Path) -> list[Site]:
    office = stack.phone_of(ANA, folder=folder / "office")
    return [a_site_for_all(stack, office) for _ in range(JOBS)]


@pytest.fixture
def phones(stack: Stack, sites: list[Site], folder: Path, seed: str) -> Iterator[list[PhoneProcess]]:
    processes = phones_told(stack, folder=folder, sites=sites, count=PHONES, seed=seed)
    yield processes
    stack.leave_alone()
    stack.proxy.heal()
    for phone in processes:
        if phone.process is not None:
            phone.kill()


def _opened(stack: Stack, phone: PhoneProcess) -> Phone:
    """The store of a phone that was killed, opened once more and brought up to date."""
    opened = Phone(Journal(phone.folder / "journal"), ask=over_http(stack.server.port))
    assert opened.exchange() == "done"
    return opened


def test_nothing_is_lost_or_doubled_while_servers_databases_and_phones_are_killed(
    stack: Stack,
    sites: list[Site],
    phones: list[PhoneProcess],
    size: Size,
    seed: str,
    folder: Path,
    say: Callable[[str], None],
) -> None:
    begun = time.monotonic()
    faults = schedule.drawn(size, seed=seed)
    conductor = Conductor(stack, phones=phones, size=size)
    say(f"seed {seed}: {size.mutations} changes from {PHONES} phones on {JOBS} jobs, {len(faults)} faults")
    conductor.wait_for_the_phones()

    conductor.run(faults)
    conductor.break_all_at_once()
    conductor.check_that_all_of_it_happened()
    backlog = conductor.waiting()
    conductor.heal()
    empty_after_s = conductor.seconds_until_nothing_waits(longest_s=EMPTY_WITHIN_S)

    stack.leave_alone()
    for phone in phones:
        phone.kill()
    opened = {phone.folder.name: _opened(stack, phone) for phone in phones}
    fresh = stack.phone_of(ANA, folder=folder / "fresh")
    tables = [phone.journal.tables for phone in opened.values()]
    truth = verdict.Truth(stack.database, jobs=[site.job for site in sites])
    say(f"seed {seed}: killed {dict(conductor.done)}, lost {conductor.lost} of {conductor.answers} answers, "
        f"{backlog} changes waited at the end, none {empty_after_s:.1f} s after all was healed; "
        f"the server was started again {stack.restarts} times; {time.monotonic() - begun:.0f} s")  # fmt: skip
    assert sum(phone.meta["made"] for phone in opened.values()) == size.mutations
    assert sum(len(phone.receipts) for phone in opened.values()) == size.mutations
    assert verdict.lost(truth, tables) == []
    assert verdict.twice(truth, tables) == []
    assert verdict.out_of_order(truth) == []
    assert verdict.not_the_last_word(truth, tables) == []
    assert verdict.unlike(opened, fresh=fresh) == []
    assert verdict.unlike_by_checksum(opened) == []
    assert [name for name, phone in opened.items() if phone.meta.get("renumbered")] == []
    assert len(fresh.rows) > size.mutations
