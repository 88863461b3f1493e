"""The failure cases of sync that need real processes, a wire that loses answers, or another database."""

import random
import re
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from demo_seed.people import BEN

from tests.faults.backoff import FIRST_S, LONGEST_S, TIMER_S, Backoff
from tests.faults.deeds import Site
from tests.faults.journal import Journal
from tests.faults.lanes import new_id
from tests.faults.phone import Phone
from tests.faults.photo_line import PhotoLine
from tests.faults.stack import Stack, a_site_for_all
from tests.faults.wire import over_http
from tests.server.photos.pictures import noisy_picture, sha256_of

TIMES = 20
TEN_MINUTES_S = 600
EMPTY_WITHIN_S = 10


@pytest.fixture
def phone(stack: Stack, site: Site, folder: Path) -> Phone:
    """Ben's, on the wire that may lose answers. It knows the site."""
    assert site.job
    return stack.phone_of(BEN, folder=folder / "phone", port=stack.proxy.port)


@pytest.fixture
def deaf(stack: Stack) -> Any:
    """From now on no answer comes back, until the test or its end heals the wire."""
    yield lambda: setattr(stack.proxy, "lost_share", 1.0)
    stack.proxy.heal()


def _raise(phone: Phone, site: Site, **changed: Any) -> str:
    issue = new_id()
    fields = {"unit_id": site.units[0], "category": "wiring", "words": "x", "who_must_act": "technician"}
    phone.write("issue.raise", job=site.job, entity=issue, fields={**fields, **changed})
    return issue


def _issues(phone: Phone, site: Site) -> set[str]:
    return {key.partition("/")[2] for key, row in phone.rows.items() if key.startswith("issue/") and row[0] == site.job}


def _lines(stack: Stack, site: Site) -> list[str]:
    """One for each time that an issue was raised."""
    query = "SELECT issue_id FROM issue_event WHERE kind = 'raised' AND job_id::text = %s"
    return sorted(str(row["issue_id"]) for row in stack.database.rows(query, (site.job,)))


def _started_again(phone: Phone, port: int) -> Phone:
    """The app was killed; what it knows now is what lies on the phone."""
    phone.journal.close()
    return Phone(Journal(phone.journal.path), ask=over_http(port))


def test_case_02_the_answer_to_a_push_is_lost_20_times_running_with_the_app_killed_between(
    stack: Stack, site: Site, phone: Phone, deaf: Callable[[], None]
) -> None:
    raised = [_raise(phone, site) for _ in range(3)]
    deaf()

    for _ in range(TIMES):
        assert phone.exchange() == "later"
        phone = _started_again(phone, stack.proxy.port)
        assert len(phone.outbox) == len(raised)
    stack.proxy.heal()
    assert phone.exchange() == "done"

    assert phone.outbox == {}
    assert _lines(stack, site) == sorted(raised)
    assert _issues(phone, site) == set(raised)
    assert phone.differing() == []


def test_case_02_the_answers_to_an_uploads_creation_and_last_piece_are_lost_20_times_running(
    stack: Stack, site: Site, phone: Phone, deaf: Callable[[], None]
) -> None:
    content, photo, direct, lossy = noisy_picture(300), new_id(), stack.server.port, stack.proxy.port
    issue, half = _raise(phone, site), len(content) // 2
    made = {"issue_id": issue, "sha256": sha256_of(content), "size_bytes": len(content), "width_px": 300}
    made |= {"height_px": 300, "taken_at": "2025-06-02T08:30:00.000Z"}
    phone.write("photo.add", job=site.job, entity=photo, fields=made)
    assert phone.exchange() == "done"
    line = PhotoLine(phone, photo=photo, content=content)
    before = stack.database.rows("SELECT rev FROM job WHERE id::text = %s", (site.job,))[0]["rev"]
    deaf()

    assert [line.create(lossy, first=half) for _ in range(TIMES)] == [None] * TIMES
    assert line.see(direct) == (200, half)
    assert [line.send(lossy, offset=half) for _ in range(TIMES)] == [None] * TIMES
    stack.proxy.heal()

    assert line.see(lossy) == (200, len(content))
    assert phone.exchange() == "done"
    row = stack.database.rows("SELECT state, sha256 FROM photo WHERE id::text = %s", (photo,))[0]
    after = stack.database.rows("SELECT rev FROM job WHERE id::text = %s", (site.job,))[0]["rev"]
    assert (row["state"], row["sha256"]) == ("stored", sha256_of(content))
    assert after == before + 1, "the photo was finished once"
    assert phone.differing() == []


