"""The failure cases of sync that one process can show, each under its number.

The product deletes nothing; where a case speaks of a deletion, an issue is accepted as it is, which
takes it out of everybody's work for good.
"""

import itertools
import json
import shutil
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, event, text

from flarenut.db import db
from flarenut.sync.desk import forget_old_receipts
from tests.builders import CastMember
from tests.builders.jobs import Job, a_job
from tests.builders.people import PASSWORD
from tests.faults.cupboard import Cupboard, issues_on, lines_of_history, outcomes_of, raise_one
from tests.faults.lanes import new_id
from tests.faults.phone import Phone
from tests.server.photos.pictures import sha256_of
from tests.server.photos.sending import CONTENT, create, see, send

Enter = Callable[..., Any]
PULLS = 4
HELD_S = 10.0  # at most; the second push waits for 12 s at most


@pytest.fixture
def cupboard(app: Flask, folder: Path) -> Cupboard:
    return Cupboard(app, folder)


@pytest.fixture
def job(client_as: Enter, ana: CastMember, ben: CastMember) -> Job:
    """Ana set it up; Ben visits it."""
    return a_job(client_as(ana), visited_by=ben)


def test_case_01_two_pushes_to_one_job_the_first_held_open_while_a_third_device_pulls(
    cupboard: Cupboard, ana: CastMember, job: Job, request: pytest.FixtureRequest
) -> None:
    first, second, third = (cupboard.open(name, whose=ana) for name in ("first", "second", "third"))
    early, late = [raise_one(first, job) for _ in range(3)], [raise_one(second, job) for _ in range(3)]
    is_applied, is_held, goes_on = threading.Event(), threading.Event(), threading.Event()

    def hold(session: Any) -> None:
        if threading.current_thread().name == "held" and session.in_nested_transaction():
            is_applied.set()  # a change in its savepoint, under the lock of the job
        elif threading.current_thread().name == "held" and is_applied.is_set() and not is_held.is_set():
            is_held.set()
            assert goes_on.wait(HELD_S)

    event.listen(db.session, "before_commit", hold)
    request.addfinalizer(lambda: event.remove(db.session, "before_commit", hold))
    threads = [threading.Thread(target=first.exchange, name="held"), threading.Thread(target=second.exchange)]
    threads[0].start()
    assert is_held.wait(10)
    threads[1].start()
    for _ in range(PULLS):
        assert third.pull() == "done"
        assert not issues_on(third)
    assert threads[0].is_alive(), "a pull waited for a push"
    goes_on.set()
    for thread in threads:
        thread.join()

    assert third.pull() == "done"
    assert outcomes_of(first) + outcomes_of(second) == ["applied"] * 6
    assert issues_on(third) == {*early, *late}
    assert third.differing() == []


POISON: dict[str, Callable[[Phone, Job, str], Any]] = {
    "a constraint error": lambda phone, job, known: phone.write(
        "issue.raise",
        job=job.id,
        entity=known,
        fields={"unit_id": job.units["IU-1"], "category": "wiring", "words": "x", "who_must_act": "technician"},
    ),
    "an unknown type": lambda phone, job, _known: phone.write("issue.dance", job=job.id, entity=new_id(), fields={}),
    "a 10 MB note": lambda phone, job, _known: raise_one(phone, job, words="x" * 10_000_000),
    "a NUL byte": lambda phone, job, _known: raise_one(phone, job, words="a NUL \x00 inside"),
    "a lone surrogate": lambda phone, job, _known: raise_one(phone, job, words="half \ud83d of a character"),
}


