"""Marks drawn on photos: with a new one, on an old one, by whom, and how many."""

from collections.abc import Callable
from typing import Any

import pytest

from flarenut.photos.marks import MOST_MARKS, MOST_POINTS
from tests.builders import CastMember, Phone, a_job, a_mutation, an_issue, push
from tests.server.photos.sending import CONTENT, announce, bring
from tests.server.site import Site
from tests.server.telling import code_of, tell

ARROW = {"tool": "arrow", "points": [[0.1, 0.9], [0.5, 0.5]]}
RING = {"tool": "ring", "points": [[0.0, 0.25], [0.5, 1.0]]}
LINE = {"tool": "line", "points": [[0.1, 0.1], [0.2, 0.15], [0.3, 0.1]]}


def _marks(site: Site, photo: str) -> Any:
    return site.office.rows("photo")[photo]["marks"]


def test_marks_drawn_before_saving_come_with_the_photo_and_reach_the_contractor(site: Site, issue: str) -> None:
    sent = announce(site.phone, site, CONTENT, issue_id=issue, marks=[ARROW, LINE])

    assert sent["outcome"] == "applied"
    assert _marks(site, sent["photo"]) == [ARROW, LINE]
    assert site.link.rows("photo")[sent["photo"]]["marks"] == [ARROW, LINE]


def test_an_app_that_knows_no_marks_still_sends_photos(site: Site, photo: str) -> None:
    assert _marks(site, photo) == []


def test_marks_of_two_people_at_once_are_both_kept(site: Site, photo: str) -> None:
    for phone in (site.phone, site.office, site.link):
        phone.pull()

    first = tell(site.phone, site.job.id, "photo.mark", photo, marks=[ARROW])
    second = tell(site.office, site.job.id, "photo.mark", photo, marks=[RING], base_rev=0)

    assert [first["outcome"], second["outcome"]] == ["applied", "applied"]
    assert _marks(site, photo) == [ARROW, RING]
    news = [row for part in site.link.pull() for row in part["rows"] if row["id"] == photo]
    assert [row["fields"]["marks"] for row in news] == [[ARROW, RING]]


def test_marking_leaves_the_picture_as_the_camera_saw_it(site: Site, photo: str) -> None:
    before = site.office.rows("photo")[photo]
    tell(site.phone, site.job.id, "photo.mark", photo, marks=[RING])

    arrived = bring(site.phone, photo, CONTENT)

    after = site.office.rows("photo")[photo]
    assert arrived.status_code == 201
    assert (after["state"], after["sha256"]) == ("stored", before["sha256"])


def test_a_contractor_marks_their_own_new_photo_and_draws_on_nobody_elses(site: Site, issue: str, photo: str) -> None:
    own = announce(site.link, site, CONTENT, issue_id=issue, marks=[RING])

    receipt = tell(site.link, site.job.id, "photo.mark", photo, marks=[RING])

    assert (own["outcome"], code_of(receipt)) == ("applied", "not_allowed")
    assert _marks(site, photo) == []


def test_nobody_of_another_company_and_no_other_job_marks_a_photo(
    site: Site, photo: str, cleo: CastMember, client_as: Callable[..., Phone]
) -> None:
    theirs = client_as(cleo)

    answer = tell(theirs, a_job(theirs).id, "photo.mark", photo, marks=[RING])
    elsewhere = tell(site.office, a_job(site.office).id, "photo.mark", photo, marks=[RING])

    assert [code_of(answer), code_of(elsewhere)] == ["not_found", "not_found"]
    assert _marks(site, photo) == []


@pytest.mark.parametrize(
    ("mark", "word"),
    [
        ("arrow", "tool"),
        ({**ARROW, "tool": "text"}, "tool"),
        ({**ARROW, "tool": ["arrow"]}, "tool"),
        ({**ARROW, "points": [[0, 0]]}, "points"),
        ({**ARROW, "points": [[0, 0]] * 3}, "2 to 2"),
        ({**LINE, "points": [[0, 0]] * (MOST_POINTS + 1)}, f"2 to {MOST_POINTS}"),
        ({**RING, "points": [[0, 0], [0, 1.01]]}, "between 0 and 1"),
        ({**RING, "points": [[0, 0], [0, True]]}, "between 0 and 1"),
        ({**RING, "points": [[0, 0], [0, 1, 1]]}, "two numbers"),
    ],
)
def test_a_mark_that_cannot_be_drawn_is_told_by_number_and_limit(site: Site, issue: str, mark: Any, word: str) -> None:
    receipt = announce(site.phone, site, CONTENT, issue_id=issue, marks=[ARROW, mark])

    [told] = receipt["detail"]["fields"]["marks"]
    assert receipt["outcome"] == "set_aside"
    assert "mark 2" in told
    assert word in told


def test_a_photo_has_room_for_so_many_marks_and_no_more(site: Site, issue: str) -> None:
    full = announce(site.phone, site, CONTENT, issue_id=issue, marks=[ARROW] * MOST_MARKS)
    over = announce(site.phone, site, CONTENT, issue_id=issue, marks=[ARROW] * (MOST_MARKS + 1))

    later = tell(site.phone, site.job.id, "photo.mark", full["photo"], marks=[RING])

    assert full["outcome"] == "applied"
    assert [code_of(over), code_of(later)] == ["invalid", "too_many_marks"]
    assert str(MOST_MARKS) in later["detail"]["fields"]["marks"][0]


def test_what_a_phone_hides_in_a_mark_is_not_kept(site: Site) -> None:
    issue = an_issue(site.phone, job=site.job)
    added = a_mutation(
        "photo.add", issue_id=issue, sha256="a" * 64, size_bytes=9, width_px=3, height_px=3,
        taken_at="2025-06-02T08:30:00.000Z", marks=[{**ARROW, "more": "x" * 1000}],
    )  # fmt: skip

    push(site.phone, site.job.id, [added])

    assert _marks(site, added["entity"]) == [ARROW]
