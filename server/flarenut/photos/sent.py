"""As which photo, of what, bytes were sent: noted beside them in the store, for a database that forgets it.

A database that comes back from a backup does not know the photos of that day, whose bytes the store has and
the phones no longer keep. The phones announce them again under the same ids, and the notes say that the
bytes were theirs (found_again.py). A hash alone would not do: who knows one may never have been allowed to
see the photo.
"""

import io
from concurrent.futures import ThreadPoolExecutor
from functools import cache

import structlog

from flarenut.photos.kept import PhotoStore
from flarenut.photos.tables import Photo

log = structlog.get_logger(__name__)


def sent_name(photo: Photo) -> str:
    """The name of the note: nothing is in it that its name does not say."""
    return f"{photo.sha256}.{photo.id}.{photo.issue_id or photo.reading_id or photo.unit_id}"


@cache
def _writer() -> ThreadPoolExecutor:
    """Started on first use and so after the server has forked."""
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="sent")


def note_sent_later(store: PhotoStore, *, name: str) -> None:
    """Nobody waits for it: without the note, a phone that still has the photo sends it again."""
    _writer().submit(_note_quietly, store, name)


def _note_quietly(store: PhotoStore, name: str) -> None:
    try:
        store.keep(name, content=io.BytesIO())
    except Exception:  # Nobody waits for this thread; the log is where it is told.
        log.exception("sent_not_noted", name=name)
