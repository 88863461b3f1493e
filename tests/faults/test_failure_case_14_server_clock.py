"""Failure case 14 of sync, on the server: its clock steps forward and back while phones send."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, text

from flarenut.people import sessions
from flarenut.sync import apply
from tests.builders import CastMember
from tests.builders.jobs import a_job
from tests.faults.cupboard import Cupboard, issues_on, lines_of_history, outcomes_of, raise_one

Enter = Callable[..., Any]
# Onward within the two weeks in which a phone at rest stays signed in, then far behind where it began.
STEPS = (dt.timedelta(days=13), dt.timedelta(hours=-1), dt.timedelta(days=-400), dt.timedelta(0))


@pytest.fixture
def step_the_clock(monkeypatch: pytest.MonkeyPatch) -> Callable[[dt.timedelta], None]:
    """Wherever the server asks what time it is when a phone sends."""

    def step(by: dt.timedelta) -> None:
        class Stepped(dt.datetime):
            @classmethod
            def now(cls, tz: dt.tzinfo | None = None) -> dt.datetime:
                return dt.datetime.now(tz) + by

        monkeypatch.setattr(apply, "datetime", Stepped)
        monkeypatch.setattr(sessions, "utc_now", lambda: dt.datetime.now(dt.UTC) + by)

    return step


def test_case_14_the_servers_clock_steps_forward_and_back_and_every_change_is_taken_once_and_in_order(
    app: Flask,
    folder: Path,
    client_as: Enter,
    ana: CastMember,
    owner: Engine,
    step_the_clock: Callable[[dt.timedelta], None],
) -> None:
    cupboard, job = Cupboard(app, folder), a_job(client_as(ana))
    phone, reader = (cupboard.open(name, whose=ana) for name in ("phone", "reader"))
    raised = []

    for by in STEPS:
        step_the_clock(by)
        raised += [raise_one(phone, job), raise_one(phone, job)]
        assert phone.exchange() == reader.exchange() == "done"

    assert outcomes_of(phone) == ["applied"] * len(raised)
    assert lines_of_history(owner, "raised") == sorted(raised)
    assert _in_order_of_their_numbers(owner) == raised
    assert issues_on(phone) == issues_on(reader) == set(raised)
    assert phone.differing() == reader.differing() == []


def _in_order_of_their_numbers(owner: Engine) -> list[str]:
    with owner.connect() as connection:
        return [str(one) for one in connection.scalars(text("SELECT id FROM issue ORDER BY number"))]
