"""Bytes that the store has already are not sent once more, and nobody is handed any that they may not see."""

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, text

from flarenut import cli
from flarenut.photos.disk_store import DiskStore
from flarenut.photos.held import look
from flarenut.photos.kept import PhotoStore
from tests.builders import CastMember, a_job, a_technician, an_issue
from tests.builders.world import World
from tests.server.photos.pictures import picture, sha256_of
from tests.server.photos.sending import CONTENT, all_noted, announce, bring, create, state_of
from tests.server.site import Site, a_site
from tests.server.telling import tell

NAME = sha256_of(CONTENT)

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def store(site: Site, folder: Path) -> DiskStore:
    """What Ana's company keeps."""
    return DiskStore(folder, site.ana.company_id)


@pytest.fixture
def stored(site: Site, photo: str) -> str:
    """Ben's photo of the contractor's issue, with its bytes."""
    assert bring(site.phone, photo, CONTENT).status_code == 201
    return photo


# Two phones, one picture.


def test_the_same_picture_from_a_second_phone_of_the_job_is_not_sent_again(site: Site, issue: str, stored: str) -> None:
    second = announce(site.office, site, CONTENT, issue_id=issue)

    assert second["outcome"] == "applied"
    assert state_of(site, second["photo"]) == ("stored", None)
    for photo in (stored, second["photo"]):
        assert site.phone.get(f"/api/photos/{photo}/full", buffered=True).data == CONTENT


def test_bytes_that_cannot_be_read_are_asked_for_and_the_words_are_taken(
    site: Site, issue: str, stored: str, store: DiskStore
) -> None:
    store.path(NAME).unlink()
    store.path(NAME).symlink_to(store.path(NAME))

    second = announce(site.office, site, CONTENT, issue_id=issue)

    assert second["outcome"] == "applied"
    assert state_of(site, second["photo"]) == ("pending", None)
    assert stored


@pytest.mark.parametrize("changed", [{"size_bytes": len(CONTENT) + 1}, {"sha256": "e" * 64}])
def test_another_size_or_another_hash_is_another_picture(
    site: Site, issue: str, stored: str, changed: dict[str, Any]
) -> None:
    other = announce(site.office, site, CONTENT, issue_id=issue, **changed)

    assert state_of(site, other["photo"]) == ("pending", None)
    assert stored


def test_a_picture_that_is_only_announced_or_was_refused_spares_nobody(site: Site, issue: str, photo: str) -> None:
    beside_pending = announce(site.office, site, CONTENT, issue_id=issue)["photo"]
    junk = b"no photo at all"
    refused = announce(site.phone, site, junk, issue_id=issue)["photo"]
    bring(site.phone, refused, junk)

    beside_refused = announce(site.office, site, junk, issue_id=issue)["photo"]

    assert state_of(site, refused)[0] == "refused"
    assert [state_of(site, one)[0] for one in (photo, beside_pending, beside_refused)] == 3 * ["pending"]