def test_case_04_two_drainers_send_overlapping_batches_in_opposite_order_at_once(
    stack: Stack, office: Phone, site: Site
) -> None:
    """Whether one worker takes both or two take one each is left to chance, each time anew."""
    other = a_site_for_all(stack, office)
    raised = {one.job: [_raise(office, one) for _ in range(TIMES)] for one in (site, other)}
    answers: list[Any] = []
    start = threading.Barrier(2)

    def send(lanes: list[dict[str, Any]]) -> None:
        body = {"device_id": office.meta["device_id"], "lanes": lanes}
        start.wait()
        answers.append(over_http(stack.server.port)("/api/sync/push", body, office.meta["cookie"]))

    for upto in range(2, TIMES + 1, 2):
        waiting = {job: [_sent(one) for one in office.lane(job)] for job in sorted(raised)}
        one = [{"job_id": job, "mutations": waiting[job][:upto]} for job in waiting]
        two = [{"job_id": job, "mutations": waiting[job][: upto - 1][::-1]} for job in reversed(waiting)]
        drainers = [threading.Thread(target=send, args=(lanes,)) for lanes in (one, two)]
        for drainer in drainers:
            drainer.start()
        for drainer in drainers:
            drainer.join()

    assert [answer[0].status for answer in answers] == [200] * TIMES
    lanes = [lane for answer in answers for lane in answer[0].body["lanes"]]
    assert [lane["error"] for lane in lanes if lane["error"]] == []
    assert {receipt["outcome"] for lane in lanes for receipt in lane["receipts"]} == {"applied"}
    for one_site in (site, other):
        assert _lines(stack, one_site) == sorted(raised[one_site.job])
    assert office.exchange() == "done"
    assert office.outbox == {}
    assert office.differing() == []


def _sent(mutation: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in mutation.items() if name != "job_id"}


@pytest.mark.parametrize("by", ["a dump", "a copy of its files"])
def test_case_06_the_server_is_restored_from_last_nights_backup(
    by: str, stack: Stack, office: Phone, site: Site, folder: Path, tmp_path: Path
) -> None:
    phone, reader = (stack.phone_of(BEN, folder=folder / name) for name in ("phone", "reader"))
    kept = [_raise(phone, site) for _ in range(3)]
    for one in (phone, reader, office):
        assert one.exchange() == "done"
    backup = _back_up(stack, tmp_path, by=by)
    kept += [_raise(phone, site) for _ in range(2)] + [_raise(office, site) for _ in range(2)]
    for one in (phone, office, reader):
        assert one.exchange() == "done"
    said = {"name": "Ana", "reason": "It stays."}
    office.write("issue.accept", job=site.job, entity=kept[3], fields=said)  # which the phone raised
    assert office.exchange() == "done"

    _restore(stack, backup, by=by)
    assert _lines(stack, site) == sorted(kept[:3])
    newcomer = stack.phone_of(BEN, folder=folder / "newcomer")
    kept += [_raise(newcomer, site) for _ in range(9)]  # past where the cursors of the others stand
    for one in 3 * [newcomer, office, phone, reader]:  # who reads of the loss offers its own again in the next round
        assert one.exchange() == "done"

    assert _lines(stack, site) == sorted(kept)
    states = stack.database.rows("SELECT state FROM issue WHERE id::text = %s", (kept[3],))
    assert [row["state"] for row in states] == ["accepted"]
    for one in (newcomer, phone, office, reader):
        assert one.outbox == {}
        assert _issues(one, site) == set(kept)
        assert one.differing() == []
    waiting = "SELECT type FROM set_aside WHERE settled_at IS NULL AND job_id::text = %s"
    assert not stack.database.rows(waiting, (site.job,))


def _back_up(stack: Stack, folder: Path, *, by: str) -> Path:
    if by == "a dump":
        stack.database.back_up(folder / "backup")
    else:
        stack.stop()
        stack.database.copy_files(folder / "backup")
        stack.server.start()
    return folder / "backup"


def _restore(stack: Stack, backup: Path, *, by: str) -> None:
    stack.stop()
    if by == "a dump":
        stack.database.start()
        stack.database.restore(backup)
    else:
        stack.database.put_files_back(backup)
        stack.command("db", "restored")
    stack.server.start()


def test_case_13_requests_arrive_and_answers_do_not_for_ten_minutes_then_the_queue_empties_by_itself(
    stack: Stack, site: Site, phone: Phone, deaf: Callable[[], None], project: Path
) -> None:
    """The phone's clock is the test's; every request is a real one."""
    _check_figures((project / "pwa" / "src" / "sync").resolve())
    raised, backoff, now, tries = [_raise(phone, site) for _ in range(3)], Backoff(random.Random(13)), 0.0, 0
    deaf()

    while now < TEN_MINUTES_S:
        now += backoff.pause(phone.exchange())
        tries += 1
        assert len(phone.outbox) == len(raised)
    stack.proxy.heal()
    healed_at = time.monotonic()

    assert phone.exchange() == "done"
    assert phone.outbox == {}
    assert now - TEN_MINUTES_S + time.monotonic() - healed_at <= EMPTY_WITHIN_S, "its pause, and the round itself"
    assert tries >= TEN_MINUTES_S / LONGEST_S
    assert _lines(stack, site) == sorted(raised)
    assert phone.differing() == []


def _check_figures(sync: Path) -> None:
    """The phone of these tests waits as the app does."""
    said = (sync / "backoff.ts").read_text() + (sync / "drainer.ts").read_text()
    figures = {name: int(ms.replace("_", "")) for name, ms in re.findall(r"const (\w+_MS) = ([\d_]+);", said)}
    assert figures["FIRST_MS"] == FIRST_S * 1000
    assert figures["LONGEST_MS"] == LONGEST_S * 1000
    assert figures["TIMER_MS"] == TIMER_S * 1000
