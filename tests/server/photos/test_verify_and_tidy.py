"""At the desk: every stored photo is hashed again, and what nobody will ask for is cleared away."""

import datetime as dt
import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO

import pytest
from sqlalchemy import func, select, update

from flarenut import cli
from flarenut.db import db
from flarenut.photos.disk_store import DiskStore
from flarenut.photos.kept import rendition_name
from flarenut.photos.tables import Upload, UploadPart
from tests.builders import CastMember, a_technician, an_issue, new_id
from tests.builders.world import World, behind_the_wall
from tests.server.photos.pictures import picture, sha256_of
from tests.server.photos.refusing_bucket import a_bucket_that_gives
from tests.server.photos.sending import CONTENT, announce, bring, create, see, state_of
from tests.server.site import Site, a_site

LONG_AGO = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
NAME = sha256_of(CONTENT)

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def desk(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, str]]:
    """`flarenut photos ...` on the database of this run; its exit code, and what it prints."""
    monkeypatch.setattr(cli, "_app", lambda: World.app)

    def run(*words: str) -> tuple[int, str]:
        capsys.readouterr()
        code = cli.main(["photos", *words])
        return code, capsys.readouterr().out

    return run


@pytest.fixture
def stored(site: Site, photo: str) -> str:
    """A photo that has arrived."""
    assert bring(site.phone, photo, CONTENT).status_code == 201
    return photo


@pytest.fixture
def store(site: Site, folder: Path) -> DiskStore:
    """What Ana's company keeps."""
    return DiskStore(folder, site.ana.company_id)


def test_photos_as_they_were_sent_are_reported_so(stored: str, desk: Any) -> None:
    assert desk("verify") == (0, "Every stored photo is as it was sent: 1.\n")
    assert stored


def test_a_damaged_and_a_missing_photo_are_each_named(
    site: Site, issue: str, stored: str, desk: Any, store: Any
) -> None:
    whole, other = picture((64, 48), colour="#f0f0f0"), picture((64, 48), colour="#101010")
    bring(site.phone, announce(site.phone, site, whole, issue_id=issue)["photo"], whole)
    lost = announce(site.phone, site, other, issue_id=issue)["photo"]
    bring(site.phone, lost, other)
    with store.path(NAME).open("r+b") as file:
        file.write(b"!")
    store.drop(sha256_of(other))

    code, printed = desk("verify")

    assert code == 1
    where = f"job {site.job.id}\tcompany {site.ana.company_id}"
    assert {f"damaged\tphoto {stored}\t{where}", f"missing\tphoto {lost}\t{where}"} <= set(printed.splitlines())
    assert "2 damaged or missing, of 3.\nBring them back" in printed
    assert state_of(site, stored) == ("stored", None)
    assert site.phone.get(f"/api/photos/{lost}/full").get_json()["error"]["code"] == "photo_lost"


# What opening or reading such a file ends in: too many links, and an error of the disk.
UNREADABLE = {"cannot be opened": "itself", "cannot be read": "/proc/self/mem"}


def _make_unreadable(store: DiskStore, name: str, *, how: str) -> None:
    path = store.path(name)
    path.unlink()
    path.symlink_to(path if UNREADABLE[how] == "itself" else UNREADABLE[how])


@pytest.mark.parametrize("how", UNREADABLE)
def test_a_photo_that_cannot_be_read_is_named_and_the_others_are_checked_all_the_same(
    how: str, site: Site, issue: str, stored: str, desk: Any, store: DiskStore
) -> None:
    others = [picture((64, 48), colour=colour) for colour in ("#404040", "#505050")]
    for other in others:
        bring(site.phone, announce(site.phone, site, other, issue_id=issue)["photo"], other)
    _make_unreadable(store, NAME, how=how)

    code, printed = desk("verify", "--ask-again")

    assert code == 1
    assert f"damaged\tphoto {stored}\t" in printed
    assert "1 damaged or missing, of 3." in printed
    assert bring(site.phone, stored, CONTENT).headers["Upload-Offset"] == str(len(CONTENT))
    assert desk("verify") == (0, "Every stored photo is as it was sent: 3.\n")


def test_a_phone_that_still_has_a_lost_photo_can_send_it_again(site: Site, stored: str, desk: Any, store: Any) -> None:
    store.path(NAME).write_bytes(b"damaged")
    site.office.pull()

    assert desk("verify", "--ask-again")[0] == 1

    pulled = [row["fields"]["state"] for job in site.office.pull() for row in job["rows"] if row["table"] == "photo"]
    assert pulled == ["pending"]
    assert see(site.phone, stored).status_code == 404
    assert bring(site.phone, stored, CONTENT).headers["Upload-Offset"] == str(len(CONTENT))
    assert state_of(site, stored) == ("stored", None)
    assert desk("verify")[0] == 0


