"""What a phone keeps on disk: a journal of transactions, one line each, whole or not there at all.

It stands in for the browser's store. A process that is killed loses no line it has written, since
the line is with the operating system by then; a line that was only half written is no transaction.
"""

import json
import os
import zlib
from pathlib import Path
from typing import Any

# Put: [table, key, value]. Delete: [table, key].
Change = list[Any]


class Journal:
    """Tables of a phone, replayed from the journal when the app starts."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.tables: dict[str, dict[str, Any]] = {}
        whole = self._replay()
        self._file = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        os.ftruncate(self._file, whole)

    def table(self, name: str) -> dict[str, Any]:
        """Every record of a table by its key; to be read and never written to."""
        return self.tables.setdefault(name, {})

    def commit(self, changes: list[Change]) -> None:
        """All of them or none, and on disk before this returns."""
        text = json.dumps(changes, separators=(",", ":")).encode()
        line = b"%08x %s\n" % (zlib.crc32(text), text)
        assert os.write(self._file, line) == len(line)
        self._apply(changes)

    def close(self) -> None:
        os.close(self._file)

    def _replay(self) -> int:
        """Apply every whole line; where the first one that is not whole begins, the journal ends."""
        whole = 0
        if self.path.exists():
            for line in self.path.read_bytes().splitlines(keepends=True):
                changes = _read(line)
                if changes is None:
                    break
                self._apply(changes)
                whole += len(line)
        return whole

    def _apply(self, changes: list[Change]) -> None:
        for name, key, *value in changes:
            if value:
                self.table(name)[key] = value[0]
            else:
                self.table(name).pop(key, None)


def _read(line: bytes) -> list[Change] | None:
    text = line[9:-1]
    is_whole = line.endswith(b"\n") and line[:8] == b"%08x" % zlib.crc32(text)
    return json.loads(text) if is_whole else None


def tables_on_disk(path: Path) -> dict[str, dict[str, Any]]:
    """What a phone holds at this moment, seen from outside while it goes on writing."""
    looking = Journal.__new__(Journal)
    looking.path, looking.tables = path, {}
    looking._replay()
    return looking.tables
