"""Rows as the database writes them for the wire are what is stored, value for value."""

import datetime as dt
import json
import uuid
from typing import Any

import pytest

from flarenut.db import db
from flarenut.issues.tables import Issue
from flarenut.jobs.tables import Unit
from flarenut.sync.plain import plain
from flarenut.sync.wire import WIRE
from tests.builders import an_issue
from tests.builders.world import behind_the_wall
from tests.server.photos.sending import CONTENT, announce
from tests.server.site import Site

HARD_WORDS = 'quote " backslash \\ line\n tab\t  \u2028 é 漢 😀 </script> {"not": "JSON"}'
HARD_MOMENT = dt.datetime(2026, 3, 29, 2, 30, 59, 999_999, tzinfo=dt.timezone(dt.timedelta(hours=5, minutes=45)))


def _as_stored(row: dict[str, Any]) -> dict[str, Any]:
    model, names = WIRE[row["table"]]
    stored = db.session.get_one(model, uuid.UUID(row["id"]))
    fields: dict[str, Any] = json.loads(json.dumps({name: plain(getattr(stored, name)) for name in names}))
    # What only newer apps know goes out among the others, by its own names.
    return {**(fields.pop("unknown_fields", None) or {}), **fields}


def test_every_row_goes_out_as_it_is_stored(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job, words=HARD_WORDS, due_on="2026-12-01")
    announce(site.phone, site, CONTENT, issue_id=issue_id)

    rows = [row for part in site.office.pull() for row in part["rows"]]

    assert {row["table"] for row in rows} >= {"job", "system", "unit", "visit", "step", "issue", "issue_event", "photo"}
    with behind_the_wall(site.ana.company_id):
        assert [row["fields"] for row in rows] == [_as_stored(row) for row in rows]


@pytest.mark.parametrize("number", [0.1, -0.0, 1e-9, 12.3512, 1e21, 123_456_789.125])
def test_numbers_moments_and_what_was_pushed_aside_keep_every_digit(site: Site, number: float) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    with behind_the_wall(site.ana.company_id):
        issue = db.session.get_one(Issue, uuid.UUID(issue_id))
        issue.raised_at = HARD_MOMENT
        issue.two_values = {"words": {"value": HARD_WORDS, "by_name": "Ben", "at": None, "n": number}}
        db.session.get_one(Unit, uuid.UUID(site.job.units["IU-1"])).room_m3 = number

    rows = [row for part in site.office.pull() for row in part["rows"]]

    issues = [row["fields"] for row in rows if row["table"] == "issue"]
    assert [one["raised_at"] for one in issues] == ["2026-03-28T20:45:59.999Z"]
    assert [row["fields"]["room_m3"] for row in rows if row["id"] == site.job.units["IU-1"]] == [number]
    with behind_the_wall(site.ana.company_id):
        assert [row["fields"] for row in rows] == [_as_stored(row) for row in rows]