@pytest.mark.parametrize("harm", ["damaged", "missing", "away"])
def test_bytes_that_the_store_cannot_show_whole_are_sent_again(
    site: Site, issue: str, stored: str, store: DiskStore, harm: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    if harm == "away":
        nowhere = {"BUCKET": "none", "ENDPOINT": "http://127.0.0.1:1", "KEY_ID": "x", "KEY_SECRET": "y"}
        for name, value in nowhere.items():
            monkeypatch.setitem(World.app.config, f"FLARENUT_PHOTO_{name}", value)
    elif harm == "missing":
        store.drop(NAME)
    else:
        store.path(NAME).write_bytes(b"damaged")

    second = announce(site.office, site, CONTENT, issue_id=issue)

    assert second["outcome"] == "applied"
    assert state_of(site, second["photo"]) == ("pending", None)
    assert stored


def test_no_job_is_held_and_all_words_are_taken_while_the_store_is_asked(
    site: Site, issue: str, stored: str, owner: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    taken: list[int] = []

    def look_beside(store: PhotoStore, *, sha256: str) -> tuple[str, int]:
        with owner.connect() as other:
            other.execute(text("SELECT 1 FROM job WHERE id = :id FOR UPDATE NOWAIT"), {"id": site.job.id})
            taken.extend(other.scalars(text("SELECT count(*) FROM photo WHERE state = 'pending'")))
        return look(store, sha256=sha256)

    monkeypatch.setattr("flarenut.photos.held.look", look_beside)

    second = announce(site.office, site, CONTENT, issue_id=issue)

    assert second["outcome"] == "applied"
    assert taken == [1]
    assert state_of(site, second["photo"]) == ("stored", None)
    assert stored


# Who is not spared.


def test_another_company_with_the_same_picture_sends_its_own(
    stored: str, client_as: Any, cleo: CastMember, folder: Path
) -> None:
    theirs = a_site(client_as, ana=cleo, ben=a_technician("Chris", company=cleo.company_name))
    issue_id = an_issue(theirs.office, job=theirs.job)

    photo = announce(theirs.office, theirs, CONTENT, issue_id=issue_id)["photo"]
    before = state_of(theirs, photo)
    bring(theirs.office, photo, CONTENT)

    assert before == ("pending", None)
    assert state_of(theirs, photo) == ("stored", None)
    assert DiskStore(folder, cleo.company_id).path(NAME).exists()
    assert stored


def test_another_job_of_the_same_company_sends_its_own(site: Site, stored: str) -> None:
    other = a_job(site.office, visited_by=site.ben)
    elsewhere = Site(office=site.office, phone=site.phone, link=site.link, job=other, ana=site.ana, ben=site.ben)

    photo = announce(site.phone, elsewhere, CONTENT, issue_id=an_issue(site.phone, job=other))["photo"]

    assert state_of(site, photo) == ("pending", None)
    assert stored


def test_a_contractor_is_spared_only_what_they_may_see(site: Site, issue: str, stored: str) -> None:
    own = an_issue(site.phone, job=site.job)
    seen = announce(site.link, site, CONTENT, issue_id=own)["photo"]
    secret = picture((64, 48), colour="#303030")
    others = an_issue(site.phone, job=site.job, who_must_act="technician")
    bring(site.phone, announce(site.phone, site, secret, issue_id=others)["photo"], secret)

    guessed = announce(site.link, site, secret, issue_id=own)["photo"]

    assert state_of(site, seen) == ("stored", None)
    assert state_of(site, guessed) == ("pending", None)
    assert site.link.get(f"/api/photos/{guessed}/full").status_code == 404
    assert stored
    assert issue


def test_a_contractor_who_may_see_it_no_more_sends_their_own(site: Site, issue: str, stored: str) -> None:
    own = an_issue(site.phone, job=site.job)
    tell(site.office, site.job.id, "issue.set", issue, who_must_act="technician")

    photo = announce(site.link, site, CONTENT, issue_id=own)["photo"]

    assert state_of(site, photo) == ("pending", None)
    assert stored


# A database that came back from a backup.


@pytest.fixture
def tidy(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[[], str]:
    """`flarenut photos tidy`, as it runs once a day; what it prints."""
    monkeypatch.setattr(cli, "_app", lambda: World.app)

    def run() -> str:
        capsys.readouterr()
        assert cli.main(["photos", "tidy"]) == 0
        return capsys.readouterr().out

    return run


@pytest.fixture
def forgotten(stored: str, owner: Engine) -> str:
    """Ben's photo, which last night's backup does not know. The store is as it was."""
    with owner.begin() as connection:
        for table in ("upload", "photo"):
            connection.execute(text(f"DELETE FROM {table} WHERE id = :id"), {"id": stored})
        connection.execute(text("DELETE FROM receipt"))
        connection.execute(text("UPDATE lane SET last_seq = last_seq"))
    return stored


def _announced_again(site: Site, photo: str, *, issue: str) -> None:
    fields = {"sha256": NAME, "size_bytes": len(CONTENT), "width_px": 640, "height_px": 480, "issue_id": issue}
    receipt = tell(site.phone, site.job.id, "photo.add", photo, **fields, taken_at="2025-06-02T08:30:00.000Z")
    assert receipt["outcome"] == "applied"


def test_a_photo_that_is_announced_again_finds_the_bytes_that_were_sent_as_it(
    site: Site, issue: str, forgotten: str, tidy: Any
) -> None:
    _announced_again(site, forgotten, issue=issue)
    before = state_of(site, forgotten)
    site.office.pull()

    printed = tidy()

    assert before == ("pending", None)
    assert "known again since a restore: photos 1." in printed
    came = [row for job in site.office.pull() for row in job["rows"] if row["table"] == "photo"]
    assert [row["fields"]["state"] for row in came] == ["stored"]
    assert site.phone.get(f"/api/photos/{forgotten}/full", buffered=True).data == CONTENT
    assert "known again" not in tidy()


def test_a_photo_that_was_only_begun_again_finds_them_too(site: Site, issue: str, forgotten: str, tidy: Any) -> None:
    _announced_again(site, forgotten, issue=issue)
    create(site.phone, forgotten, size_bytes=len(CONTENT), body=CONTENT[:100])

    tidy()

    assert state_of(site, forgotten) == ("stored", None)
    assert bring(site.phone, forgotten, CONTENT).status_code == 201


def test_nobody_finds_bytes_by_their_hash_under_another_id_or_for_another_thing(
    site: Site, issue: str, forgotten: str, tidy: Any
) -> None:
    other_issue = an_issue(site.phone, job=site.job)
    of_another_id = announce(site.phone, site, CONTENT, issue_id=issue)["photo"]
    _announced_again(site, forgotten, issue=other_issue)

    printed = tidy()

    assert "known again" not in printed
    assert [state_of(site, photo)[0] for photo in (of_another_id, forgotten)] == ["pending", "pending"]


def test_bytes_that_are_damaged_are_not_found(
    site: Site, issue: str, forgotten: str, tidy: Any, store: DiskStore
) -> None:
    _announced_again(site, forgotten, issue=issue)
    store.keep(NAME, content=io.BytesIO(b"damaged"))

    printed = tidy()

    assert "known again" not in printed
    assert state_of(site, forgotten) == ("pending", None)


def test_every_stored_photo_has_a_note_of_its_own(site: Site, issue: str, stored: str, store: DiskStore) -> None:
    second = announce(site.office, site, CONTENT, issue_id=issue)["photo"]
    all_noted()

    notes = {kept.name for kept in store.kept() if issue in kept.name}

    assert notes == {f"{NAME}.{photo}.{issue}" for photo in (stored, second)}
