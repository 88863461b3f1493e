"""Rule 16: what a newer app says and this server does not know travels through it, and older phones, untouched."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, text

from flarenut.sync import unknown
from flarenut.sync.catalogue import MUTATIONS
from flarenut.sync.wire import WIRE
from tests.builders import CastMember, a_mutation, a_sheet, an_issue
from tests.server.site import Site
from tests.server.sync.deeds import deeds
from tests.server.sync.saying import say, set_issue

Fields = dict[str, Any]

NEW: Fields = {"of_next_year": {"deep": [1, {"é": None}], "exact": 1e300}}


# The way through.


def test_what_a_newer_phone_wrote_outlives_the_edit_of_an_older_one(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job, **NEW)

    older = set_issue(site, site.office, issue_id, {"words": "changed by an app that knows nothing of it"})

    row = site.phone.rows("issue")[issue_id]
    assert older["outcome"] == "applied"
    assert {"of_next_year": row["of_next_year"]} == NEW
    assert row["words"] == "changed by an app that knows nothing of it"
    assert "unknown_fields" not in row


def test_an_edit_by_a_newer_phone_comes_to_every_phone_with_its_next_pull(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    site.office.pull()

    set_issue(site, site.phone, issue_id, NEW)

    (came,) = [row for part in site.office.pull() for row in part["rows"] if row["table"] == "issue"]
    assert {"of_next_year": came["fields"]["of_next_year"]} == NEW


@pytest.mark.parametrize("kind", sorted(MUTATIONS))
def test_every_type_of_change_carries_what_is_unknown(kind: str, site: Site) -> None:
    deed = deeds(site)[kind]
    mutation = {**a_mutation(kind, deed.entity), "fields": {**deed.fields(), **NEW}}
    job_id = mutation["entity"] if kind == "job.create" else site.job.id

    receipt = say(deed.phone, job_id, mutation)

    row = site.office.rows(kind.partition(".")[0])[mutation["entity"]]
    assert receipt["outcome"] in ("applied", "merged"), receipt
    assert {"of_next_year": row.get("of_next_year")} == NEW


def test_what_is_new_about_the_rows_of_a_sheet_stays_with_them(site: Site) -> None:
    sheet = a_sheet()
    sheet["systems"][0] |= NEW
    sheet["units"][-1] |= NEW
    sheet["limits"] = {"source": "the sheet", "noise_limit_db": 40}
    mutation = {**a_mutation("job.create"), "fields": sheet}

    receipt = say(site.office, mutation["entity"], mutation)

    assert receipt["outcome"] == "applied"
    assert site.office.rows("system")[sheet["systems"][0]["id"]]["of_next_year"] == NEW["of_next_year"]
    assert site.office.rows("unit")[sheet["units"][-1]["id"]]["of_next_year"] == NEW["of_next_year"]
    assert site.office.rows("job")[mutation["entity"]]["limits"] == {"noise_limit_db": 40}


_TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), max_size=20)
_ONE = st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | _TEXT
_VALUE = st.recursive(
    _ONE, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(_TEXT, inner, max_size=4), max_leaves=12
)


def _depth(value: Any) -> int:
    inside = list(value.values()) if isinstance(value, dict) else value if isinstance(value, list) else []
    return 1 + max(map(_depth, inside), default=0)


_SAID = st.dictionaries(
    _TEXT.filter(lambda name: name not in _TAKEN),
    _VALUE.filter(lambda value: _depth(value) <= unknown.DEEPEST),
    max_size=5,
)
_TAKEN = unknown._taken_names(MUTATIONS["issue.raise"].shape, MUTATIONS["issue.raise"].table)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(said=_SAID)
def test_any_object_travels_through_untouched(site: Site, said: Fields) -> None:
    good = {"unit_id": site.job.units["IU-1"], "category": "wiring", "words": "w", "who_must_act": "technician"}
    mutation = {**a_mutation("issue.raise"), "fields": {**said, **good}}

    receipt = say(site.phone, site.job.id, mutation)
    set_issue(site, site.office, mutation["entity"], {"words": "x"})

    row = site.phone.rows("issue")[mutation["entity"]]
    came = {name: value for name, value in row.items() if name not in WIRE["issue"][1]}
    assert receipt["outcome"] == "applied"
    assert json.dumps(came, sort_keys=True) == json.dumps(said, sort_keys=True)


# A later version learns the field.


def _lifting(project: Path) -> str:
    """The migration that DEVELOPERS.md shows."""
    return (project / "DEVELOPERS.md").read_text().partition("```sql\n")[2].partition("```")[0]


def test_the_migration_that_is_written_down_lifts_a_field_out_and_leaves_the_rest(
    site: Site, owner: Engine, project: Path
) -> None:
    told = [{"colour": "red", "exact": 1e300}, {"colour": "blue"}, {"colour": 7}, {"other": 1}]
    ids = [an_issue(site.phone, job=site.job, **said) for said in told]

    with owner.connect() as connection:  # Never committed: this server has not learned it.
        connection.execute(text(_lifting(project)))
        rows = connection.execute(text("SELECT id::text, colour, unknown_fields::text FROM issue"))
        found = {row.id: (row.colour, row.unknown_fields and json.loads(row.unknown_fields)) for row in rows}

    lifted = [("red", {"exact": 1e300}), ("blue", None), (None, {"colour": 7}), (None, {"other": 1})]
    assert [found[issue_id] for issue_id in ids] == lifted


# Who may see it.


def test_a_contractor_is_told_of_no_field_that_the_server_does_not_know(site: Site) -> None:
    secret: Fields = {"margin": "internal-4711"}
    theirs = an_issue(site.phone, job=site.job, **secret)
    say(site.phone, site.job.id, a_mutation("unit.set", site.job.units["IU-1"], base_rev=0, **secret))
    say(site.office, site.job.id, a_mutation("unit.set", site.job.units["IU-1"], base_rev=0, margin="internal-0815"))

    whole = json.dumps(site.link.pull())

    assert theirs in whole
    assert "margin" not in whole
    assert "internal-" not in whole
    assert site.office.rows("issue")[theirs]["margin"] == "internal-4711"


def test_another_company_sees_nothing_of_it(site: Site, cleo: CastMember, client_as: Any) -> None:
    an_issue(site.phone, job=site.job, **NEW)

    assert "of_next_year" not in json.dumps(client_as(cleo).pull())


# Rule 11, for fields whose meaning nobody here knows.


def test_two_who_set_the_same_unknown_field_unseen_leave_both_values(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    seen = site.office.pull()[0]["rows"]
    base_rev = max(row["rev"] for row in seen)

    set_issue(site, site.office, issue_id, {"of_next_year": 1}, base_rev=base_rev)
    receipt = set_issue(site, site.phone, issue_id, {"of_next_year": 2}, base_rev=base_rev)

    row = site.office.rows("issue")[issue_id]
    assert receipt["outcome"] == "two_values"
    assert receipt["detail"] == {"fields": ["of_next_year"]}
    assert row["of_next_year"] == 2
    assert (row["two_values"]["of_next_year"]["value"], row["two_values"]["of_next_year"]["by_name"]) == (1, "Ana")


def test_whoever_has_seen_both_settles_them_by_setting_the_field_again(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    set_issue(site, site.office, issue_id, {"of_next_year": 1}, base_rev=0)
    both = set_issue(site, site.phone, issue_id, {"of_next_year": 2}, base_rev=0)

    settled = set_issue(site, site.office, issue_id, {"of_next_year": 1}, base_rev=both["rev"])

    row = site.office.rows("issue")[issue_id]
    assert settled["outcome"] == "applied"
    assert (row["of_next_year"], row["two_values"]) == (1, {})


def test_marks_on_a_photo_may_bring_unknown_fields_of_two_people_too(site: Site) -> None:
    deed = deeds(site)["photo.mark"]
    for phone, value in ((site.office, 1), (site.phone, 2)):
        say(phone, site.job.id, {**a_mutation("photo.mark", deed.entity), "fields": {**deed.fields(), "new": value}})

    row = site.office.rows("photo")[deed.entity]

    assert (row["new"], row["two_values"]["new"]["value"]) == (2, 1)


def test_a_contractor_cannot_write_over_what_they_are_not_told(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job, margin=40)

    receipt = say(
        site.link, site.job.id, a_mutation("issue.answer", issue_id, base_rev=2**62, fixed=False, words="w", margin=0)
    )

    row = site.office.rows("issue")[issue_id]
    assert receipt["outcome"] == "two_values"
    assert (row["margin"], row["two_values"]["margin"]["value"]) == (0, 40)
