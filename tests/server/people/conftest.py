"""Here passwords cost what they cost on a server."""

import pytest
from argon2 import PasswordHasher

from flarenut.people import passwords


@pytest.fixture
def hasher() -> PasswordHasher:
    return passwords._hasher
