"""A database that a run may lose: nothing that it does waits for a disk."""

from collections.abc import Callable

# What becomes of work when a database is killed is for tests/faults, whose databases are careful.
_SETTINGS = ("fsync = off", "synchronous_commit = off", "full_page_writes = off")


def be_careless(execute: Callable[[str], object]) -> None:
    """From now on. `execute` speaks to it as its owner, and in no transaction."""
    for setting in _SETTINGS:
        execute(f"ALTER SYSTEM SET {setting}")
    execute("SELECT pg_reload_conf()")
