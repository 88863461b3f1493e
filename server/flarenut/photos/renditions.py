"""Smaller copies of a photo, made when somebody first looks at it and kept from then on.

Never while a phone sends: making both takes longer than taking the photo in. Two who look at once may
both make one; it is the same, and the store shows the whole or nothing.
"""

from contextlib import suppress
from threading import Lock
from typing import BinaryIO

from flarenut.photos.images import make_rendition
from flarenut.photos.kept import NotKept, PhotoStore, StoreAway, rendition_name

# A large photo takes much memory while it is decoded (images.py), and more threads would only starve the requests.
_ONE_AT_A_TIME = Lock()


def rendition(store: PhotoStore, *, sha256: str, side_px: int) -> BinaryIO:
    """The smaller copy, made now if it is not there yet. A full store keeps none; it is shown all the same."""
    name = rendition_name(sha256, side_px=side_px)
    try:
        return store.read(name)
    except NotKept:
        with store.read(sha256) as whole, _ONE_AT_A_TIME:
            smaller = make_rendition(whole, side_px=side_px)
    with suppress(StoreAway):
        store.keep(name, content=smaller)
    smaller.seek(0)
    return smaller