@pytest.mark.parametrize("what", POISON)
def test_case_03_a_poison_mutation_at_the_head_of_a_lane_is_kept_and_stops_nothing(
    what: str, cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    phone = cupboard.open("phone", whose=ana)
    known = raise_one(phone, job)
    assert phone.exchange() == "done"

    POISON[what](phone, job, known)
    poison = phone.lane(job.id)[0]
    sound = [raise_one(phone, job) for _ in range(3)]
    assert phone.exchange() == "done"

    assert phone.outbox == {}
    assert list(phone.journal.table("attention")) == [poison["id"]]
    assert outcomes_of(phone)[-3:] == ["applied"] * 3
    assert issues_on(phone) == {known, *sound}
    with owner.connect() as connection:
        kept = connection.scalars(text("SELECT body FROM set_aside WHERE id = :id"), {"id": poison["id"]}).one()
    assert json.loads(kept) == {name: value for name, value in poison.items() if name != "job_id"}


def test_case_05_a_copied_phone_becomes_a_new_device_and_neither_loses_anything(
    cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    phone = cupboard.open("phone", whose=ana)
    before = [raise_one(phone, job) for _ in range(2)]
    assert phone.exchange() == "done"
    waits = raise_one(phone, job)  # in the outbox of both
    shutil.copy(cupboard.path("phone"), cupboard.path("copy"))
    copy = cupboard.reopen("copy")

    own, copied = [raise_one(phone, job) for _ in range(2)], [raise_one(copy, job) for _ in range(2)]
    for one in (phone, copy, phone):
        assert one.exchange() == "done"

    assert phone.outbox == copy.outbox == {}
    assert copy.meta["device_id"] != phone.meta["device_id"]
    assert lines_of_history(owner, "raised") == sorted([*before, waits, *own, *copied])
    assert issues_on(phone) == issues_on(copy) == {*before, waits, *own, *copied}
    assert phone.differing() == copy.differing() == []
    assert not phone.journal.table("attention") | copy.journal.table("attention")


def test_case_05_what_a_phone_and_its_copy_say_of_one_thing_are_two_values(
    cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    phone = cupboard.open("phone", whose=ana)
    issue = raise_one(phone, job)
    assert phone.exchange() == "done"
    shutil.copy(cupboard.path("phone"), cupboard.path("copy"))
    copy = cupboard.reopen("copy")

    phone.write("issue.set", job=job.id, entity=issue, fields={"words": "by the phone"})
    copy.write("issue.set", job=job.id, entity=issue, fields={"words": "by its copy"})
    for one in (phone, copy):
        assert one.exchange() == "done"

    with owner.connect() as connection:
        query = text("SELECT words, two_values FROM issue WHERE id = :id")
        words, beside = connection.execute(query, {"id": issue}).one()
    assert words == "by its copy"
    assert beside["words"]["value"] == "by the phone"


def test_case_05_a_phone_rolled_back_to_yesterday_reuses_numbers_and_loses_nothing(
    cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    phone = cupboard.open("phone", whose=ana)
    yesterday = cupboard.path("yesterday")
    kept = [raise_one(phone, job)]
    assert phone.exchange() == "done"
    shutil.copy(cupboard.path("phone"), yesterday)
    kept += [raise_one(phone, job) for _ in range(2)]
    assert phone.exchange() == "done"

    phone.journal.close()
    shutil.copy(yesterday, cupboard.path("phone"))
    phone = cupboard.reopen("phone")
    kept += [raise_one(phone, job) for _ in range(2)]
    assert phone.exchange() == "done"

    assert phone.outbox == {}
    assert phone.meta["renumbered"] == 1
    assert lines_of_history(owner, "raised") == sorted(kept)
    assert issues_on(phone) == set(kept)
    assert phone.differing() == []


def _visits_go_to(owner: Engine, *, person: CastMember) -> None:
    with owner.begin() as connection:
        connection.execute(text("UPDATE visit SET person_id = :person"), {"person": person.id})


def test_case_07_access_revoked_with_unsent_issues_and_a_half_sent_photo_then_granted_again(
    cupboard: Cupboard, client_as: Enter, ana: CastMember, ben: CastMember, job: Job, owner: Engine
) -> None:
    phone, camera = cupboard.open("phone", whose=ben), client_as(ben)
    issue = raise_one(phone, job)
    photo = new_id()
    made = {"issue_id": issue, "sha256": sha256_of(CONTENT), "size_bytes": len(CONTENT), "width_px": 640}
    made |= {"height_px": 480, "taken_at": "2025-06-02T08:30:00.000Z"}
    phone.write("photo.add", job=job.id, entity=photo, fields=made)
    assert phone.exchange() == "done"
    create(camera, photo, size_bytes=len(CONTENT), body=CONTENT[:3_000])
    unsent = raise_one(phone, job, words="written when access had ended")

    _visits_go_to(owner, person=ana)
    assert phone.pull() == "done"
    assert (len(phone.outbox), issues_on(phone)) == (1, {issue}), "unsent work and its job stay on the phone"
    assert see(camera, photo).status_code == 404
    assert phone.exchange() == "done"
    assert phone.outbox == phone.rows == {}
    assert outcomes_of(phone)[-1] == "set_aside"

    _visits_go_to(owner, person=ben)
    again = raise_one(phone, job, words="written when access had ended")
    assert phone.exchange() == "done"
    arrived = int(see(camera, photo).headers["Upload-Offset"])
    assert send(camera, photo, CONTENT[arrived:], offset=arrived).status_code == 204
    assert phone.exchange() == "done"

    assert arrived == 3_000
    assert issues_on(phone) == {issue, again}
    assert next(iter(phone.journal.table("attention").values()))["entity"] == unsent
    assert client_as(ana).rows("photo")[photo]["state"] == "stored"
    assert phone.differing() == []


@pytest.mark.parametrize("order", list(itertools.permutations(("accepted", "edited", "moved"))), ids="-".join)
def test_case_15_an_issue_taken_out_edited_and_moved_on_three_devices_offline_in_every_order_of_arrival(
    order: tuple[str, ...], cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    office = cupboard.open("office", whose=ana)
    issue = raise_one(office, job)
    assert office.exchange() == "done"
    phones = {name: cupboard.open(name, whose=ana) for name in order}

    deeds = {
        "accepted": ("issue.accept", {"name": "Ana", "reason": "It stays."}),
        "edited": ("issue.set", {"words": "Terminals 3 and 4."}),
        "moved": ("issue.set", {"unit_id": job.units["IU-2"]}),
    }
    for name, phone in phones.items():
        kind, fields = deeds[name]
        phone.write(kind, job=job.id, entity=issue, fields=fields)
    for name in order:
        assert phones[name].exchange() == "done"
    for phone in (office, *phones.values()):
        assert phone.exchange() == "done"

    fresh = cupboard.open("fresh", whose=ana)
    assert [phone.journal.table("attention") for phone in phones.values()] == [{}, {}, {}]
    assert all(phone.rows == fresh.rows for phone in (office, *phones.values()))
    with owner.connect() as connection:
        now = connection.execute(text("SELECT state, words, unit_id::text, two_values FROM issue")).one()
    assert tuple(now) == ("accepted", "Terminals 3 and 4.", job.units["IU-2"], {})


def test_case_15_a_device_that_was_absent_for_120_days_brings_all_its_work_once(
    cupboard: Cupboard, ana: CastMember, job: Job, owner: Engine
) -> None:
    phone, office = cupboard.open("phone", whose=ana), cupboard.open("office", whose=ana)
    kept = [raise_one(phone, job) for _ in range(3)]
    assert phone.exchange() == "done"
    kept += [raise_one(phone, job) for _ in range(2)]
    phone._ask.is_deaf = True  # type: ignore[attr-defined]
    assert phone.exchange() == "later"  # the server took it, and the phone went into a drawer without knowing

    _days_pass(owner, days=120)
    office = cupboard.open("office", whose=ana)
    kept.append(raise_one(office, job))
    assert office.exchange() == "done"
    with cupboard.app.app_context():
        forgotten = forget_old_receipts()
    phone = cupboard.reopen("phone")
    kept.append(raise_one(phone, job))
    assert phone.exchange() == "signed_out"
    assert len(phone.outbox) == 3, "nothing is thrown away for want of a session"
    assert phone.sign_in(email=ana.email, password=PASSWORD)
    assert phone.exchange() == "done"

    assert forgotten > 0
    assert phone.outbox == {}
    assert lines_of_history(owner, "raised") == sorted(kept)
    assert issues_on(phone) == set(kept)
    assert phone.differing() == []


def _days_pass(owner: Engine, *, days: int) -> None:
    """Everything that the server has a date of is that much older."""
    with owner.begin() as connection:
        for table, column in (("receipt", "at"), ("device_session", "seen_at"), ("device_session", "created_at")):
            connection.execute(text(f'UPDATE {table} SET "{column}" = "{column}" - make_interval(days => {days})'))