def test_a_folder_that_is_not_there_is_a_store_that_is_away_and_no_photo_is_asked_for(
    site: Site, stored: str, desk: Any, folder: Path
) -> None:
    folder.rename(folder.with_name("elsewhere"))

    code, printed = desk("verify", "--ask-again")

    assert (code, state_of(site, stored)) == (3, ("stored", None))
    assert "The store was away: 1 of 1 could not be looked at." in printed
    shown = site.phone.get(f"/api/photos/{stored}/full")
    assert (shown.status_code, shown.get_json()["error"]["code"]) == (503, "store_away")


@pytest.mark.parametrize("why", [errno.ESTALE, errno.EMFILE, errno.ENFILE, errno.ENOTCONN], ids=errno.errorcode.get)
def test_a_fault_that_is_not_of_the_photo_says_nothing_about_it(
    why: int, site: Site, stored: str, desk: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_store: DiskStore, _name: str) -> BinaryIO:
        raise OSError(why, os.strerror(why))

    monkeypatch.setattr(DiskStore, "read", broken)

    code, printed = desk("verify", "--ask-again")

    assert (code, state_of(site, stored)) == (3, ("stored", None))
    assert f"away\tphoto {stored}\t" in printed
    assert "damaged" not in printed


@pytest.mark.parametrize("asked", [[], ["--ask-again"]], ids=["checked", "asked again"])
def test_where_no_photo_at_all_is_found_whole_the_folder_is_doubted_and_none_is_asked_for_again(
    asked: list[str], site: Site, issue: str, stored: str, desk: Any, folder: Path
) -> None:
    other = picture((64, 48), colour="#606060")
    second = announce(site.phone, site, other, issue_id=issue)["photo"]
    bring(site.phone, second, other)
    folder.rename(folder.with_name("elsewhere"))
    folder.mkdir()

    code, printed = desk("verify", *asked)

    assert code == 3
    assert "2 damaged or missing, of 2.\nNot one photo was found whole." in printed
    assert "Bring them back" not in printed
    assert [state_of(site, photo) for photo in (stored, second)] == [("stored", None)] * 2


def test_photos_of_every_company_are_checked(
    stored: str, desk: Any, client_as: Any, cleo: CastMember, folder: Path
) -> None:
    theirs = a_site(client_as, ana=cleo, ben=a_technician("Chris", company=cleo.company_name))
    office = theirs.office
    photo = announce(office, theirs, CONTENT, issue_id=an_issue(office, job=theirs.job))["photo"]
    bring(office, photo, CONTENT)
    assert desk("verify")[1] == "Every stored photo is as it was sent: 2.\n"

    DiskStore(folder, cleo.company_id).drop(NAME)

    code, printed = desk("verify")
    assert (code, f"missing\tphoto {photo}\tjob {theirs.job.id}\tcompany {cleo.company_id}" in printed) == (1, True)
    assert stored not in printed


def _aged(store: DiskStore, name: str) -> None:
    os.utime(store.path(name), (LONG_AGO.timestamp(), LONG_AGO.timestamp()))


def _put(store: DiskStore, name: str) -> str:
    path = store.path(name)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(b"of no photo")
    _aged(store, name)
    return name


def test_what_no_photo_names_is_cleared_away_and_everything_else_stays(
    site: Site, issue: str, stored: str, desk: Any, store: DiskStore
) -> None:
    pending = picture((64, 48), colour="#202020")
    announce(site.phone, site, pending, issue_id=issue)
    named = [_put(store, rendition_name(NAME, side_px=320)), _put(store, sha256_of(pending))]
    _aged(store, NAME)
    fresh = _put(store, "ee" * 32)
    os.utime(store.path(fresh))
    orphans = [_put(store, "aa" * 32), _put(store, rendition_name("aa" * 32, side_px=320)), _put(store, "bb" * 32)]
    draft = store.path(NAME).parent / f".{NAME}.0123"
    draft.write_bytes(b"half")
    os.utime(draft, (LONG_AGO.timestamp(), LONG_AGO.timestamp()))

    code, printed = desk("tidy")

    assert (code, printed) == (0, "Cleared away: expired uploads 0, files of no photo 3, half written 1.\n")
    left = {kept.name for kept in store.kept()}
    assert left & set(orphans) == set()
    assert left >= {NAME, fresh, *named}
    assert not draft.exists()
    assert site.phone.get(f"/api/photos/{stored}/full", buffered=True).data == CONTENT
    assert desk("tidy")[1] == "Cleared away: expired uploads 0, files of no photo 0, half written 0.\n"


