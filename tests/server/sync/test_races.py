"""Several phones at one job at once, each on a connection of its own to a real PostgreSQL."""

import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, event, text

from flarenut.db import db
from tests.builders import CastMember, Phone, a_job, a_mutation, a_sheet, new_id, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]


def _raises(job: Job, *, count: int) -> list[dict[str, Any]]:
    fields = {"unit_id": job.units["IU-1"], "category": "wiring", "words": "x", "who_must_act": "technician"}
    return [a_mutation("issue.raise", **fields) for _ in range(count)]


ENDS_WITHIN_S = 60


def _at_once(*acts: Callable[[], object], within_s: float = ENDS_WITHIN_S) -> None:
    """Run them side by side, and fail if any of them does or does not end."""
    failures: list[BaseException] = []

    def run(act: Callable[[], object]) -> None:
        try:
            act()
        except BaseException as error:  # noqa: BLE001 -- handed to the test's own thread below.
            failures.append(error)

    threads = [threading.Thread(target=run, args=(act,), daemon=True) for act in acts]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=within_s)
    assert not failures, failures
    assert not any(thread.is_alive() for thread in threads), f"still running after {within_s} s"


def test_what_never_ends_is_no_success_of_these_tests() -> None:
    stop = threading.Event()

    with pytest.raises(AssertionError, match="still running"):
        _at_once(stop.wait, within_s=0.1)

    stop.set()


def test_a_third_phone_that_pulls_all_the_while_misses_nothing(ana: CastMember, client_as: Enter) -> None:
    """Two push to one job; the puller's cursor must never step over a row that commits late."""
    writers, reader = [client_as(ana), client_as(ana)], client_as(ana)
    job = a_job(client_as(ana))
    reader.pull()
    batches = {writer.device_id: [_raises(job, count=4) for _ in range(6)] for writer in writers}
    found: set[str] = set()
    is_over = threading.Event()

    def write(writer: Phone) -> None:
        for batch in batches[writer.device_id]:
            push(writer, job.id, batch)

    def write_all() -> None:
        _at_once(*(lambda writer=writer: write(writer) for writer in writers))
        is_over.set()

    def read() -> None:
        is_last = False
        while not is_last:
            is_last = is_over.is_set()
            rows = [row for part in reader.pull(limit=9) for row in part["rows"] if row["table"] == "issue"]
            found.update(row["id"] for row in rows)

    _at_once(write_all, read)
    sent = {raised["entity"] for batches_ in batches.values() for batch in batches_ for raised in batch}
    assert found == sent
    numbers = [issue["number"] for issue in reader.rows("issue").values()]
    assert sorted(numbers) == list(range(1, len(sent) + 1))


def test_a_push_that_is_held_open_hides_nothing_from_who_pulls(
    ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    """A transaction holds the job; the pull answers from before it, and the next one from after."""
    phone, reader = client_as(ana), client_as(ana)
    job = a_job(phone)
    reader.pull()
    raised = _raises(job, count=1)

    with owner.connect() as holder:
        holder.execute(text("SELECT 1 FROM job WHERE id = :id FOR UPDATE"), {"id": job.id})
        pusher = threading.Thread(target=push, args=(phone, job.id, raised))
        pusher.start()
        during = reader.pull()
        pusher.join(timeout=0.5)
        assert pusher.is_alive()
        holder.rollback()
    pusher.join(timeout=20)

    assert during == []
    assert [row["id"] for row in reader.pull()[0]["rows"] if row["table"] == "issue"] == [raised[0]["entity"]]


def test_two_drainers_send_overlapping_batches_and_nothing_comes_twice(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    mutations = _raises(job, count=12)
    for mutation in mutations:
        mutation["seq"] = phone.next_seq(job.id)

    for start in range(0, 12, 4):
        batch = mutations[: start + 4]
        _at_once(lambda batch=batch: push(phone, job.id, batch), lambda batch=batch: push(phone, job.id, batch))

    assert set(phone.rows("issue")) == {mutation["entity"] for mutation in mutations}
    history = phone.rows("issue_event")
    assert len(history) == len(mutations)


def test_one_job_created_by_two_requests_at_once_is_one_job(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    creation, job_id = a_mutation("job.create", **a_sheet()), new_id()
    creation |= {"entity": job_id, "seq": 1}
    answers: list[dict[str, Any]] = []

    _at_once(*[lambda: answers.append(push(phone, job_id, [creation]))] * 4)

    assert [answer["receipts"][0]["outcome"] for answer in answers] == ["applied"] * 4
    assert list(phone.rows("job")) == [job_id]


@pytest.fixture
def impatient() -> Iterator[None]:
    """A lock is waited for less long than 12 s."""

    def hurry(_session: object, _transaction: object, connection: Connection) -> None:
        connection.execute(text("SET LOCAL lock_timeout = '200ms'"))

    event.listen(db.session, "after_begin", hurry)
    yield
    event.remove(db.session, "after_begin", hurry)


@pytest.mark.usefixtures("impatient")
def test_a_job_that_stays_locked_makes_the_lane_busy_and_takes_nothing(
    ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    raised = _raises(job, count=1)

    with owner.connect() as holder:
        holder.execute(text("SELECT 1 FROM job WHERE id = :id FOR UPDATE"), {"id": job.id})
        busy = push(phone, job.id, raised)
        holder.rollback()

    assert busy["error"]["code"] == "busy"
    assert busy["receipts"] == []
    assert push(phone, job.id, raised)["receipts"][0]["outcome"] == "applied"
