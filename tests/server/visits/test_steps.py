"""Steps are marked by whoever does them, and reset by whatever opens the circuit."""

import json
from typing import Any

import pytest

from flarenut.trade import entry
from flarenut.trade.sequence import RESET_BY_OPENING
from tests.builders import Phone, a_technician, a_visit, an_issue, new_id
from tests.server.site import Site
from tests.server.telling import THEN, code_of, tell


def states_of(site: Site, codes: list[str]) -> dict[str, str]:
    """How some steps of the whole system stand."""
    steps = site.office.rows("step")
    return {code: steps[site.step_id(code)]["state"] for code in codes}


def mark(who: Phone, site: Site, code: str, state: str, **more: Any) -> dict[str, Any]:
    """Mark a step of the whole system."""
    return tell(who, site.job.id, "step.mark", site.step_id(code), state=state, **more)


@pytest.fixture
def proved(site: Site) -> Site:
    """A site with tight, dry and charged pipework, and counted units."""
    for code in (*RESET_BY_OPENING, "count"):
        assert mark(site.phone, site, code, "done")["outcome"] == "applied"
    return site


def test_a_done_step_says_who_and_when(site: Site) -> None:
    mark(site.phone, site, "count", "done", note="all 2 seen")

    step = site.step("count")
    assert (step["state"], step["done_by_name"], step["note"]) == ("done", "Ben", "all 2 seen")
    assert step["done_at"] == THEN


def test_a_step_marked_back_to_do_forgets_who_did_it(site: Site) -> None:
    mark(site.phone, site, "count", "done")
    mark(site.phone, site, "count", "todo")

    step = site.step("count")
    assert (step["state"], step["done_by_name"], step["done_at"]) == ("todo", None, None)


def test_a_contractor_marks_the_contractors_steps_and_no_others(site: Site) -> None:
    assert mark(site.link, site, "pressure_hold", "done")["outcome"] == "applied"
    assert code_of(mark(site.link, site, "count", "done")) == "not_your_step"
    assert site.step("count")["state"] == "todo"


def test_a_dispatcher_does_not_mark_steps(site: Site) -> None:
    assert code_of(mark(site.office, site, "count", "done")) == "not_allowed"


def test_a_leak_logged_after_the_hold_has_passed_resets_it(proved: Site) -> None:
    leak = an_issue(proved.phone, job=proved.job, category="leak", stops=["refrigerant"], opens_circuit=True)

    assert states_of(proved, RESET_BY_OPENING) == dict.fromkeys(RESET_BY_OPENING, "todo")
    assert proved.step("charge")["reset_by"] == leak
    assert states_of(proved, ["count"]) == {"count": "done"}


def test_an_issue_that_opens_nothing_resets_nothing(proved: Site) -> None:
    an_issue(proved.phone, job=proved.job, category="wiring")

    assert states_of(proved, RESET_BY_OPENING) == dict.fromkeys(RESET_BY_OPENING, "done")


def test_an_issue_that_turns_out_to_open_the_circuit_resets_then(proved: Site) -> None:
    issue = an_issue(proved.phone, job=proved.job, category="damage")

    tell(proved.phone, proved.job.id, "issue.set", issue, opens_circuit=True)

    assert set(states_of(proved, RESET_BY_OPENING).values()) == {"todo"}


def test_a_step_that_was_never_done_is_not_called_reset(site: Site) -> None:
    an_issue(site.phone, job=site.job, category="leak", opens_circuit=True)

    assert {step["reset_by"] for step in site.office.rows("step").values()} == {None}


def test_the_repair_of_a_leak_resets_what_was_proved_meanwhile(site: Site) -> None:
    leak = an_issue(site.phone, job=site.job, category="leak", opens_circuit=True)
    mark(site.phone, site, "pressure_hold", "done")

    tell(site.link, site.job.id, "issue.answer", leak, words="Not yet.", fixed=False, promised_on="2026-12-01")
    assert site.step("pressure_hold")["state"] == "done"

    tell(site.link, site.job.id, "issue.answer", leak, words="Brazed.", fixed=True, promised_on=None)
    assert site.step("pressure_hold")["state"] == "todo"


