"""A site for the tests of nouns."""

from typing import Any

import pytest

from tests.builders import CastMember
from tests.builders.remembered import Remembered
from tests.server.site import Site, a_site


@pytest.fixture
def site(client_as: Any, ana: CastMember, ben: CastMember, remembered: Remembered) -> Site:
    """A job that Ana set up, Ben visits, and the contractor has a link to."""
    return remembered.made("site", lambda: a_site(client_as, ana=ana, ben=ben))
