"""Issues: raised, answered, proved by someone else, sent back, accepted as is."""

from typing import Any

import pytest

from tests.builders import CastMember, Phone, a_technician, a_visit, an_issue, new_id
from tests.server.site import Site
from tests.server.telling import THEN, code_of, tell


def say(who: Phone, site: Site, verb: str, issue: str, /, **fields: Any) -> dict[str, Any]:
    """Do one thing to one issue."""
    return tell(who, site.job.id, f"issue.{verb}", issue, **fields)


def fixed(who: Phone, site: Site, issue: str, words: str = "Done.") -> dict[str, Any]:
    """Say that it is fixed."""
    return say(who, site, "answer", issue, words=words, fixed=True, promised_on=None)


def state_of(site: Site, issue: str) -> str:
    """As Ana sees it."""
    return str(site.office.rows("issue")[issue]["state"])


def history_of(who: Phone, issue: str) -> list[str]:
    """Each line of an issue's history, oldest first, as `who kind`."""
    events = [event for event in who.rows("issue_event").values() if event["issue_id"] == issue]
    return sorted(f"{event['by_name']} {event['kind']}" for event in events)


def test_an_issue_gets_its_number_in_order_of_arrival(site: Site) -> None:
    first, second = an_issue(site.phone, job=site.job), an_issue(site.office, job=site.job)

    issues = site.office.rows("issue")
    assert [issues[first]["number"], issues[second]["number"]] == [1, 2]
    assert issues[first]["system_id"] == site.job.system_id
    assert issues[first]["raised_by_name"] == "Ben"
    assert history_of(site.office, first) == ["Ben raised"]


def test_a_photo_and_a_category_can_say_it_all(site: Site) -> None:
    fields = {"unit_id": site.job.units["J-1"], "category": "joint", "who_must_act": "contractor"}

    receipt = say(site.phone, site, "raise", new_id(), **fields)

    assert receipt["outcome"] == "applied"


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("category", "bad_mood"),
        ("who_must_act", "nobody"),
        ("stops", ["lunch"]),
        ("words", "x" * 4_001),
        ("due_on", "soon"),
        ("opens_circuit", "perhaps"),
        ("unit_id", "IU-1"),
    ],
)
def test_an_issue_that_cannot_be_understood_names_the_field(site: Site, field: str, said: Any) -> None:
    fields = {"unit_id": site.job.units["J-1"], "category": "joint", "who_must_act": "contractor"}

    receipt = say(site.phone, site, "raise", new_id(), **{**fields, field: said})

    assert receipt["outcome"] == "set_aside"
    assert list(receipt["detail"]["fields"]) == [field]
    assert site.office.rows("issue") == {}


def test_an_issue_stands_on_a_unit_of_its_own_job(site: Site) -> None:
    fields = {"unit_id": new_id(), "category": "joint", "who_must_act": "contractor"}

    assert code_of(say(site.phone, site, "raise", new_id(), **fields)) == "not_found"


