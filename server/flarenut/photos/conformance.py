"""`flarenut photos conformance`: the uploads of this server, open to programs that test how tus is spoken.

Such programs know neither our sign-in nor our photos. So every request for uploads is given the sign-in of
one invented person, over a database and a store that are made for the run and go with it. Nothing but this
command can open the door: no setting does, it looks at no database or store of anybody's, and it listens
on the loopback only.
"""

import os
import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import flask_migrate

from flarenut.app import create_app
from flarenut.config import read_settings
from flarenut.db import db, writing
from flarenut.embedded import stop_embedded
from flarenut.people.sessions import AS_HEADER, COOKIES
from flarenut.people.verbs import add_person, enter_company_named, sign_in
from flarenut.photos import uploads
from flarenut.photos.method_override import Application, Start
from flarenut.photos.routes import BELOW
from flarenut.serving import serve

if TYPE_CHECKING:
    from flask import Flask

HOST = "127.0.0.1"
MANY_UPLOADS, MANY_BYTES = 1_000_000, 100_000_000_000

# Whatever the environment says of a database, a store or a proxy is meant for the real server.
_OF_ITS_OWN = (
    "DATABASE_URL",
    "DATABASE_APP_URL",
    "FLARENUT_PHOTO_BUCKET",
    "FLARENUT_PHOTO_DIR",
    "FLARENUT_PROXIES",
    "FLARENUT_SECRET",
)


class LetIn:
    """Whoever asks for uploads is the one person there is; every other address asks for a sign-in as ever."""

    def __init__(self, application: Application, *, token: str) -> None:
        self._application = application
        self._signed_in = {
            "HTTP_COOKIE": f"{COOKIES['device']}={token}",
            "HTTP_" + AS_HEADER.upper().replace("-", "_"): "device",
        }

    def __call__(self, environ: dict[str, Any], start_response: Start) -> Any:
        """As if the caller had signed in."""
        if environ.get("PATH_INFO", "").startswith(BELOW):
            environ.update(self._signed_in)
        return self._application(environ, start_response)


def serve_to_anyone(*, port: int, tell: Callable[[str], object]) -> None:
    """Until asked to stop. What was uploaded goes with it."""
    # Whoever tries everything makes more in a minute than a company may leave lying for a day.
    uploads.UNCLAIMED_AT_ONCE, uploads.UNCLAIMED_BYTES = MANY_UPLOADS, MANY_BYTES
    with _scratch() as folder:
        settings = scratch_settings(folder, port=port)
        token = _prepare(create_app({name: str(value) for name, value in settings.items()}))
        tell(f"tus 1.0.0, open to anyone on this machine: http://{HOST}:{port}{BELOW}")
        serve(settings, around=lambda app: LetIn(app, token=token))


def scratch_settings(folder: Path, *, port: int) -> dict[str, Any]:
    """The settings of the environment, less everything that leads to what somebody keeps."""
    own = dict.fromkeys(_OF_ITS_OWN, "")
    return read_settings({**own, "FLARENUT_DATA": str(folder), "FLARENUT_HOST": HOST, "FLARENUT_PORT": str(port)})


@contextmanager
def _scratch() -> Iterator[Path]:
    """A folder that goes with the process that made it. A worker that ends comes by here too, and leaves it."""
    folder, maker = Path(mkdtemp(prefix="flarenut-tus-")), os.getpid()
    try:
        yield folder
    finally:
        if os.getpid() == maker:
            stop_embedded(folder)
            shutil.rmtree(folder, ignore_errors=True)


def _prepare(app: "Flask") -> str:
    """Tables, a company and the one person in it; what they sign in with."""
    password = secrets.token_urlsafe(32)
    with app.test_request_context():
        flask_migrate.upgrade()
        with writing():
            company = enter_company_named("Conformance (invented)")
            add_person(company, email="tus@example.com", name="Tus", role="technician", password=password)
        with writing():
            _, token = sign_in(email="tus@example.com", password=password, device_id=uuid4(), device_name="tus")
        db.session.remove()
        db.engine.dispose()  # no worker may inherit a connection
    return token