def test_doing_a_reset_step_again_clears_what_had_reset_it(proved: Site) -> None:
    an_issue(proved.phone, job=proved.job, category="leak", opens_circuit=True)

    mark(proved.phone, proved, "pressure_hold", "done")

    assert proved.step("pressure_hold")["reset_by"] is None
    assert proved.step("evacuation")["reset_by"] is not None


def test_two_people_who_agree_on_a_step_are_asked_nothing(site: Site, client_as: Any) -> None:
    mark(site.phone, site, "count", "done")
    tom = a_technician("Tom", company=site.ben.company_name)
    a_visit(site.office, job=site.job, person=tom)

    receipt = mark(client_as(tom), site, "count", "done")

    assert receipt["outcome"] in ("applied", "merged")
    assert site.step("count")["two_values"] == {}


def test_two_people_who_disagree_on_a_step_both_keep_their_word(site: Site, client_as: Any) -> None:
    mark(site.phone, site, "count", "done")
    tom = a_technician("Tom", company=site.ben.company_name)
    a_visit(site.office, job=site.job, person=tom)

    receipt = mark(client_as(tom), site, "count", "failed")

    assert receipt["outcome"] == "two_values"
    step = site.step("count")
    assert step["state"] == "failed"
    assert step["two_values"]["state"]["value"] == "done"
    assert step["two_values"]["state"]["by_name"] == "Ben"


@pytest.fixture
def tom(site: Site, client_as: Any) -> Phone:
    """Another technician of the job."""
    person = a_technician("Tom", company=site.ben.company_name)
    a_visit(site.office, job=site.job, person=person)
    return client_as(person)


def rev_of(site: Site, code: str) -> int:
    """The revision of a step that a phone knows which pulls now."""
    told = site.office.post("/api/sync/pull", json={"device_id": site.office.device_id, "cursors": []}).get_json()
    rows = [row for part in told["jobs"] for row in part["rows"]]
    [rev] = [row["rev"] for row in rows if row["id"] == site.step_id(code)]
    return int(rev)


def a_count(who: Phone, site: Site, *, base_rev: int) -> dict[str, Any]:
    """A count that passes, by somebody who knew its step as of that revision."""
    reading = {"expected": [{"unit": "IU-1"}, {"unit": "IU-2"}], "reported_units": 2}
    outputs = json.loads(entry.compute("unit_count", json.dumps(reading)))["result"]
    told = {"calculation": "unit_count", "inputs": reading, "outputs": outputs, "verdict": outputs["verdict"]}
    where = {"system_id": site.job.system_id, "step_id": site.step_id("count")}
    more = {"engine_version": entry.VERSION, "taken_at": THEN, "base_rev": base_rev}
    return tell(who, site.job.id, "reading.record", new_id(), **told, **where, **more)


def test_a_reading_that_did_not_know_what_another_said_of_its_step_keeps_both(site: Site, tom: Phone) -> None:
    knew = rev_of(site, "count")
    mark(tom, site, "count", "failed")

    receipt = a_count(site.phone, site, base_rev=knew)

    assert receipt["outcome"] == "two_values"
    step = site.step("count")
    assert step["state"] == "done"
    assert (step["two_values"]["state"]["value"], step["two_values"]["state"]["by_name"]) == ("failed", "Tom")


def test_a_reading_that_knew_what_another_said_of_its_step_settles_it(site: Site, tom: Phone) -> None:
    mark(tom, site, "count", "failed")

    receipt = a_count(site.phone, site, base_rev=rev_of(site, "count"))

    assert receipt["outcome"] in ("applied", "merged")
    step = site.step("count")
    assert (step["state"], step["two_values"]) == ("done", {})


