"""The one app that a test run has, and a way to write to its database behind one company's wall."""

import uuid
from collections.abc import Iterator
from contextlib import contextmanager

from flask import Flask

from flarenut.db import enter_company, writing


class World:
    """Holds the app that the fixture made."""

    app: Flask


@contextmanager
def behind_the_wall(company_id: uuid.UUID | str) -> Iterator[None]:
    """A transaction of that company, outside any request."""
    with World.app.test_request_context(), writing():
        enter_company(uuid.UUID(str(company_id)))
        yield
