"""Bytes of photos: sent in pieces, cut, sent again, judged when whole."""

import datetime as dt
import errno
import io
from typing import Any

import pytest
from sqlalchemy import update

from flarenut.db import db, enter_company
from flarenut.photos.arriving import Stopped, append, take_whole
from flarenut.photos.disk_store import DiskStore
from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from flarenut.photos.tables import Photo, Upload
from flarenut.photos.uploads import Arrival, open_upload
from tests.builders import CastMember
from tests.builders.world import World, behind_the_wall
from tests.server.photos.pictures import enormous_png, picture
from tests.server.photos.sending import (
    CONTENT,
    UPLOADS,
    announce,
    bring,
    checksum,
    create,
    end,
    see,
    send,
    state_of,
)
from tests.server.site import Site


def test_an_announced_photo_is_pending(site: Site, photo: str) -> None:
    assert state_of(site, photo) == ("pending", None)
    assert site.phone.get(f"/api/photos/{photo}/320").status_code == 404


def test_a_photo_sent_at_once_is_stored_and_every_phone_learns_it(site: Site, photo: str) -> None:
    site.office.pull()

    answer = bring(site.phone, photo, CONTENT)

    assert answer.status_code == 201
    assert answer.headers["Upload-Offset"] == str(len(CONTENT))
    rows = [row for part in site.office.pull() for row in part["rows"] if row["table"] == "photo"]
    assert [row["fields"]["state"] for row in rows] == ["stored"]


def test_a_photo_sent_in_pieces_is_stored(site: Site, photo: str) -> None:
    created = create(site.phone, photo, size_bytes=len(CONTENT))
    assert created.headers["Location"].endswith(f"{UPLOADS}/{photo}")
    assert created.headers["Location"].startswith("https://")

    for start in range(0, len(CONTENT), 2_000):
        assert see(site.phone, photo).headers["Upload-Offset"] == str(start)
        answer = send(site.phone, photo, CONTENT[start : start + 2_000], offset=start)
        assert answer.status_code == 204

    assert answer.headers["Upload-Offset"] == str(len(CONTENT))
    assert state_of(site, photo) == ("stored", None)


def test_a_second_create_finds_the_same_upload(site: Site, photo: str) -> None:
    first = create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    second = create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])

    assert second.headers["Location"] == first.headers["Location"]
    assert second.headers["Upload-Offset"] == "1000"


def test_creating_again_after_the_end_changes_nothing(site: Site, photo: str) -> None:
    bring(site.phone, photo, CONTENT)
    before = site.office.rows("photo")

    again = bring(site.phone, photo, CONTENT)

    assert (again.status_code, again.headers["Upload-Offset"]) == (201, str(len(CONTENT)))
    assert see(site.phone, photo).headers["Upload-Offset"] == str(len(CONTENT))
    assert site.office.rows("photo") == before


def test_a_cut_in_the_middle_keeps_what_came(site: Site, photo: str) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT))

    # More is promised than comes: the line is cut after 3,000 bytes.
    promised = {"wsgi.input": io.BytesIO(CONTENT[:3_000]), "CONTENT_LENGTH": str(len(CONTENT))}
    answer = send(site.phone, photo, b"", offset=0, environ=promised)

    assert answer.status_code == 408  # a phone whose line was only silent tries again
    assert see(site.phone, photo).headers["Upload-Offset"] == "3000"
    assert send(site.phone, photo, CONTENT[3_000:], offset=3_000).status_code == 204
    assert state_of(site, photo) == ("stored", None)


def test_another_size_than_announced_is_refused(site: Site, photo: str) -> None:
    assert create(site.phone, photo, size_bytes=len(CONTENT) + 1).status_code == 400
    assert create(site.phone, photo, size_bytes=LARGEST_PHOTO_BYTES + 1).status_code == 413


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_a_damaged_piece_is_forgotten_and_asked_for_again(site: Site, photo: str, algorithm: str) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])
    piece = CONTENT[1_000:2_000]
    said = {"Upload-Checksum": checksum(piece, algorithm=algorithm)}

    damaged = send(site.phone, photo, piece[:-1] + b"!", offset=1_000, headers=said)
    assert damaged.status_code == 460
    assert see(site.phone, photo).headers["Upload-Offset"] == "1000"

    assert send(site.phone, photo, piece, offset=1_000, headers=said).status_code == 204


def test_bytes_damaged_on_their_way_start_again_and_the_third_time_are_refused(site: Site, photo: str) -> None:
    wrong = CONTENT[:-1] + b"!"

    said = [create(site.phone, photo, size_bytes=len(CONTENT), body=wrong).status_code for _ in range(3)]

    assert said == [460, 460, 201]
    state, reason = state_of(site, photo)
    assert state == "refused"
    assert "sha256" in str(reason)


def test_bytes_damaged_once_can_still_arrive(site: Site, photo: str) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:-1] + b"!")
    assert see(site.phone, photo).headers["Upload-Offset"] == "0"

    bring(site.phone, photo, CONTENT)

    assert state_of(site, photo) == ("stored", None)


@pytest.mark.parametrize(
    "content", [b"<html>hello</html>", enormous_png(), picture(form="GIF")], ids=["page", "bomb", "gif"]
)
def test_what_is_no_photo_is_refused_with_a_reason(site: Site, issue: str, content: bytes) -> None:
    photo = announce(site.phone, site, content, issue_id=issue)["photo"]

    assert bring(site.phone, photo, content).status_code == 201

    state, reason = state_of(site, photo)
    assert state == "refused"
    assert reason
    assert site.phone.get(f"/api/photos/{photo}/full").status_code == 404