def test_bytes_of_a_photo_that_was_set_aside_stay_until_its_author_has_dealt_with_it(
    site: Site, desk: Any, store: DiskStore
) -> None:
    """It had arrived before a restore; then its phone was told that the job is not among theirs."""
    kept = _put(store, NAME)
    aside = announce(site.phone, site, CONTENT, issue_id=new_id())

    waiting = desk("tidy")[1]
    there = store.path(kept).exists()
    site.phone.post("/api/set-aside/settled", json={"ids": [aside["id"]]})
    settled = desk("tidy")[1]

    assert (aside["outcome"], there) == ("refused", True)
    assert "files of no photo 0" in waiting
    assert "files of no photo 1" in settled


def test_expired_uploads_go_with_what_has_arrived_and_their_photos_stay(
    site: Site, photo: str, stored: str, issue: str, desk: Any
) -> None:
    other = picture(colour="#303030")
    half = announce(site.phone, site, other, issue_id=issue)["photo"]
    create(site.phone, half, size_bytes=len(other), body=other[:1_000])
    with behind_the_wall(site.ana.company_id):
        db.session.execute(update(Upload).values(expires_at=LONG_AGO))

    assert desk("tidy")[1] == "Cleared away: expired uploads 2, files of no photo 0, half written 0.\n"

    with behind_the_wall(site.ana.company_id):
        left = [db.session.scalar(select(func.count()).select_from(table)) for table in (Upload, UploadPart)]
    assert left == [0, 0]
    assert (state_of(site, stored), state_of(site, half)) == (("stored", None), ("pending", None))
    assert bring(site.phone, half, other).headers["Upload-Offset"] == str(len(other))
    assert photo == stored


def _kept_in_a_bucket(app: Any, monkeypatch: pytest.MonkeyPatch, *, endpoint: str) -> None:
    told = {"BUCKET": "photos", "ENDPOINT": endpoint, "KEY_ID": "x", "KEY_SECRET": "y"}
    for name, value in told.items():
        monkeypatch.setitem(app.config, f"FLARENUT_PHOTO_{name}", value)


def test_a_store_that_is_away_is_said_plainly(
    app: Any, stored: str, desk: Any, monkeypatch: pytest.MonkeyPatch, capsys: Any
) -> None:
    _kept_in_a_bucket(app, monkeypatch, endpoint="http://127.0.0.1:1")

    code, printed = desk("verify")

    assert code == 3
    assert printed.splitlines()[-1] == (
        "The store was away: 1 of 1 could not be looked at. Nothing is known of these; run it again."
    )
    assert "damaged" not in printed
    assert cli.main(["photos", "tidy"]) == 1
    assert "store_away" in capsys.readouterr().err
    assert stored


def test_a_photo_that_the_store_does_not_give_is_named_and_the_others_are_checked_all_the_same(
    app: Any, site: Site, issue: str, stored: str, desk: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, damaged = (picture((64, 48), colour=colour) for colour in ("#404040", "#505050"))
    ids = [announce(site.phone, site, other, issue_id=issue)["photo"] for other in (whole, damaged)]
    for photo, content in zip(ids, (whole, damaged), strict=True):
        bring(site.phone, photo, content)
    given = {sha256_of(whole): whole, sha256_of(damaged): b"something else", NAME: None}

    with a_bucket_that_gives(given) as endpoint:
        _kept_in_a_bucket(app, monkeypatch, endpoint=endpoint)
        code, printed = desk("verify")
        given[sha256_of(damaged)] = damaged
        code_when_mended, _ = desk("verify")

    assert (code, code_when_mended) == (1, 3)
    where = f"job {site.job.id}\tcompany {site.ana.company_id}"
    assert {f"away\tphoto {stored}\t{where}", f"damaged\tphoto {ids[1]}\t{where}"} <= set(printed.splitlines())
    assert "1 damaged or missing, of 3." in printed
    assert "The store was away: 1 of 3 could not be looked at." in printed


def test_a_store_that_is_away_again_and_again_is_not_asked_for_every_photo(
    app: Any, site: Site, issue: str, stored: str, desk: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    others = [picture((64, 48), colour=f"#{number}{number}{number}") for number in range(5)]
    for other in others:
        bring(site.phone, announce(site.phone, site, other, issue_id=issue)["photo"], other)
    given = dict.fromkeys([NAME, *map(sha256_of, others)])

    with a_bucket_that_gives(given) as endpoint:
        _kept_in_a_bucket(app, monkeypatch, endpoint=endpoint)
        code, printed = desk("verify")

    assert (code, printed.count("away\tphoto")) == (3, 3)
    assert "The store was away: 6 of 6 could not be looked at." in printed
    assert stored
