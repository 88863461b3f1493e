"""What may be said about a photo before its bytes arrive, and by whom."""

from typing import Any

import pytest

from flarenut.photos.shapes import LARGEST_PHOTO_BYTES
from tests.builders import an_issue
from tests.server.photos.sending import CONTENT, announce, bring, state_of
from tests.server.site import Site
from tests.server.telling import code_of, tell


def test_a_photo_belongs_to_exactly_one_thing(site: Site, issue: str) -> None:
    neither = announce(site.phone, site, CONTENT)
    both = announce(site.phone, site, CONTENT, issue_id=issue, unit_id=site.job.units["IU-1"])

    assert [code_of(neither), code_of(both)] == ["one_owner", "one_owner"]
    assert site.office.rows("photo") == {}


def test_a_contractor_sends_photos_of_their_own_issues_only(site: Site, issue: str) -> None:
    others = an_issue(site.phone, job=site.job, who_must_act="customer")

    theirs = announce(site.link, site, CONTENT, issue_id=issue)

    assert theirs["outcome"] == "applied"
    assert bring(site.link, theirs["photo"], CONTENT).status_code == 201
    assert state_of(site, theirs["photo"]) == ("stored", None)
    assert code_of(announce(site.link, site, CONTENT, issue_id=others)) == "not_found"
    assert code_of(announce(site.link, site, CONTENT, unit_id=site.job.units["IU-1"])) == "not_your_photo"


@pytest.mark.parametrize(
    ("field", "said"),
    [
        ("sha256", "ABC"),
        ("size_bytes", 0),
        ("size_bytes", LARGEST_PHOTO_BYTES + 1),
        ("width_px", "wide"),
        ("taken_at", 7),
    ],
)
def test_an_announcement_that_cannot_be_understood_names_the_field(
    site: Site, issue: str, field: str, said: Any
) -> None:
    receipt = announce(site.phone, site, CONTENT, issue_id=issue, **{field: said})

    assert receipt["outcome"] == "set_aside"
    assert list(receipt["detail"]["fields"]) == [field]


def test_photos_go_with_the_issue_that_is_given_to_someone_else(site: Site, issue: str, photo: str) -> None:
    site.link.pull()

    tell(site.phone, site.job.id, "issue.set", issue, who_must_act="customer")

    gone = {removal["id"] for part in site.link.pull() for removal in part["removals"]}
    assert photo in gone