def test_the_last_answer_lost_the_next_question_finishes(site: Site, photo: str) -> None:
    """As if the server had died between the last byte and the judging."""
    with World.app.test_request_context():
        append(_taken_over(site, photo), piece=CONTENT)
    assert state_of(site, photo) == ("pending", None)

    assert see(site.phone, photo).headers["Upload-Offset"] == str(len(CONTENT))

    assert state_of(site, photo) == ("stored", None)


def test_a_full_disk_loses_nothing_and_the_next_question_finishes(
    site: Site, photo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def is_full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr("flarenut.photos.disk_store.os.fsync", is_full)
        full = bring(site.phone, photo, CONTENT)

    assert (full.status_code, full.get_json()["error"]["code"]) == (503, "store_away")
    assert state_of(site, photo) == ("pending", None)
    assert see(site.phone, photo).headers["Upload-Offset"] == str(len(CONTENT))
    assert state_of(site, photo) == ("stored", None)


def test_a_photo_whose_store_is_away_waits_with_all_that_came(
    site: Site, app: Any, photo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    away = {"BUCKET": "none", "ENDPOINT": "http://127.0.0.1:1", "KEY_ID": "x", "KEY_SECRET": "y"}
    with monkeypatch.context() as no_store:
        for name, value in away.items():
            no_store.setitem(app.config, f"FLARENUT_PHOTO_{name}", value)
        assert bring(site.phone, photo, CONTENT).status_code == 503
    assert state_of(site, photo) == ("pending", None)

    assert see(site.phone, photo).headers["Upload-Offset"] == str(len(CONTENT))

    assert state_of(site, photo) == ("stored", None)


def test_a_newer_request_stops_the_older_one_also_with_all_of_it(site: Site, app: Any, photo: str) -> None:
    with World.app.test_request_context():
        older, newer = _taken_over(site, photo), _taken_over(site, photo)
        store = DiskStore(app.config["FLARENUT_PHOTO_DIR"], site.ana.company_id)

        with pytest.raises(Stopped):
            take_whole(older, content=CONTENT, store=store)
        assert take_whole(newer, content=CONTENT, store=store).is_finished


def test_a_newer_request_stops_the_older_one(site: Site, photo: str) -> None:
    with World.app.test_request_context():
        older, newer = _taken_over(site, photo), _taken_over(site, photo)

        with pytest.raises(Stopped):
            append(older, piece=b"late")
        append(newer, piece=CONTENT[:10])

    assert see(site.phone, photo).headers["Upload-Offset"] == "10"


def test_a_late_piece_that_does_not_fit_is_answered_and_stops_nobody(site: Site, photo: str) -> None:
    with World.app.test_request_context():
        under_way = append(_taken_over(site, photo), piece=CONTENT[:10])

        late = [send(site.phone, photo, CONTENT[:10], offset=offset) for offset in (0, 5, 20)]

        assert [(answer.status_code, answer.headers["Upload-Offset"]) for answer in late] == [(409, "10")] * 3
        append(under_way, piece=CONTENT[10:30])

    assert see(site.phone, photo).headers["Upload-Offset"] == "30"


REFUSED: dict[str, dict[str, Any]] = {
    "too long": {"piece": CONTENT},
    "of an unknown checksum": {"piece": b"x", "headers": {"Upload-Checksum": "md5 AAAA"}},
}


@pytest.mark.parametrize("what", REFUSED)
def test_a_piece_that_is_refused_stops_nobody(site: Site, photo: str, what: str) -> None:
    with World.app.test_request_context():
        under_way = append(_taken_over(site, photo), piece=CONTENT[:10])

        refused = send(site.phone, photo, REFUSED[what]["piece"], offset=10, headers=REFUSED[what].get("headers"))

        assert refused.status_code in (400, 413)
        append(under_way, piece=CONTENT[10:30])

    assert see(site.phone, photo).headers["Upload-Offset"] == "30"


def test_a_piece_whose_answer_was_lost_does_not_count_twice(site: Site, photo: str) -> None:
    with World.app.test_request_context():
        arrival = _taken_over(site, photo)
        append(arrival, piece=CONTENT[:10])

        with pytest.raises(Stopped):
            append(arrival, piece=CONTENT[:10])

    assert see(site.phone, photo).headers["Upload-Offset"] == "10"


def _taken_over(site: Site, photo: str) -> Arrival:
    enter_company(site.ana.company_id)
    return open_upload(db.session.get_one(Photo, photo), said_metadata="", is_writing=False)


def test_cleo_cannot_touch_an_upload(site: Site, photo: str, client_as: Any, cleo: CastMember) -> None:
    stranger = client_as(cleo)
    create(site.phone, photo, size_bytes=len(CONTENT))

    said = [
        create(stranger, photo, size_bytes=len(CONTENT)).status_code,
        see(stranger, photo).status_code,
        send(stranger, photo, CONTENT, offset=0).status_code,
        end(stranger, photo).status_code,
    ]

    assert said == [404] * 4
    assert see(site.phone, photo).headers["Upload-Offset"] == "0"


def test_a_half_sent_photo_that_nobody_asks_for_is_forgotten_and_can_be_sent_anew(
    site: Site, issue: str, photo: str
) -> None:
    create(site.phone, photo, size_bytes=len(CONTENT), body=CONTENT[:1_000])
    with behind_the_wall(site.ana.company_id):
        long_ago = dt.datetime(2025, 1, 1, tzinfo=dt.UTC)
        db.session.execute(update(Upload).values(expires_at=long_ago))
    other = announce(site.phone, site, CONTENT, issue_id=issue)["photo"]

    bring(site.phone, other, CONTENT)

    assert see(site.phone, photo).status_code == 404
    assert create(site.phone, photo, size_bytes=len(CONTENT)).headers["Upload-Offset"] == "0"
    assert state_of(site, photo) == ("pending", None)
