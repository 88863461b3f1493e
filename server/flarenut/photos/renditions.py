"""Smaller copies of a photo, made off the request path, and on demand when they are missing."""

from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import BinaryIO

import structlog

from flarenut.photos.images import make_rendition
from flarenut.photos.kept import NotKept, PhotoStore, rendition_name

log = structlog.get_logger(__name__)

SIDES_PX = (320, 1280)


@cache
def _worker() -> ThreadPoolExecutor:
    """One thread per process, started on first use and so after the server has forked.

    Encoding takes a third of a second of a core: more threads would only starve the requests.
    """
    return ThreadPoolExecutor(max_workers=1, thread_name_prefix="renditions")


def make_renditions_later(store: PhotoStore, *, sha256: str) -> None:
    """Have every size ready before anyone asks. If this fails, asking makes it again."""
    for side_px in SIDES_PX:
        _worker().submit(_make_quietly, store, sha256, side_px)


def _make_quietly(store: PhotoStore, sha256: str, side_px: int) -> None:
    try:
        rendition(store, sha256=sha256, side_px=side_px).close()
    except Exception:  # Nobody waits for this thread; the log is where it is told.
        log.exception("rendition_failed", sha256=sha256, side_px=side_px)


def rendition(store: PhotoStore, *, sha256: str, side_px: int) -> BinaryIO:
    """The smaller copy, made now if it is not there yet."""
    name = rendition_name(sha256, side_px=side_px)
    try:
        return store.read(name)
    except NotKept:
        with store.read(sha256) as whole:
            smaller = make_rendition(whole, side_px=side_px)
        store.keep(name, content=smaller)
        smaller.seek(0)
        return smaller
