"""How many seeds, and the one bench for all of them."""

import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.model.bench import Bench

# Each is 60 steps of three phones; `--seeds N` runs more.
SEEDS = 500


@pytest.fixture(scope="session")
def seeds(request: pytest.FixtureRequest) -> int:
    """From 1 up to this one, beside those that have failed before."""
    return int(request.config.getoption("--seeds") or SEEDS)


@pytest.fixture(scope="session")
def at_once(request: pytest.FixtureRequest) -> int:
    """How many programs of phones: one beside other tests that want the cores, or one more than there are cores.

    Such a program waits for the server half of its time.
    """
    return 1 if hasattr(request.config, "workerinput") else (os.cpu_count() or 1) + 1


@pytest.fixture(scope="session")
def bench() -> Iterator[Bench]:
    """The server, its database and the program of the phones, in a folder that no run beside it shuts or tidies."""
    with tempfile.TemporaryDirectory(prefix="flarenut-model-", ignore_cleanup_errors=True) as folder:
        bench = Bench(Path(folder))
        bench.start()
        yield bench
        bench.stop()


@pytest.fixture
def kept() -> Path:
    """Where failing seeds are kept."""
    return Path(__file__).with_name("failing_seeds.txt")
