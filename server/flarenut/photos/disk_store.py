"""Whole photos in a folder. Several servers may share it, if the folder itself is shared."""

import datetime as dt
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO
from uuid import UUID, uuid4

from flarenut.photos.kept import BLOCK_BYTES, Kept, NotKept, StoreAway, place

# The name of a draft begins with a dot, so that nobody takes it for a photo.
DRAFT = "."

# Folders that a power cut does not take from this process: their entries were synced by it.
_LASTING: set[Path] = set()


@dataclass(frozen=True)
class DiskStore:
    """The photos of one company."""

    root: Path
    company_id: UUID

    def keep(self, name: str, *, content: BinaryIO) -> None:
        """Written beside its place, synced, moved there, and the folder synced as well."""
        path = self.path(name)
        draft = path.with_name(f"{DRAFT}{name}.{uuid4().hex}")
        with _disk_may_be_full():
            self._make_folders(path.parent)
            try:
                with draft.open("xb") as file:
                    shutil.copyfileobj(content, file, BLOCK_BYTES)
                    file.flush()
                    os.fsync(file.fileno())
                draft.replace(path)
                _sync_folder(path.parent)
            finally:
                draft.unlink(missing_ok=True)

    def read(self, name: str) -> BinaryIO:
        """The open file. Where the whole folder is not there, nothing is known of what it holds."""
        try:
            return self.path(name).open("rb")
        except FileNotFoundError as error:
            if not self.root.is_dir():
                raise StoreAway from error
            raise NotKept(name) from error

    def kept(self) -> Iterator[Kept]:
        """Everything but drafts."""
        for path in self._files():
            with suppress(FileNotFoundError):
                if not path.name.startswith(DRAFT):
                    yield Kept(name=path.name, kept_at=_written_at(path))

    def drop(self, name: str) -> None:
        """Unlink it."""
        self.path(name).unlink(missing_ok=True)

    def drop_drafts(self, *, before: dt.datetime) -> int:
        """A draft that old has no writer any more."""
        dropped = 0
        for path in self._files():
            with suppress(FileNotFoundError):
                if path.name.startswith(DRAFT) and _written_at(path) < before:
                    path.unlink()
                    dropped += 1
        return dropped

    def path(self, name: str) -> Path:
        """Where it lies."""
        return self.root / place(self.company_id, name=name)

    def _make_folders(self, folder: Path) -> None:
        """Whoever else made one may not have synced it yet: each process does that once for each folder."""
        if folder in _LASTING and folder.is_dir():
            return
        _make_folder(self.root)
        for one in (folder.parent, folder):
            one.mkdir(exist_ok=True)
            _sync_folder(one.parent)
        _LASTING.add(folder)

    def _files(self) -> Iterator[Path]:
        return (self.root / str(self.company_id)).glob("??/*")


def is_writable(root: Path) -> bool:
    """Could a photo be kept now?"""
    try:
        root.mkdir(parents=True, exist_ok=True)
    except OSError:
        return False
    return os.access(root, os.W_OK | os.X_OK)


def _written_at(path: Path) -> dt.datetime:
    return dt.datetime.fromtimestamp(path.stat().st_mtime, dt.UTC)


def _make_folder(folder: Path) -> None:
    """A folder is an entry of the one above it, and is lost with that entry in a power cut."""
    if folder.is_dir():
        return
    _make_folder(folder.parent)
    folder.mkdir(exist_ok=True)
    _sync_folder(folder.parent)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def _disk_may_be_full() -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise StoreAway from error
