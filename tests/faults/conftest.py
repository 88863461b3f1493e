"""How much is broken, from which seed, and the stack that it happens to."""

import os
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from demo_seed.people import ANA

from tests.faults.deeds import Site
from tests.faults.phone import Phone
from tests.faults.schedule import FULL, SHORT, Size
from tests.faults.stack import Stack, a_site_for_all


@pytest.fixture(scope="session")
def size() -> Size:
    """`deploy/test --faults` asks for all of it; without it the short one is taken."""
    return FULL if os.environ.get("FLARENUT_FAULTS") == "full" else SHORT


@pytest.fixture(scope="session")
def seed() -> str:
    """A new one for each run, unless one is given to be run again."""
    return os.environ.get("FLARENUT_FAULTS_SEED") or str(random.SystemRandom().randrange(10**6))


@pytest.fixture(scope="session")
def stack(tmp_path_factory: pytest.TempPathFactory, seed: str) -> Iterator[Stack]:
    """One for the session: each test has jobs of its own."""
    stack = Stack(tmp_path_factory.mktemp("stack"), seed=seed)
    yield stack
    stack.close()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where the phones of a test keep what is theirs."""
    return tmp_path / "phones"


@pytest.fixture
def office(stack: Stack, folder: Path) -> Phone:
    """Ana's, on a line that always holds."""
    return stack.phone_of(ANA, folder=folder / "office")


@pytest.fixture
def site(stack: Stack, office: Phone) -> Site:
    """A job that she sets up and both technicians visit."""
    return a_site_for_all(stack, office)
