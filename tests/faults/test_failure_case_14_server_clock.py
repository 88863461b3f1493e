"""Failure case 14 of sync, on the server: its clock steps while phones send; two phones' clocks are hours apart."""

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, text

from flarenut.people import sessions
from flarenut.sync import apply
from tests.builders import CastMember, Phone, a_visit, an_issue
from tests.builders.jobs import a_job
from tests.faults.cupboard import Cupboard, issues_on, lines_of_history, outcomes_of, raise_one
from tests.server.site import Site, a_site
from tests.server.telling import code_of, tell

Enter = Callable[..., Any]
# Onward within the two weeks in which a phone at rest stays signed in, then far behind where it began.
# What the clocks of two phones say at one moment, and an hour later: they are three hours apart.
RIGHT, SLOW = "2025-06-02T09:00:00.000Z", "2025-06-02T06:00:00.000Z"
RIGHT_LATER, SLOW_LATER = "2025-06-02T10:00:00.000Z", "2025-06-02T07:00:00.000Z"
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


@pytest.fixture
def site(client_as: Enter, ana: CastMember, ben: CastMember) -> Site:
    return a_site(client_as, ana=ana, ben=ben)


def test_case_14_history_is_told_in_the_order_in_which_it_was_taken_though_the_office_is_three_hours_slow(
    site: Site,
) -> None:
    issue = an_issue(site.phone, job=site.job)
    about = (site.job.id, "issue.answer", issue)
    tell(site.phone, *about, fixed=True, device_time=RIGHT)
    tell(site.office, site.job.id, "issue.send_back", issue, words="It still drips.", device_time=SLOW)
    tell(site.link, *about, fixed=True, device_time=RIGHT_LATER)
    moved = tell(site.office, site.job.id, "issue.set", issue, who_must_act="technician", device_time=SLOW)
    tell(site.office, site.job.id, "issue.set", issue, who_must_act="contractor", device_time=SLOW)

    said = _as_made(site.office, "issue_event")

    # All of it has travelled again since, so that `rev` says nothing of its making.
    assert moved["outcome"] == "applied"
    assert [line["kind"] for line in said] == ["raised", "answered", "sent_back", "answered", "changed", "changed"]
    assert [line["at"] for line in said][1:4] == [RIGHT, SLOW, RIGHT_LATER]
    assert [line["kind"] for line in _as_made(site.link, "issue_event")][:4] == [line["kind"] for line in said][:4]
    # Ben's own answer was sent back before the contractor's: he may prove this one.
    assert tell(site.phone, site.job.id, "issue.prove", issue, device_time=SLOW_LATER)["outcome"] == "applied"


def test_case_14_of_two_phones_readings_the_one_that_was_taken_last_is_told_as_the_later(
    site: Site, client_as: Enter, ben: CastMember
) -> None:
    slow = client_as(ben)

    readings = [
        _barometer(site, by=phone, taken_at=at)
        for phone, at in ((site.phone, RIGHT), (slow, SLOW), (site.phone, RIGHT_LATER), (slow, SLOW_LATER))
    ]

    said = _as_made(site.office, "reading")
    assert [receipt["outcome"] for receipt in readings] == ["applied"] * 4
    assert [reading["taken_at"] for reading in said] == [RIGHT, SLOW, RIGHT_LATER, SLOW_LATER]


def test_case_14_a_visit_closed_on_a_slow_phone_takes_what_was_measured_before_and_nothing_from_who_knew(
    site: Site, client_as: Enter, ben: CastMember
) -> None:
    slow = client_as(ben)
    visit = a_visit(site.office, job=site.job, person=ben)
    visit_rev = _rev_of(site.phone, visit)
    close = tell(slow, site.job.id, "visit.close", visit, device_time=SLOW_LATER)

    unaware = _barometer(site, by=site.phone, taken_at=RIGHT, visit_id=visit, base_rev=visit_rev)
    told = _barometer(site, by=site.phone, taken_at=SLOW, visit_id=visit, base_rev=_rev_of(site.phone, visit))
    own = _barometer(site, by=slow, taken_at=SLOW, visit_id=visit, base_rev=visit_rev)

    assert [close["outcome"], unaware["outcome"]] == ["applied", "applied"]
    assert [code_of(told), code_of(own)] == ["visit_closed", "visit_closed"]
    assert [reading["visit_id"] for reading in site.office.rows("reading").values()] == [visit]


def _barometer(site: Site, *, by: Phone, **said: Any) -> dict[str, Any]:
    outputs = {"barometer_pa": 101_325.0}
    fields = {"calculation": "barometer", "inputs": {"altitude_m": 0.0}, "outputs": outputs, "engine_version": "1"}
    return tell(by, site.job.id, "reading.record", **fields, **said)


def _as_made(phone: Phone, table: str) -> list[dict[str, Any]]:
    """By the number that the phones go by."""
    return sorted(phone.rows(table).values(), key=lambda row: int(row["made_rev"]))


def _rev_of(phone: Phone, row_id: str) -> int:
    """What this phone has been told of a row."""
    phone.cursors = {}
    [rev] = [row["rev"] for job in phone.pull() for row in job["rows"] if row["id"] == row_id]
    return int(rev)
