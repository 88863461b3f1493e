"""Who may make which change: every type of change, tried by everyone, through the one route that takes them.

The table is written out by hand, so that whoever widens or narrows a role says so here as well. A
type that is missing from it fails the test, and so does one whose roles the server declares otherwise.
"""

from collections.abc import Callable
from typing import Any
from uuid import UUID

import pytest
from sqlalchemy import Engine

from flarenut.db import db
from flarenut.sync.catalogue import MUTATIONS
from flarenut.sync.wire import WIRE
from tests.builders import (
    CastMember,
    Phone,
    a_dispatcher,
    a_job,
    a_link,
    a_mutation,
    a_technician,
    a_visit,
    an_issue,
    end,
    new_id,
    push,
)
from tests.builders.remembered import Remembered
from tests.contracts.changes import WANTED, Stage, Wanted, a_photo, an_answered_issue, step_id

Row = dict[str, Any]
Rows = dict[tuple[str, str], Row]

YES = "applied"
NO = "not_allowed"  # not this role's to do, on whichever job
UNKNOWN = "no_access"  # the job is not among theirs: told as of one that never was
TAKEN = "not_storable"  # the id is used already, and by whom is not said

CALLERS = (
    "dispatcher",
    "technician",  # with a visit on this job
    "contractor",  # by a link to this job
    "technician_elsewhere",  # of the same company, on another job of it
    "contractor_elsewhere",  # by a link to that other job
    "their_dispatcher",  # Cleo, of another company, and her people
    "their_technician",
    "their_contractor",
    "ended_technician",  # with a visit on this job, and not of the company any more
    "ended_dispatcher",
)

