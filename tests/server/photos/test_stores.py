"""One contract, and every store keeps it: on disk, in S3 inside this process, in S3 over a real line."""

import datetime as dt
import hashlib
import io
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest

from flarenut.photos import s3_store
from flarenut.photos.disk_store import DiskStore, is_writable
from flarenut.photos.kept import NotKept, PhotoStore, StoreAway, rendition_name
from flarenut.photos.s3_store import PART_BYTES, Bucket, S3Store, is_reachable
from tests.server.photos.stores import in_memory_s3, on_disk, s3_on_a_line

OURS, THEIRS = UUID(int=1), UUID(int=2)
SMALL = b"some bytes of a photo"
# Over a line such a content goes in parts: two full ones and a rest.
LARGE = os.urandom(1_000) * ((2 * PART_BYTES + 12_345) // 1_000)
TOMORROW = dt.datetime.now(dt.UTC) + dt.timedelta(days=1)
LONG_AGO = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)


@pytest.fixture(params=[on_disk, in_memory_s3, s3_on_a_line], ids=["disk", "s3_in_memory", "s3_on_a_line"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[PhotoStore]:
    """Each of them in turn, empty."""
    with request.param(tmp_path, OURS) as made:
        yield made


def _name(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def _keep(store: PhotoStore, content: bytes, *, name: str = "") -> str:
    name = name or _name(content)
    store.keep(name, content=io.BytesIO(content))
    return name


def _read(store: PhotoStore, name: str) -> bytes:
    with store.read(name) as content:
        return content.read()


@pytest.mark.parametrize("content", [b"", SMALL, LARGE], ids=["nothing", "small", "large"])
def test_what_is_kept_is_read_as_it_was(store: PhotoStore, content: bytes) -> None:
    name = _keep(store, content)

    assert _read(store, name) == content


def test_whoever_kept_it_can_go_on_reading_what_they_gave(store: PhotoStore) -> None:
    given = io.BytesIO(SMALL)

    store.keep(_name(SMALL), content=given)

    given.seek(0)
    assert given.read() == SMALL


def test_keeping_twice_is_the_same_as_once(store: PhotoStore) -> None:
    name = _keep(store, SMALL)

    _keep(store, SMALL)

    assert [kept.name for kept in store.kept()] == [name]
    assert _read(store, name) == SMALL


def test_damaged_bytes_are_written_over(store: PhotoStore) -> None:
    name = _keep(store, b"damaged", name=_name(SMALL))

    _keep(store, SMALL)

    assert _read(store, name) == SMALL


def test_what_was_never_kept_is_told_as_that(store: PhotoStore) -> None:
    with pytest.raises(NotKept):
        store.read(_name(SMALL))


def test_what_is_dropped_is_gone_and_dropping_it_again_is_no_error(store: PhotoStore) -> None:
    name = _keep(store, SMALL)

    store.drop(name)
    store.drop(name)

    assert list(store.kept()) == []
    with pytest.raises(NotKept):
        store.read(name)


def test_everything_that_is_kept_is_listed_with_its_photo_and_its_time(store: PhotoStore) -> None:
    photo = _keep(store, SMALL)
    smaller = _keep(store, b"smaller", name=rendition_name(photo, side_px=320))

    kept = list(store.kept())

    assert {each.name for each in kept} == {photo, smaller}
    assert {each.sha256 for each in kept} == {photo}
    now = dt.datetime.now(dt.UTC)
    assert all(abs(each.kept_at - now) < dt.timedelta(minutes=5) for each in kept)


def test_more_than_a_page_of_things_is_listed(store: PhotoStore, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(s3_store, "LIST_AT_ONCE", 3)
    names = {_keep(store, str(number).encode()) for number in range(10)}

    assert {each.name for each in store.kept()} == names


def test_another_company_neither_sees_nor_loses_what_is_kept(store: PhotoStore) -> None:
    name = _keep(store, SMALL)
    theirs = S3Store(store.bucket, THEIRS) if isinstance(store, S3Store) else DiskStore(_root(store), THEIRS)

    theirs.drop(name)

    assert list(theirs.kept()) == []
    with pytest.raises(NotKept):
        theirs.read(name)
    assert _read(store, name) == SMALL


def _root(store: PhotoStore) -> Path:
    assert isinstance(store, DiskStore)
    return store.root


def test_a_content_that_breaks_off_keeps_nothing(store: PhotoStore) -> None:
    class BrokenLine(io.BytesIO):
        def read(self, *_size: Any) -> bytes:
            raise ConnectionError

    with pytest.raises((StoreAway, ConnectionError)):
        store.keep(_name(SMALL), content=BrokenLine())

    assert list(store.kept()) == []
    assert store.drop_drafts(before=TOMORROW) == 0


@pytest.mark.parametrize("open_store", [in_memory_s3, s3_on_a_line])
def test_a_large_photo_goes_over_the_line_in_parts(tmp_path: Path, open_store: Any) -> None:
    with open_store(tmp_path, OURS) as store:
        name, small = _keep(store, LARGE), _keep(store, SMALL)

        tags = [
            store._client.head_object(Bucket=store.bucket.name, Key=store._key(each))["ETag"] for each in (name, small)
        ]

    # S3 marks what was joined from parts by their number (Amazon S3 User Guide, checking object integrity).
    assert [tag.strip('"').partition("-")[2] for tag in tags] == ["3", ""]


def _leave_a_draft(store: PhotoStore) -> None:
    """As a server does that is killed while it writes."""
    if isinstance(store, DiskStore):
        path = store.path(_name(SMALL))
        path.parent.mkdir(parents=True)
        path.with_name(f".{path.name}.0123").write_bytes(SMALL[:3])
    else:
        assert isinstance(store, S3Store)
        where = {"Bucket": store.bucket.name, "Key": store._key(_name(SMALL))}
        begun = store._client.create_multipart_upload(**where)
        store._client.upload_part(**where, UploadId=begun["UploadId"], PartNumber=1, Body=SMALL)


def test_what_was_half_written_is_nothing_until_it_is_cleared_away(store: PhotoStore) -> None:
    _leave_a_draft(store)
    assert list(store.kept()) == []

    assert store.drop_drafts(before=LONG_AGO) == 0
    assert store.drop_drafts(before=TOMORROW) == 1
    assert store.drop_drafts(before=TOMORROW) == 0


@pytest.fixture
def done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is synced and named below that folder from now on, in order."""
    done: list[str] = []

    def noting(what: str, act: Callable[..., Any]) -> Callable[..., Any]:
        def acting(*given: Any) -> Any:
            subject = Path(f"/proc/self/fd/{given[0]}").readlink() if what == "sync" else given[1]
            done.append(f"{what} {Path(subject).relative_to(tmp_path)}")
            return act(*given)

        return acting

    monkeypatch.setattr(os, "fsync", noting("sync", os.fsync))
    monkeypatch.setattr(Path, "replace", noting("name", Path.replace))
    return done


def test_on_disk_bytes_are_synced_before_they_get_their_name_and_the_folder_after(
    tmp_path: Path, done: list[str]
) -> None:
    name = _keep(DiskStore(tmp_path / "new", OURS), SMALL)

    draft = next(step for step in done if f"/.{name}." in step)
    folder = f"new/{OURS}/{name[:2]}"
    assert done == ["sync .", "sync new", f"sync new/{OURS}", draft, f"name {folder}/{name}", f"sync {folder}"]


def test_folders_that_somebody_else_has_just_made_are_synced_once_too(tmp_path: Path, done: list[str]) -> None:
    store = DiskStore(tmp_path / "new", OURS)
    store.path(_name(SMALL)).parent.mkdir(parents=True)

    _keep(store, SMALL)
    first = list(done)
    _keep(store, SMALL)

    assert first[:2] == ["sync new", f"sync new/{OURS}"]
    assert [step for step in done[len(first) :] if step in first[:2]] == []


def test_a_full_disk_and_a_store_that_is_away_are_told_as_busy(tmp_path: Path) -> None:
    (tmp_path / "no-folder").write_text("")
    away = Bucket(name="none", endpoint="http://127.0.0.1:1", key_id="x", key_secret="y")

    with pytest.raises(StoreAway):
        _keep(DiskStore(tmp_path / "no-folder", OURS), SMALL)
    with pytest.raises(StoreAway):
        _keep(S3Store(away, OURS), SMALL)

    assert not is_writable(tmp_path / "no-folder")
    assert not is_reachable(away)
    assert is_writable(tmp_path / "folder")
