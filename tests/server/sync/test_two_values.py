"""Two people set one field without knowing of each other: both values stay until a person picks."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import CastMember, Phone, a_job, a_mutation, a_sheet, an_issue, new_id, push
from tests.builders.jobs import Job

Enter = Callable[..., Phone]


class Site:
    """Ana in the office, Ben in the basement, one unit that both know."""

    def __init__(self, *, office: Phone, phone: Phone, job: Job) -> None:
        self.office, self.phone, self.job = office, phone, job
        self.unit_id = job.units["IU-1"]

    def set(self, phone: Phone, *, base_rev: int, **fields: Any) -> dict[str, Any]:
        """Set fields of the unit, knowing it as of that revision."""
        mutation = a_mutation("unit.set", self.unit_id, base_rev=base_rev, **fields)
        receipt: dict[str, Any] = push(phone, self.job.id, [mutation])["receipts"][0]
        return receipt

    def unit(self) -> dict[str, Any]:
        """The unit as everyone now gets it."""
        return self.office.rows("unit")[self.unit_id]


@pytest.fixture
def site(ana: CastMember, ben: CastMember, client_as: Enter) -> Site:
    """Both have pulled revision 2: the job and Ben's visit."""
    office, phone = client_as(ana), client_as(ben)
    return Site(office=office, phone=phone, job=a_job(office, visited_by=ben))


def test_a_change_that_knew_the_last_one_simply_applies(site: Site) -> None:
    first = site.set(site.office, base_rev=2, room="101")

    second = site.set(site.phone, base_rev=first["rev"], room="102")

    assert second["outcome"] == "applied"
    assert site.unit()["room"] == "102"
    assert site.unit()["two_values"] == {}


def test_the_later_arrival_is_current_and_the_other_value_stays_beside_it(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")

    receipt = site.set(site.phone, base_rev=2, room="102")

    assert receipt["outcome"] == "two_values"
    assert receipt["detail"] == {"fields": ["room"]}
    unit = site.unit()
    assert unit["room"] == "102"
    assert unit["two_values"]["room"]["value"] == "101"
    assert unit["two_values"]["room"]["by_name"] == "Ana"


def test_who_wrote_the_value_that_counts_is_told_beside_the_other(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")

    site.set(site.phone, base_rev=2, room="102")

    other = site.unit()["two_values"]["room"]
    assert (other["by_name"], other["now_by_name"]) == ("Ana", "Ben")
    assert other["at"] <= other["now_at"]


def test_whoever_counts_by_now_is_told_also_where_both_stay(site: Site, ana: CastMember, client_as: Enter) -> None:
    tablet = client_as(ana)
    site.set(site.office, base_rev=2, room="101")
    site.set(site.phone, base_rev=2, room="102")
    site.set(tablet, base_rev=2, room="103")
    of_ana = site.unit()["two_values"]["room"]
    site.set(site.phone, base_rev=2, room="104")

    other = site.unit()["two_values"]["room"]

    assert (of_ana["now_by_name"], "now_by_name" in of_ana["before"]) == ("Ana", False)
    assert (other["now_by_name"], other["by_name"], other["before"]["by_name"]) == ("Ben", "Ana", "Ben")


def test_what_its_author_writes_anew_without_having_seen_both_bears_the_new_time(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")
    site.set(site.phone, base_rev=2, room="102")
    first = site.unit()["two_values"]["room"]

    site.set(site.phone, base_rev=2, room="103")

    other = site.unit()["two_values"]["room"]
    assert (other["value"], other["now_by_name"]) == ("101", "Ben")
    assert other["now_at"] > first["now_at"]


def test_different_fields_of_one_unit_merge(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")

    receipt = site.set(site.phone, base_rev=2, place="ceiling void")

    assert receipt["outcome"] == "merged"
    assert (site.unit()["room"], site.unit()["place"]) == ("101", "ceiling void")
    assert site.unit()["two_values"] == {}


def test_the_same_value_from_both_is_no_conflict(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")

    receipt = site.set(site.phone, base_rev=2, room="101")

    assert receipt["outcome"] == "applied"
    assert site.unit()["two_values"] == {}


def test_a_phones_own_earlier_change_is_no_conflict(site: Site) -> None:
    """Both were made offline, so both build on the same revision."""
    site.set(site.phone, base_rev=2, room="101")

    receipt = site.set(site.phone, base_rev=2, room="102")

    assert receipt["outcome"] == "applied"
    assert site.unit()["room"] == "102"


def test_picking_a_value_ends_the_two(site: Site) -> None:
    site.set(site.office, base_rev=2, room="101")
    seen = site.set(site.phone, base_rev=2, room="102")

    site.set(site.office, base_rev=seen["rev"], room="101")

    assert site.unit()["room"] == "101"
    assert site.unit()["two_values"] == {}


def test_who_has_not_seen_both_does_not_pick(site: Site) -> None:
    """Ben goes on offline after the conflict that he cannot know of."""
    site.set(site.office, base_rev=2, room="101")
    site.set(site.phone, base_rev=2, room="102")

    site.set(site.phone, base_rev=2, room="103")

    assert site.unit()["room"] == "103"
    assert site.unit()["two_values"]["room"]["value"] == "101"


def test_a_third_value_pushes_none_out(site: Site, ana: CastMember, client_as: Enter) -> None:
    tablet = client_as(ana)
    site.set(site.office, base_rev=2, room="101")
    site.set(site.phone, base_rev=2, room="102")

    site.set(tablet, base_rev=2, room="103")

    other = site.unit()["two_values"]["room"]
    assert (site.unit()["room"], other["value"], other["before"]["value"]) == ("103", "102", "101")


def test_a_copied_phone_is_another_device_under_one_sign_in(site: Site) -> None:
    """It took a new device id without signing in anew; what its twin said in the meantime is unseen by it."""
    site.set(site.office, base_rev=2, room="101")
    site.office.device_id = new_id()

    mutation = a_mutation("unit.set", site.unit_id, base_rev=2, room="102")
    receipt = push(site.office, site.job.id, [{**mutation, "seq": 1}])["receipts"][0]

    assert receipt["outcome"] == "two_values"
    assert site.unit()["room"] == "102"
    assert site.unit()["two_values"]["room"]["value"] == "101"


def test_an_issue_that_two_people_move_is_asked_about_once_and_its_system_follows(
    ana: CastMember, ben: CastMember, client_as: Enter
) -> None:
    office, phone = client_as(ana), client_as(ben)
    sheet = a_sheet()
    second = {**sheet["systems"][0], "id": new_id(), "tag": "S2"}
    module = {**sheet["units"][0], "id": new_id(), "tag": "OM-2", "system_id": second["id"]}
    job = a_job(office, visited_by=ben, systems=[*sheet["systems"], second], units=[*sheet["units"], module])
    issue_id = an_issue(phone, job=job, unit_id=job.units["IU-1"])
    push(office, job.id, [a_mutation("issue.set", issue_id, base_rev=3, unit_id=job.units["OM-2"])])

    receipt = push(phone, job.id, [a_mutation("issue.set", issue_id, base_rev=3, unit_id=job.units["IU-2"])])

    assert receipt["receipts"][0]["detail"] == {"fields": ["unit_id"]}
    issue = office.rows("issue")[issue_id]
    assert (issue["unit_id"], issue["system_id"]) == (job.units["IU-2"], sheet["systems"][0]["id"])
    assert list(issue["two_values"]) == ["unit_id"]
