"""Fields that the server does not know are bounded, and nothing of its own can be written through them."""

import json
from typing import Any

import pytest

from flarenut.sync import unknown
from flarenut.sync.catalogue import MUTATIONS
from flarenut.sync.wire import WIRE
from tests.builders import a_mutation, an_issue
from tests.server.site import Site
from tests.server.sync.deeds import deeds
from tests.server.sync.saying import say, set_issue

Fields = dict[str, Any]


def _answer(site: Site, issue_id: str, **fields: Any) -> Fields:
    """What the contractor says of an issue, by a link."""
    return say(site.link, site.job.id, a_mutation("issue.answer", issue_id, fixed=False, words="soon", **fields))


def _deep(levels: int) -> Any:
    value: Any = 1
    for _ in range(levels - 1):
        value = [value]
    return value


@pytest.mark.parametrize(
    ("name", "value", "why"),
    [
        ("new", _deep(unknown.DEEPEST + 1), "at most 8 levels deep"),
        ("new", "x" * unknown.LARGEST_BYTES, "may have 16000 bytes of JSON on one row; these are"),
        ("n" * (unknown.LONGEST_NAME + 1), 1, "at most 60 characters long; this is 61"),
    ],
)
def test_too_much_is_set_aside_with_the_field_and_its_limit(site: Site, name: str, value: Any, why: str) -> None:
    issue_id = an_issue(site.phone, job=site.job)

    receipt = set_issue(site, site.phone, issue_id, {"words": "w", name: value})

    assert receipt["outcome"] == "set_aside"
    assert receipt["detail"]["code"] == "invalid"
    ((field, said),) = receipt["detail"]["fields"].items()
    assert field == name[:60]
    assert why in said[0]
    assert site.office.rows("issue")[issue_id]["words"] != "w"
    (kept,) = site.phone.get("/api/set-aside").get_json()["items"]
    assert kept["mutation"]["fields"] == {"words": "w", name: value}


def test_as_much_as_is_allowed_is_kept(site: Site) -> None:
    said = {"n" * unknown.LONGEST_NAME: _deep(unknown.DEEPEST), "text": "x" * (unknown.LARGEST_BYTES - 120)}

    issue_id = an_issue(site.phone, job=site.job, **said)

    row = site.office.rows("issue")[issue_id]
    assert {name: row[name] for name in said} == said


def test_many_small_changes_have_no_more_room_than_one(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    told = [set_issue(site, site.phone, issue_id, {f"new_{count}": "x" * 5_000}) for count in range(4)]

    assert [receipt["outcome"] for receipt in told] == ["applied", "applied", "applied", "set_aside"]
    assert list(told[3]["detail"]["fields"]) == ["new_3"]


def test_values_that_wait_beside_each_other_count_too(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    phones = 2 * [site.office, site.phone]

    told = [set_issue(site, who, issue_id, {"new": str(n) * 5_000}, base_rev=0) for n, who in enumerate(phones)]

    assert [receipt["outcome"] for receipt in told] == ["applied", "two_values", "two_values", "set_aside"]


def test_a_contractor_leaves_room_for_the_company(site: Site) -> None:
    issue_id = an_issue(site.phone, job=site.job)

    told = [_answer(site, issue_id, **{f"new_{count}": "x" * 3_000}) for count in range(2)]

    assert [receipt["outcome"] for receipt in told] == ["applied", "set_aside"]
    assert "4000 bytes" in told[1]["detail"]["fields"]["new_1"][0]
    assert set_issue(site, site.phone, issue_id, {"ours": "x" * 9_000})["outcome"] == "applied"


@pytest.mark.parametrize(
    "spelled", ["NaN", "-Infinity", "1e400", "1" * 400, '"\\u0000"', '"\\ud800"', '{"\\u0000": 1}']
)
def test_what_no_database_or_browser_can_hold_is_set_aside(site: Site, spelled: str) -> None:
    issue_id = an_issue(site.phone, job=site.job)
    mutation = {**a_mutation("issue.set", issue_id, new=["@"]), "seq": site.phone.next_seq(site.job.id)}
    lanes = [{"job_id": site.job.id, "mutations": [mutation]}]
    body = json.dumps({"device_id": site.phone.device_id, "lanes": lanes}).replace('"@"', spelled)

    answer = site.phone.post("/api/sync/push", data=body, content_type="application/json")

    receipt = answer.get_json()["lanes"][0]["receipts"][0]
    assert receipt["outcome"] == "set_aside"
    assert receipt["detail"]["code"] in ("invalid", "not_text")
    assert "new" not in site.office.rows("issue")[issue_id]


HOSTILE = ["id", "rev", "company_id", "job_id", "table", "fields", "pending", "__proto__", "constructor", "prototype"]


@pytest.mark.parametrize("kind", sorted(set(MUTATIONS) - {"job.create"}))
def test_no_column_and_no_name_of_every_row_can_be_written_this_way(kind: str, site: Site) -> None:
    deed, table = deeds(site)[kind], kind.partition(".")[0]
    columns = MUTATIONS[kind].table.__table__.columns.keys()
    names = sorted({*HOSTILE, *columns} - set(MUTATIONS[kind].shape().fields))
    plain = {**a_mutation(kind, deed.entity), "fields": deed.fields()}
    hostile = {**a_mutation(kind, deed.entity), "fields": {**deed.fields(), **dict.fromkeys(names, "hostile-4711")}}

    told = [say(deed.phone, site.job.id, mutation) for mutation in (hostile, plain)]

    found = site.office.rows(table)
    assert told[0]["outcome"] in ("applied", "two_values")
    assert "hostile-4711" not in json.dumps([found, site.link.pull(), site.phone.pull()])
    assert set(found[hostile["entity"]]) == set(WIRE[table][1]) - {"unknown_fields"}
