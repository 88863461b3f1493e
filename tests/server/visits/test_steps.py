"""Steps are marked by whoever does them, and reset by whatever opens the circuit."""

from typing import Any

import pytest

from flarenut.trade.sequence import RESET_BY_OPENING
from tests.builders import Phone, a_technician, a_visit, an_issue
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
