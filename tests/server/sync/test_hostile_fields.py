"""One field of a good change is spoiled: the rest of the system never notices, and the author is told which."""

import json
from typing import Any

import pytest

from flarenut.sync.catalogue import MUTATIONS
from tests.builders import CastMember, Phone, a_job, a_mutation, a_sheet, new_id, push
from tests.server.site import Site
from tests.server.sync.deeds import deeds, do
from tests.server.telling import code_of, tell

HOSTILE: list[Any] = [
    None,
    True,
    -1,
    0.5,
    2**31,
    2**63,
    1e308,
    "",
    "\x00",
    "\ud800",
    "x" * 5_000,
    "pass",
    "2026-11-25T09:00:00",
    "0001-01-01T00:00:00+23:59",
    "2000-01-01T00:00:00+23:59",
    "2099-12-31T23:59:59-23:59",
    "00000000-0000-0000-0000-000000000000",
    [],
    [[]],
    {},
    {"\x00": 1},
]

# JSON that no browser writes: numbers that no double holds, and words that are no JSON.
NO_NUMBERS = ("1e400", "-Infinity", "NaN", "1" * 400, "1" * 5000)


def _is_understood(receipt: dict[str, Any]) -> bool:
    """Applied, or turned away with the field's name: never by the database, never by a crash."""
    return code_of(receipt) not in ("server_error", "not_storable")


def _everything_is_still_readable(site: Site) -> None:
    for phone in (site.office, site.phone, site.link):
        phone.cursors = {}
        assert phone.pull()
        kept = phone.get("/api/set-aside")
        assert kept.status_code == 200
        json.loads(kept.get_data(as_text=True), parse_constant=pytest.fail)
    assert site.office.get(f"/api/jobs/{site.job.id}/plan").status_code == 200


@pytest.mark.parametrize("kind", sorted(set(MUTATIONS) - {"visit.close"}))
def test_a_good_change_of_every_type_is_taken(kind: str, site: Site) -> None:
    deed = deeds(site)[kind]

    (receipt,) = do(site, deed, kind=kind, fields=[deed.fields()])

    assert receipt["outcome"] in ("applied", "two_values"), receipt


@pytest.mark.parametrize("kind", sorted(MUTATIONS))
def test_one_hostile_field_is_understood_and_spoils_nothing(kind: str, site: Site) -> None:
    deed = deeds(site)[kind]
    spoiled = [(name, hostile) for name in MUTATIONS[kind].shape().fields for hostile in HOSTILE]

    told = do(site, deed, kind=kind, fields=[{**deed.fields(), name: hostile} for name, hostile in spoiled])

    assert [where for where, receipt in zip(spoiled, told, strict=True) if not _is_understood(receipt)] == []
    _everything_is_still_readable(site)


@pytest.mark.parametrize("part", ["systems", "units"])
def test_one_hostile_field_in_a_row_of_a_new_job_imports_nothing(part: str, site: Site) -> None:
    deed = deeds(site)["job.create"]
    spoiled = [(name, hostile) for name in a_sheet()[part][0] for hostile in HOSTILE]
    sheets = [a_sheet() for _ in spoiled]
    for (name, hostile), sheet in zip(spoiled, sheets, strict=True):
        sheet[part][0][name] = hostile

    told = do(site, deed, kind="job.create", fields=sheets)

    taken = [receipt for receipt in told if receipt["outcome"] == "applied"]
    assert [where for where, receipt in zip(spoiled, told, strict=True) if not _is_understood(receipt)] == []
    assert len(site.office.rows("job")) == 1 + len(taken)
    assert len(site.office.rows("unit")) == 7 * (1 + len(taken))


def test_a_job_is_not_created_inside_another(site: Site) -> None:
    sheet = a_sheet()
    sheet["systems"][0]["tag"] = "S9"
    sheet["units"] = [{**unit, "tag": f"X-{unit['tag']}"} for unit in sheet["units"]]

    inside = tell(site.office, site.job.id, "job.create", new_id(), **sheet)
    again = tell(site.office, site.job.id, "job.create", site.job.id, **sheet)

    assert (code_of(inside), code_of(again)) == ("job_exists", "job_exists")
    assert len(site.office.rows("job")) == 1
    assert len(site.office.rows("unit")) == len(site.job.units)


@pytest.mark.parametrize("spelled", NO_NUMBERS)
@pytest.mark.parametrize("name", ["base_rev", "v", "entity", "fields"])
def test_a_number_that_is_none_is_set_aside_and_can_be_given_back(name: str, spelled: str, site: Site) -> None:
    mutation = a_mutation("unit.set", site.job.units["IU-1"], place="x")
    mutation |= {"seq": site.phone.next_seq(site.job.id), name: "@"}
    lanes = [{"job_id": site.job.id, "mutations": [mutation]}]
    body = json.dumps({"device_id": site.phone.device_id, "lanes": lanes}).replace('"@"', spelled)

    answer = site.phone.post("/api/sync/push", data=body, content_type="application/json")

    assert answer.get_json()["lanes"][0]["receipts"][0]["outcome"] == "set_aside"
    _everything_is_still_readable(site)


@pytest.mark.parametrize("said", ["0001-01-01T00:00:00+23:59", "9999-12-31T23:59:59-23:59", "1970-01-01T00:00:00Z"])
def test_a_clock_that_has_lost_its_year_loses_no_issue(said: str, site: Site) -> None:
    issue_id = new_id()
    fields = deeds(site)["issue.raise"].fields()

    receipt = tell(site.phone, site.job.id, "issue.raise", issue_id, device_time=said, **fields)

    assert receipt["outcome"] == "applied"
    assert site.office.rows("issue")[issue_id]["raised_at"] > "2020"


def test_an_id_that_another_company_used_stops_nobody(site: Site, client_as: Any, cleo: CastMember) -> None:
    taken = a_mutation("unit.set", site.job.units["IU-1"], place="x")
    push(site.phone, site.job.id, [taken])
    other: Phone = client_as(cleo)
    bad, good = a_job(other), a_job(other)
    copied = {**taken, "entity": bad.units["IU-1"], "seq": other.next_seq(bad.id)}
    fine = {**a_mutation("unit.set", good.units["IU-1"], place="y"), "seq": other.next_seq(good.id)}
    lanes = [{"job_id": bad.id, "mutations": [copied]}, {"job_id": good.id, "mutations": [fine]}]

    answer = other.post("/api/sync/push", json={"device_id": other.device_id, "lanes": lanes})

    told = {lane["job_id"]: lane for lane in answer.get_json()["lanes"]}
    assert told[bad.id]["error"] is None
    assert told[bad.id]["receipts"][0]["outcome"] == "applied"
    assert other.rows("unit")[bad.units["IU-1"]]["place"] == "x"
    assert told[good.id]["receipts"][0]["outcome"] == "applied"
