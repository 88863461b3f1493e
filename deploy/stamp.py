"""Prints one hash of the files named and of every file in the folders named.

The set-up skips a step while this hash is the one the step was last run with. What the set-up itself
makes is left out.
"""

import hashlib
import sys
from pathlib import Path

MADE = {"node_modules", "dist", "__pycache__", "coverage", "keys.ts"}


def files_in(path: Path) -> list[Path]:
    if path.is_file():
        return [path]
    return sorted(file for file in path.rglob("*") if file.is_file() and not MADE & set(file.relative_to(path).parts))


def stamp(paths: list[Path]) -> str:
    total = hashlib.sha256()
    for path in paths:
        for file in files_in(path):
            total.update(str(file.relative_to(path.parent)).encode() + b"\0")
            total.update(hashlib.sha256(file.read_bytes()).digest())
    return total.hexdigest()


if __name__ == "__main__":
    print(stamp([Path(name).resolve() for name in sys.argv[1:]]))
