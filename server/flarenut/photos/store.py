"""Photos on disk: parts while they arrive, whole photos by what they contain, renditions beside them.

<root>/<company>/arriving/<photo id>
<root>/<company>/<first two digits>/<sha256>
<root>/<company>/<first two digits>/<sha256>.<side>.jpg
"""

import hashlib
import os
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from uuid import UUID, uuid4

BLOCK_BYTES = 1 << 20


@dataclass(frozen=True)
class DiskStore:
    """The photos of one company. Another company's are under another folder, always."""

    root: Path
    company_id: UUID

    @property
    def folder(self) -> Path:
        """Everything that this company keeps."""
        return self.root / str(self.company_id)

    def part(self, photo_id: UUID) -> Path:
        """Where the bytes of a photo gather while they arrive."""
        return self.folder / "arriving" / str(photo_id)

    def whole(self, sha256: str) -> Path:
        """Where a photo is kept once it is whole, named by what it contains."""
        return self.folder / sha256[:2] / sha256

    def rendition(self, sha256: str, *, side_px: int) -> Path:
        """Where the smaller copy of a photo is kept."""
        return self.folder / sha256[:2] / f"{sha256}.{side_px}.jpg"

    def received_bytes(self, photo_id: UUID) -> int:
        """How much of a photo has arrived: the length of the part, and nothing else, says so."""
        try:
            return self.part(photo_id).stat().st_size
        except FileNotFoundError:
            return 0

    def append(self, photo_id: UUID, chunk: bytes) -> None:
        """Add to the end of a part."""
        part = self.part(photo_id)
        part.parent.mkdir(parents=True, exist_ok=True)
        with part.open("ab") as file:
            file.write(chunk)

    def cut_back(self, photo_id: UUID, *, to_bytes: int) -> None:
        """Forget what came after this length, because it was damaged."""
        with suppress(FileNotFoundError):
            os.truncate(self.part(photo_id), to_bytes)

    def sync_part(self, photo_id: UUID) -> None:
        """Make sure that what has arrived outlives a power cut."""
        with suppress(FileNotFoundError), self.part(photo_id).open("rb") as file:
            os.fsync(file.fileno())

    def part_sha256(self, photo_id: UUID) -> str:
        """What the part contains, as its sha256."""
        with self.part(photo_id).open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()

    def keep_part(self, photo_id: UUID, *, sha256: str) -> None:
        """Copy a whole part to its place. The part stays until the database knows."""
        write_atomically(self.whole(sha256), write=lambda path: shutil.copyfile(self.part(photo_id), path))

    def drop_part(self, photo_id: UUID) -> None:
        """The bytes are kept elsewhere, or will never be needed."""
        self.part(photo_id).unlink(missing_ok=True)


def write_atomically(path: Path, *, write: Callable[[Path], object]) -> None:
    """A reader finds the whole file or none, and so does the server after a power cut."""
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f".{path.name}.{uuid4().hex}")
    try:
        write(draft)
        _sync(draft)
        draft.replace(path)
        _sync(path.parent)
    finally:
        draft.unlink(missing_ok=True)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
