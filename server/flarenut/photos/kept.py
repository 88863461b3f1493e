"""What a store of whole photos must do, whatever it is made of.

What is kept is named by what it contains, so that writing it twice is the same as once:

<company>/<first two digits>/<sha256>               a photo as it was sent
<company>/<first two digits>/<sha256>.<side>.jpg    a smaller copy, made again when it is missing
<company>/<first two digits>/<sha256>.<photo>.<of>  a note that it was sent as that photo of that issue, reading or unit

Bytes that are still arriving lie in the database, see `arriving.py`.
"""

import datetime as dt
import errno
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import BinaryIO, Protocol
from uuid import UUID

from flarenut.errors import Busy

BLOCK_BYTES = 1 << 20

# What speaks of the folder or of this program, and not of the one photo that was asked for.
_NOT_OF_THE_PHOTO = {errno.ESTALE, errno.ENOTCONN, errno.EMFILE, errno.ENFILE}


class NotKept(Exception):
    """Nothing is kept under this name."""


class NotReadable(Exception):
    """It is there and cannot be read, by a fault of the disk or as somebody else's file."""


class StoreAway(Busy):
    """The store cannot be reached, or is full. What has arrived waits; the phone asks again."""

    def __init__(self) -> None:
        super().__init__("store_away", "Photos cannot be stored at this moment. What was sent is kept; try again.")


@contextmanager
def while_reading() -> Iterator[None]:
    """What breaks is said of the one photo or of the store: NotReadable or StoreAway."""
    try:
        yield
    except OSError as error:
        raise (StoreAway() if error.errno in _NOT_OF_THE_PHOTO else NotReadable(str(error))) from error


@dataclass(frozen=True, kw_only=True)
class Kept:
    """Something that is kept, and since when."""

    name: str
    kept_at: dt.datetime

    @property
    def sha256(self) -> str:
        """The photo that it is, or was made from."""
        return self.name.partition(".")[0]


class PhotoStore(Protocol):
    """What one company keeps. Another company's is out of its reach, always."""

    def keep(self, name: str, *, content: BinaryIO) -> None:
        """Keep this; once it returns, a power cut takes nothing back, and a reader finds the whole or nothing."""

    def read(self, name: str) -> BinaryIO:
        """The whole content; NotKept, if there is none."""

    def kept(self) -> Iterator[Kept]:
        """Everything that is kept, in no order."""

    def drop(self, name: str) -> None:
        """Forget it. What was never there is forgotten already."""

    def drop_drafts(self, *, before: dt.datetime) -> int:
        """Clear away what was half written when a server died; how many there were."""


def place(company_id: UUID, *, name: str) -> str:
    """Where something is kept, below the root of any store."""
    return f"{company_id}/{name[:2]}/{name}"


def rendition_name(sha256: str, *, side_px: int) -> str:
    """The name of a smaller copy."""
    return f"{sha256}.{side_px}.jpg"
