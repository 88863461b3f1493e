"""Every setting: its name in the environment, its default, and one line why."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True)
class Setting:
    """One setting; the same name is used in the environment and in `app.config`."""

    name: str
    default: str
    why: str


SETTINGS = (
    Setting("FLARENUT_DATA", ".flarenut", "Folder for the embedded database, photos and the server's secret."),
    Setting("DATABASE_URL", "", "Owner's connection to PostgreSQL 15 or later; empty starts the embedded one."),
    Setting("DATABASE_APP_URL", "", "Connection as flarenut_app; set it too, or the server signs in as the owner."),
    Setting("DATABASE_POOL", "10", "Connections each worker process keeps; at least its number of threads."),
    Setting(
        "FLARENUT_SECRET",
        "",
        "Key for sign-ins and cursors, the same on all servers of one database; empty keeps one in the data folder.",
    ),
    Setting("FLARENUT_APP_DIR", str(PROJECT / "pwa" / "dist"), "The built phone app that is served outside /api."),
    Setting("FLARENUT_PHOTO_DIR", "", "Folder for photos; empty uses `photos` in the data folder."),
    Setting("FLARENUT_PHOTO_BUCKET", "", "Bucket of an S3-compatible store for photos; empty uses the folder."),
    Setting("FLARENUT_PHOTO_ENDPOINT", "", "Address of that store; empty takes the vendor's own, by region."),
    Setting("FLARENUT_PHOTO_REGION", "us-east-1", "Region of that store."),
    Setting("FLARENUT_PHOTO_KEY_ID", "", "Who asks that store; empty takes the role of the machine."),
    Setting("FLARENUT_PHOTO_KEY_SECRET", "", "The secret of that key."),
    Setting("FLARENUT_ORIGIN", "", "Origin written into contractor links; empty takes the one of the request."),
    Setting("FLARENUT_PROXIES", "0", "How many proxies in front are trusted to say who is calling."),
    Setting("FLARENUT_PORT", "5080", "Port the server listens on."),
    Setting("FLARENUT_HOST", "127.0.0.1", "Address it listens on; a proxy with TLS belongs in front of any other."),
    Setting("FLARENUT_WORKERS", "2", "Worker processes."),
    Setting("FLARENUT_THREADS", "8", "Threads of each worker; most requests wait for the database."),
    Setting("FLARENUT_RATE_STORE", "memory://", "Where attempts are counted; memory counts in each worker by itself."),
    Setting("FLARENUT_SIGN_IN_LIMIT", "20 per minute", "Failed sign-ins and link openings from one address."),
    Setting("FLARENUT_PERSON_LIMIT", "10 per 5 minutes", "Failed sign-ins with one e-mail address."),
    Setting("FLARENUT_LOG_LEVEL", "info", "Least serious line that is logged: debug, info, warning or error."),
)


def read_settings(overrides: Mapping[str, str] | None = None) -> dict[str, Any]:
    """Each setting from the overrides, else the environment, else its default."""
    given = {**os.environ, **(overrides or {})}
    # An empty value in the environment means the default, so that a whole example file can be loaded.
    settings: dict[str, Any] = {setting.name: given.get(setting.name) or setting.default for setting in SETTINGS}
    data = Path(settings["FLARENUT_DATA"]).expanduser().resolve()
    settings["FLARENUT_DATA"] = data
    settings["FLARENUT_APP_DIR"] = Path(settings["FLARENUT_APP_DIR"]).resolve()
    settings["FLARENUT_PHOTO_DIR"] = Path(settings["FLARENUT_PHOTO_DIR"] or data / "photos").resolve()
    for name in ("DATABASE_POOL", "FLARENUT_PROXIES", "FLARENUT_PORT", "FLARENUT_WORKERS", "FLARENUT_THREADS"):
        settings[name] = int(settings[name])
    return settings


def secret_in(data: Path) -> str:
    """The server's own secret, made once and kept where only its user can read it."""
    path = data / "secret"
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text()
    with os.fdopen(handle, "w") as file:
        file.write(os.urandom(32).hex())
    return path.read_text()