def test_the_contractor_answers_with_words_and_a_date(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    say(site.link, site, "answer", issue, words="Waiting for parts.", fixed=False, promised_on="2026-12-01")

    row = site.phone.rows("issue")[issue]
    assert (row["state"], row["promised_on"]) == ("open", "2026-12-01")
    assert row["answered_by_name"] is None
    assert history_of(site.phone, issue) == ["Ben raised", "Carl Copper promised"]


def test_an_answer_that_says_nothing_is_refused(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    receipt = say(site.link, site, "answer", issue, words=" ", fixed=False, promised_on=None)

    assert code_of(receipt) == "empty_answer"


def test_a_fix_is_answered_and_then_proved_by_someone_else(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    assert fixed(site.link, site, issue)["outcome"] == "applied"
    row = site.phone.rows("issue")[issue]
    assert (row["state"], row["answered_by_name"], row["answered_at"]) == ("answered", "Carl Copper", THEN)

    assert say(site.phone, site, "prove", issue, words="Looked again.")["outcome"] == "applied"
    row = site.phone.rows("issue")[issue]
    assert (row["state"], row["proved_by_name"], row["closed_at"]) == ("proved", "Ben", THEN)


def test_the_fixer_cannot_prove_the_fix(site: Site, client_as: Any) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.phone, site, issue)

    assert code_of(say(site.phone, site, "prove", issue)) == "fixer_cannot_prove"
    assert code_of(say(client_as(site.ben), site, "prove", issue)) == "fixer_cannot_prove"
    assert state_of(site, issue) == "answered"

    tom = a_technician("Tom", company=site.ben.company_name)
    a_visit(site.office, job=site.job, person=tom)
    assert say(client_as(tom), site, "prove", issue)["outcome"] == "applied"


def test_whoever_did_a_part_of_the_fix_cannot_prove_it(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.phone, site, issue, "First half.")
    fixed(site.link, site, issue, "Second half.")

    assert code_of(say(site.phone, site, "prove", issue)) == "fixer_cannot_prove"
    assert say(site.office, site, "prove", issue)["outcome"] == "applied"


def test_a_fix_that_was_sent_back_is_forgotten_with_its_fixer(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.phone, site, issue)
    say(site.office, site, "send_back", issue, words="Still hissing.")
    fixed(site.link, site, issue)

    assert say(site.phone, site, "prove", issue)["outcome"] == "applied"


def test_a_fix_nobody_spoke_of_cannot_be_proved(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    receipt = say(site.phone, site, "prove", issue)

    assert code_of(receipt) == "wrong_state"
    assert receipt["detail"]["message"] == "This issue is open; it cannot be proved now."


def test_an_issue_sent_back_counts_how_often(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    for times in (1, 2):
        fixed(site.link, site, issue)
        say(site.phone, site, "send_back", issue, words="Still hissing.")

        row = site.phone.rows("issue")[issue]
        assert (row["state"], row["times_reopened"]) == ("sent_back", times)


def test_sending_back_needs_words(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.link, site, issue)

    receipt = say(site.phone, site, "send_back", issue, words="  ")

    assert receipt["outcome"] == "set_aside"
    assert "words" in receipt["detail"]["fields"]
    assert state_of(site, issue) == "answered"


def test_a_proved_fix_that_did_not_hold_lives_again(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.link, site, issue)
    say(site.phone, site, "prove", issue)

    say(site.phone, site, "send_back", issue, words="It drips again.")

    row = site.phone.rows("issue")[issue]
    assert (row["state"], row["closed_at"], row["proved_by_name"]) == ("sent_back", None, None)


@pytest.mark.parametrize("missing", ["name", "reason"])
def test_accepting_as_is_needs_a_name_and_a_reason(site: Site, missing: str) -> None:
    issue = an_issue(site.phone, job=site.job)
    fields = {"name": "Mrs Invented, owner", "reason": "Hidden above the ceiling."}

    receipt = say(site.office, site, "accept", issue, **{**fields, missing: ""})
    assert list(receipt["detail"]["fields"]) == [missing]

    say(site.office, site, "accept", issue, **fields)
    row = site.office.rows("issue")[issue]
    assert (row["state"], row["accepted_by_name"]) == ("accepted", "Mrs Invented, owner")


def test_a_contractor_closes_nothing(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.link, site, issue)

    said = [
        code_of(say(site.link, site, "prove", issue)),
        code_of(say(site.link, site, "send_back", issue, words="no")),
        code_of(say(site.link, site, "accept", issue, name="me", reason="because")),
        code_of(say(site.link, site, "set", issue, words="all fine")),
        code_of(say(site.link, site, "raise", new_id(), unit_id=site.job.units["J-1"], category="leak")),
    ]

    assert said == ["not_allowed"] * 5


def test_a_contractor_answers_no_issue_that_is_not_theirs(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job, who_must_act="customer")

    receipt = fixed(site.link, site, issue)

    assert code_of(receipt) == "not_found"
    assert state_of(site, issue) == "open"


def test_the_office_does_not_answer_for_the_fixer(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    assert code_of(fixed(site.office, site, issue)) == "not_allowed"


def test_cleo_changes_nothing(site: Site, client_as: Any, cleo: CastMember) -> None:
    issue = an_issue(site.phone, job=site.job)
    stranger = client_as(cleo)

    receipt = say(stranger, site, "set", issue, words="mine now")

    assert code_of(receipt) == "no_access"
    assert site.office.rows("issue")[issue]["words"] == "Terminals 1 and 2 are swapped."


def test_an_issue_given_to_someone_else_leaves_the_contractors_list_with_its_history(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    fixed(site.link, site, issue)
    site.link.pull()

    say(site.phone, site, "set", issue, who_must_act="customer")

    gone = {removal["table"] for part in site.link.pull() for removal in part["removals"]}
    assert gone == {"issue", "issue_event"}
    assert site.link.rows("issue") == {}
    assert site.link.rows("issue_event") == {}


def test_an_issue_given_to_the_contractor_arrives_with_its_history_from_then_on(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job, who_must_act="technician")
    site.link.pull()

    say(site.phone, site, "set", issue, who_must_act="contractor")

    rows = [row["table"] for part in site.link.pull() for row in part["rows"]]
    assert rows.count("issue") == 1
    assert rows.count("issue_event") == 1


def test_an_issue_that_was_never_theirs_is_not_even_taken_away(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job, who_must_act="technician")

    say(site.phone, site, "set", issue, words="Another word.")

    assert all(part["removals"] == [] for part in site.link.pull())


def test_an_issue_moved_to_another_unit_moves_to_its_system(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)

    say(site.phone, site, "set", issue, unit_id=site.job.units["OM-1"], words=None)

    row = site.office.rows("issue")[issue]
    assert (row["unit_id"], row["system_id"], row["words"]) == (
        site.job.units["OM-1"],
        site.job.system_id,
        "",
    )


def test_every_change_leaves_a_line_in_the_history(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    say(site.office, site, "set", issue, due_on="2026-12-24")
    fixed(site.link, site, issue)
    say(site.phone, site, "send_back", issue, words="No.")
    fixed(site.link, site, issue)
    say(site.phone, site, "prove", issue)

    assert history_of(site.office, issue) == [
        "Ana changed",
        "Ben proved",
        "Ben raised",
        "Ben sent_back",
        "Carl Copper answered",
        "Carl Copper answered",
    ]
    changed = [line["words"] for line in site.link.rows("issue_event").values() if line["kind"] == "changed"]
    assert changed == [""]  # names of columns are nobody's words
