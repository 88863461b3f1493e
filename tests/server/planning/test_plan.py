"""The return plan on the server is the engine's plan of the very rows that the phone has."""

import datetime as dt
import json
from typing import Any

from flarenut.planning.reads import job_plan_input, plan_for, zone_of
from flarenut.trade import entry
from tests.builders import CastMember, an_issue
from tests.builders.world import behind_the_wall
from tests.server.site import Site
from tests.server.telling import tell

NOW = dt.datetime(2026, 11, 25, 9, tzinfo=dt.UTC)


def plan_of(site: Site) -> dict[str, Any]:
    """The plan as the server computes it."""
    with behind_the_wall(site.ana.company_id):
        return plan_for(site.job.id, now=NOW)


def group_of(plan: dict[str, Any], code: str) -> dict[str, Any]:
    """One group of steps of the plan."""
    found: dict[str, Any] = next(group for group in plan["groups"] if group["code"] == code)
    return found


def test_a_leak_gates_the_test_run_and_leaves_the_addresses_alone(site: Site) -> None:
    tell(site.phone, site.job.id, "step.mark", site.step_id("pressure_hold"), state="done")
    leak = an_issue(site.phone, job=site.job, tag="J-1", category="leak", stops=["refrigerant"], opens_circuit=True)

    plan = plan_of(site)

    assert group_of(plan, "test_run")["state"] == "gated"
    assert group_of(plan, "pressure_hold")["reset_by"] == [leak]
    assert group_of(plan, "power_units")["state"] in ("doable", "partly")
    assert plan["headline"]["issue_id"] == leak


def test_phone_and_server_compute_one_plan_from_one_set_of_rows(site: Site) -> None:
    an_issue(site.phone, job=site.job, tag="J-1", category="leak", stops=["refrigerant"], opens_circuit=True)
    tell(site.phone, site.job.id, "step.mark", site.step_id("walk_install"), state="done")

    tables = {"systems": "system", "units": "unit", "steps": "step", "issues": "issue"}
    rows = {
        name: [{"id": row_id, **fields} for row_id, fields in site.phone.rows(table).items()]
        for name, table in tables.items()
    }
    with behind_the_wall(site.ana.company_id):
        ours = job_plan_input(site.job.id, now=NOW)
    theirs = {**ours, **rows}
    on_the_phone = json.loads(entry.compute("job_plan", json.dumps(theirs)))

    assert on_the_phone["ok"], on_the_phone
    for name in tables:
        assert sorted(ours[name], key=_id) == sorted(rows[name], key=_id)
    assert on_the_phone["result"] == plan_of(site)


def _id(row: dict[str, Any]) -> str:
    return str(row["id"])


def test_the_plan_has_an_address_for_those_without_a_phone(site: Site) -> None:
    answer = site.office.get(f"/api/jobs/{site.job.id}/plan")

    assert answer.status_code == 200
    assert answer.get_json()["state"] in ("wait_contractor", "to_book", "nothing_left")
    assert site.phone.get(f"/api/jobs/{site.job.id}/plan").status_code == 200
    assert site.link.get(f"/api/jobs/{site.job.id}/plan").status_code == 403


def test_cleo_gets_no_plan(site: Site, client_as: Any, cleo: CastMember) -> None:
    answer = client_as(cleo).get(f"/api/jobs/{site.job.id}/plan")

    assert answer.status_code == 404


def test_the_zone_tells_when_the_clocks_change() -> None:
    zone = zone_of("Europe/Berlin", now=NOW)

    assert zone["utc_offset_s"] == 3600
    spring = dt.datetime(2027, 3, 28, 1, tzinfo=dt.UTC).timestamp()
    autumn = dt.datetime(2027, 10, 31, 1, tzinfo=dt.UTC).timestamp()
    assert zone["changes"] == [
        {"at_s": spring, "utc_offset_s": 7200},
        {"at_s": autumn, "utc_offset_s": 3600},
    ]


def test_a_zone_without_clock_changes_has_none() -> None:
    assert zone_of("Asia/Kolkata", now=NOW) == {"utc_offset_s": 19_800, "changes": []}