# What each caller is told, in the order above.
TABLE: dict[str, tuple[str, ...]] = {
    # A new job for those of Ana's company; for those of Cleo's, one under the id of Ana's.
    "job.create": (YES, NO, NO, NO, NO, TAKEN, NO, NO, NO, NO),
    "visit.plan": (YES, NO, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "visit.set": (YES, NO, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "visit.cancel": (YES, NO, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "visit.close": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.raise": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.set": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.answer": (NO, YES, YES, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.prove": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.send_back": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "issue.accept": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "step.mark": (NO, YES, YES, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "reading.record": (NO, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "photo.add": (YES, YES, YES, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "photo.mark": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
    "unit.set": (YES, YES, NO, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN),
}

# Everything that a change could leave behind, apart from its receipt and what is kept aside for its author.
LEFT_BEHIND = ("job", "system", "unit", "limit", "visit", "step", "issue", "issue_event", "reading", "photo")


@pytest.fixture
def stage(
    ana: CastMember, ben: CastMember, cleo: CastMember, client_as: Callable[..., Phone], remembered: Remembered
) -> Stage:
    """Ana's job, visited by Ben; another one of hers, visited by Bea; one of Cleo's, visited by Chris."""
    return remembered.made("stage", lambda: _a_stage(client_as, ana=ana, ben=ben, cleo=cleo))


def _a_stage(client_as: Callable[..., Phone], *, ana: CastMember, ben: CastMember, cleo: CastMember) -> Stage:
    bea = a_technician("Bea", company=ana.company_name)
    chris = a_technician("Chris", company=cleo.company_name)
    dan, eve = a_technician("Dan", company=ana.company_name), a_dispatcher("Eve", company=ana.company_name)
    ours, theirs = client_as(ana), client_as(cleo)
    job = a_job(ours, visited_by=ben)
    a_visit(ours, job=job, person=dan)
    elsewhere, other = a_job(ours, visited_by=bea), a_job(theirs, visited_by=chris)
    phones = {
        "dispatcher": ours,
        "technician": client_as(ben),
        "contractor": client_as(a_link(ana, job_id=job.id)),
        "technician_elsewhere": client_as(bea),
        "contractor_elsewhere": client_as(a_link(ana, job_id=elsewhere.id)),
        "their_dispatcher": theirs,
        "their_technician": client_as(chris),
        "their_contractor": client_as(a_link(cleo, job_id=other.id)),
        "ended_technician": client_as(dan),
        "ended_dispatcher": client_as(eve),
    }
    end(dan)
    end(eve)
    return Stage(phones, job, ben, bea, chris)


def _everything(owner: Engine) -> Rows:
    """Every row of every company, seen from past the wall."""
    with owner.connect() as connection:
        return {
            (name, str(row.id)): dict(row._mapping)
            for name in LEFT_BEHIND
            for row in connection.execute(db.metadata.tables[name].select())
        }


def _send(stage: Stage, wanted: Wanted, *, kind: str, caller: str, seen: int) -> Row:
    """The receipt. Whoever sends has seen the job up to `seen`, so that nobody's value is pushed aside."""
    is_new_job = kind == "job.create"
    entity = stage.job.id if is_new_job and caller.startswith("their_") else wanted.entity
    lane_id = entity if is_new_job else stage.job.id
    mutation = a_mutation(kind, entity, base_rev=seen, **wanted.fields)
    receipt: Row = push(stage.phones[caller], lane_id, [mutation])["receipts"][0]
    return receipt


def _code(receipt: Row) -> str:
    """What was told; whoever is turned away gets a sentence as well."""
    if receipt["outcome"] not in ("refused", "set_aside"):
        return str(receipt["outcome"])
    assert receipt["detail"]["message"], receipt
    return str(receipt["detail"]["code"])


def test_every_type_of_change_is_in_the_table() -> None:
    assert set(TABLE) == set(MUTATIONS)
    assert set(WANTED) == set(TABLE)


def test_the_server_declares_the_roles_of_the_table() -> None:
    own = CALLERS[:3]

    allowed = {name: {who for who, told in zip(own, TABLE[name], strict=False) if told == YES} for name in TABLE}

    assert {name: set(kind.roles) for name, kind in MUTATIONS.items()} == allowed


def test_whatever_a_change_can_leave_behind_is_looked_at() -> None:
    assert set(LEFT_BEHIND) == set(WIRE)


@pytest.mark.parametrize("kind", TABLE)
def test_everyone_is_told_what_the_table_says_and_only_a_yes_leaves_a_trace(
    kind: str, stage: Stage, owner: Engine, ana: CastMember
) -> None:
    told = {}
    for caller in CALLERS:
        wanted = WANTED[kind](stage, f"as said by the {caller}")
        before = _everything(owner)

        receipt = _send(stage, wanted, kind=kind, caller=caller, seen=before["job", stage.job.id]["rev"])

        told[caller] = _code(receipt)
        after = _everything(owner)
        if told[caller] == YES:
            _has_taken_effect(wanted, kind=kind, before=before, after=after, company_id=ana.company_id)
        else:
            assert after == before, caller
    assert told == dict(zip(CALLERS, TABLE[kind], strict=True))


def _has_taken_effect(wanted: Wanted, *, kind: str, before: Rows, after: Rows, company_id: UUID) -> None:
    """The row says it, it did not say it before, and nothing was touched behind another company's wall."""
    place = (kind.partition(".")[0], wanted.entity)
    changed = {at: row for at, row in after.items() if before.get(at) != row}
    was = before.get(place, {})

    assert {name: _plain(changed[place][name]) for name in wanted.shows} == wanted.shows
    assert any(_plain(was.get(name)) != said for name, said in wanted.shows.items())
    assert {row["company_id"] for row in changed.values()} == {company_id}
    assert before.keys() <= after.keys()


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, UUID) else value


def test_a_job_of_another_company_is_told_of_as_one_that_never_was(stage: Stage) -> None:
    """Word for word, or the difference would say that it is there."""
    cleo, never = stage.phones["their_dispatcher"], new_id()
    for kind in TABLE:
        if kind == "job.create":
            continue
        wanted = WANTED[kind](stage, "as said by Cleo")
        sent = [(job_id, a_mutation(kind, wanted.entity, **wanted.fields)) for job_id in (stage.job.id, never)]

        theirs, none = (push(cleo, job_id, [mutation]) for job_id, mutation in sent)

        assert theirs["receipts"][0]["detail"] == none["receipts"][0]["detail"], kind
        assert theirs["error"] == none["error"], kind
        assert theirs["error"]["code"] == UNKNOWN


# What a role that may make the change may still not make it about: the rule, the change, by whom, what is told.
FINER: dict[str, tuple[str, str, str, Callable[[Stage], Wanted]]] = {
    "a visit is closed by the one who made it, or by the office": (
        "visit.close",
        "technician",
        "not_your_visit",
        lambda stage: _about(_a_visit_of_ours(stage), summary={}),
    ),
    "a visit is planned for the company's own people": (
        "visit.plan",
        "dispatcher",
        "unknown_person",
        lambda stage: _about(new_id(), **_a_plan(stage.chris)),
    ),
    "a visit is given to the company's own people": (
        "visit.set",
        "dispatcher",
        "unknown_person",
        lambda stage: _about(_a_visit_of_ours(stage), person_id=str(stage.chris.id)),
    ),
    "whoever fixed it does not prove it": (
        "issue.prove",
        "technician",
        "fixer_cannot_prove",
        lambda stage: _about(an_answered_issue(stage, by="technician")),
    ),
    "a contractor answers what is theirs to act on": (
        "issue.answer",
        "contractor",
        "not_found",
        lambda stage: _about(_an_issue_of_ours(stage), fixed=True),
    ),
    "a contractor's photo goes onto their own issues": (
        "photo.add",
        "contractor",
        "not_found",
        lambda stage: _about(new_id(), **a_photo(stage, issue_id=_an_issue_of_ours(stage))),
    ),
    "a contractor's photo goes onto an issue and onto no unit": (
        "photo.add",
        "contractor",
        "not_your_photo",
        lambda stage: _about(new_id(), **a_photo(stage, unit_id=stage.job.units["IU-1"])),
    ),
    "a contractor marks their own steps and no proof of the technician's": (
        "step.mark",
        "contractor",
        "not_your_step",
        lambda stage: _about(step_id(stage, "supply", tag="OM-1"), state="done"),
    ),
}


def _about(entity: str, **fields: Any) -> Wanted:
    return Wanted(entity, fields, {})


def _a_plan(person: CastMember) -> Row:
    return {
        "purpose": "follow_up",
        "starts_at": "2026-11-27T07:00:00.000Z",
        "planned_s": 7200,
        "person_id": str(person.id),
    }


def _a_visit_of_ours(stage: Stage) -> str:
    return a_visit(stage.phones["dispatcher"], job=stage.job, person=stage.bea)


def _an_issue_of_ours(stage: Stage) -> str:
    return an_issue(stage.phones["dispatcher"], job=stage.job, who_must_act="technician")


@pytest.mark.parametrize("rule", FINER)
def test_the_role_alone_is_not_enough(rule: str, stage: Stage, owner: Engine) -> None:
    kind, caller, code, make = FINER[rule]
    assert TABLE[kind][CALLERS.index(caller)] == YES
    wanted = make(stage)
    before = _everything(owner)

    receipt = _send(stage, wanted, kind=kind, caller=caller, seen=before["job", stage.job.id]["rev"])

    assert (receipt["outcome"], _code(receipt)) == ("refused", code)
    assert _everything(owner) == before
