"""The server is restored from last night's backup, and the photos of the day are in its store or on a phone."""

from dataclasses import dataclass
from pathlib import Path

from demo_seed.people import BEN

from tests.faults.deeds import Site
from tests.faults.lanes import new_id
from tests.faults.phone import Phone
from tests.faults.photo_line import PhotoLine
from tests.faults.stack import Stack
from tests.server.photos.pictures import noisy_picture, sha256_of


@dataclass(frozen=True)
class Taken:
    """A photo and its bytes; a phone keeps these only until it is told that they are stored."""

    photo: str
    content: bytes


def _take(phone: Phone, site: Site, *, issue: str, size_px: int) -> Taken:
    content, photo = noisy_picture(size_px), new_id()
    made = {"issue_id": issue, "sha256": sha256_of(content), "size_bytes": len(content), "width_px": size_px}
    made |= {"height_px": size_px, "taken_at": "2025-06-02T08:30:00.000Z"}
    phone.write("photo.add", job=site.job, entity=photo, fields=made)
    return Taken(photo, content)


def _send(stack: Stack, phone: Phone, taken: Taken) -> None:
    line = PhotoLine(phone, photo=taken.photo, content=taken.content)
    assert line.create(stack.server.port, first=len(taken.content)) == (201, len(taken.content))


def _states(stack: Stack, taken: list[Taken]) -> list[str]:
    rows = stack.database.rows("SELECT id::text, state FROM photo")
    found = {row["id"]: row["state"] for row in rows}
    return [found.get(one.photo, "unknown") for one in taken]


def test_case_06_after_a_restore_each_photo_of_the_day_is_stored_again_or_is_known_to_be_waited_for(
    stack: Stack, office: Phone, site: Site, folder: Path, tmp_path: Path
) -> None:
    phone, reader = (stack.phone_of(BEN, folder=folder / name) for name in ("phone", "reader"))
    issue = new_id()
    fields = {"unit_id": site.units[0], "category": "wiring", "words": "x", "who_must_act": "technician"}
    phone.write("issue.raise", job=site.job, entity=issue, fields=fields)
    assert phone.exchange() == "done"
    stack.database.back_up(tmp_path / "backup")
    sent, held, gone = taken = [_take(phone, site, issue=issue, size_px=size) for size in (200, 210, 220)]
    assert phone.exchange() == "done"
    for one in (sent, gone):
        _send(stack, phone, one)
    before = _states(stack, taken)

    stack.stop()
    stack.database.start()
    stack.database.restore(tmp_path / "backup")
    for path in (stack.data / "photos").glob(f"*/??/{sha256_of(gone.content)}"):
        path.unlink()  # The disk of the store lost this one.
    stack.server.start()
    after = _states(stack, taken)
    for one in 3 * [phone, office, reader]:
        assert one.exchange() == "done"
    offered = _states(stack, taken)
    _send(stack, phone, held)
    stack.command("photos", "tidy")
    for one in (phone, office, reader):
        assert one.exchange() == "done"

    assert before == ["stored", "pending", "stored"]
    assert after == 3 * ["unknown"]
    assert offered == 3 * ["pending"]
    assert _states(stack, taken) == ["stored", "stored", "pending"]
    for one in (phone, office, reader):
        assert one.outbox == {}
        assert one.differing() == []
        assert not one.journal.table("attention")