@pytest.mark.parametrize("by", ["a mark", "a reading"])
def test_a_proof_that_did_not_know_of_the_repair_proves_nothing_and_is_not_lost(
    site: Site, tom: Phone, by: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("flarenut.visits.steps.RESET_BY_OPENING", (*RESET_BY_OPENING, "count"))
    mark(site.phone, site, "count", "done")
    knew = rev_of(site, "count")
    leak = an_issue(tom, job=site.job, category="leak", stops=["refrigerant"], opens_circuit=True)

    if by == "a mark":
        receipt = mark(site.phone, site, "count", "done", base_rev=knew)
    else:
        receipt = a_count(site.phone, site, base_rev=knew)

    assert receipt["outcome"] == "two_values"
    step = site.step("count")
    assert (step["state"], step["reset_by"]) == ("todo", leak)
    assert (step["two_values"]["state"]["value"], step["two_values"]["state"]["by_name"]) == ("done", "Ben")
    assert step["two_values"]["state"]["now_by_name"] == "Tom"
    mark(site.phone, site, "count", "done", base_rev=rev_of(site, "count"))
    step = site.step("count")
    assert (step["state"], step["reset_by"], step["two_values"]) == ("done", None, {})


def test_picking_the_state_that_counts_leaves_its_proof_alone(site: Site, tom: Phone) -> None:
    knew = rev_of(site, "count")
    mark(tom, site, "count", "failed")
    a_count(site.phone, site, base_rev=knew)
    proof = {name: site.step("count")[name] for name in ("done_at", "done_by_name", "reading_id")}

    receipt = mark(tom, site, "count", "done", base_rev=rev_of(site, "count"))

    assert receipt["outcome"] == "applied"
    step = site.step("count")
    assert step["two_values"] == {}
    assert {name: step[name] for name in proof} == proof
    assert proof["done_by_name"] == "Ben"


def test_a_note_by_itself_leaves_state_and_proof_alone(site: Site) -> None:
    a_count(site.phone, site, base_rev=0)
    before = site.step("count")

    tell(site.phone, site.job.id, "step.mark", site.step_id("count"), note="one was switched off")

    after = site.step("count")
    assert after["note"] == "one was switched off"
    proof = ("state", "done_at", "done_by_name", "reading_id")
    assert [after[name] for name in proof] == [before[name] for name in proof]


def test_a_contractor_who_is_never_shown_a_note_does_not_replace_it(site: Site) -> None:
    mark(site.phone, site, "pressure_hold", "failed", note="lost 0.4 bar over night")

    mark(site.link, site, "pressure_hold", "done", note="flare made new", base_rev=rev_of(site, "pressure_hold"))

    step = site.step("pressure_hold")
    assert step["note"] == "flare made new"
    assert step["two_values"]["note"]["value"] == "lost 0.4 bar over night"


def test_a_contractor_settles_nothing_between_the_companys_people(site: Site, tom: Phone) -> None:
    mark(site.phone, site, "pressure_hold", "done")
    mark(tom, site, "pressure_hold", "failed", base_rev=0)
    assert site.step("pressure_hold")["two_values"]["state"]["value"] == "done"

    mark(site.link, site, "pressure_hold", "failed", base_rev=rev_of(site, "pressure_hold"))

    assert site.step("pressure_hold")["two_values"]["state"]["value"] == "done"


def test_a_repair_that_resets_a_step_settles_nothing_that_two_people_said_of_it(site: Site, tom: Phone) -> None:
    mark(site.phone, site, "evacuation", "failed")
    mark(tom, site, "evacuation", "done", base_rev=0)

    raised = an_issue(site.phone, job=site.job, category="leak", stops=["refrigerant"], opens_circuit=False)
    tell(site.phone, site.job.id, "issue.set", raised, opens_circuit=True, base_rev=10_000)

    step = site.step("evacuation")
    assert (step["state"], step["reset_by"]) == ("todo", raised)
    assert step["two_values"]["state"]["value"] == "failed"
