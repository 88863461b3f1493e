"""Failure case 7 of sync: access ends with unsent issues and a half-sent photo on the phone, and is granted again."""

from collections.abc import Iterator
from typing import Any

import pytest
from demo_seed.people import ANA, BEN, DEE, DemoPerson
from deploy.screens import Places
from playwright.sync_api import Locator, Page, expect

from tests.faults.database import Database
from tests.phone.attention import attention_of, item_on, look_in_every_way
from tests.phone.conftest import OpenDevice
from tests.phone.cutting_proxy import CuttingProxy
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.photos import camera_photo
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

SENT, UNSENT = "Drips onto the desk", "Drips onto the floor too"
BEGUN, BEGUN_TOO = "Drips when it cools", "Drips at night"
A_PIECE = 150_000  # more than the words of an issue, less than its photo


@pytest.fixture
def wire(own_demo: Server) -> Iterator[CuttingProxy]:
    wire = CuttingProxy(target_port=own_demo.port)
    yield wire
    wire.close()


def test_case_07_access_ends_with_unsent_work_and_a_half_sent_photo_and_nothing_of_either_is_lost(
    own_demo: Server, wire: CuttingProxy, open_device: OpenDevice
) -> None:
    ben, ana = open_device("ben", origin=wire.origin), ServerView(own_demo.origin, person=ANA)
    places = Places.on(own_demo.origin)
    at_the_unit = f"{places.job}/log?unit={places.units['L2-03']}"
    sign_in(ben, person=BEN)
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    _raise(ben, at=at_the_unit, words=SENT, photo=camera_photo(), wire=wire)
    wire.wait_for_a_cut()
    _raise(ben, at=at_the_unit, words=UNSENT)
    assert UNSENT not in _words(ana)

    _visits_go_to(DEE, own_demo)
    wire.heal()

    page = attention_of(ben, count=2)
    _is_kept(page)
    _is_not_called_sent(ben, things=2)
    ben.go("/")
    expect(page.get_by_role("link", name="Needs your attention")).to_be_visible()
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_have_count(0)

    _visits_go_to(BEN, own_demo)

    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible(timeout=NEWS_WITHIN_MS)
    ana.wait_for("photo", lambda rows: _states_of(SENT, photos=rows, ana=ana) == ["stored"])  # by itself
    page = attention_of(ben, count=1)
    item_on(page, name="New issue").get_by_role("button", name="Change and send again").click()
    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible()
    ana.wait_for("issue", lambda rows: [row["words"] for row in rows].count(UNSENT) == 1)
    assert _words(ana).count(SENT) == 1


def test_case_07_what_was_begun_when_access_ended_is_shown_whole_can_be_given_up_and_goes_on_when_it_comes_back(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    places = Places.on(own_demo.origin)
    for unit, words in (("L2-03", BEGUN), ("L2-04", BEGUN_TOO)):
        _begin(ben, at=f"{places.job}/log?unit={places.units[unit]}", words=words)

    _visits_go_to(DEE, own_demo)

    _is_told_where_he_writes(ben)
    page = attention_of(ben, count=2)
    for words in (BEGUN, BEGUN_TOO):
        _is_shown_whole(_begun_on(page, words=words))
    look_in_every_way(page)
    _give_up(page, words=BEGUN_TOO)

    _visits_go_to(BEN, own_demo)

    expect(page.get_by_text("Nothing needs your attention.")).to_be_visible(timeout=NEWS_WITHIN_MS)
    ben.go(f"{places.job}/log?unit={places.units['L2-04']}")
    expect(page.get_by_label("In your words")).to_have_value("")
    ben.go(f"{places.job}/log?unit={places.units['L2-03']}")
    expect(page.get_by_label("In your words")).to_have_value(BEGUN)
    expect(page.get_by_role("button", name="Remove photo 1")).to_be_visible()


def test_case_07_somebody_leaves_the_company_and_their_phone_hands_over_and_lets_go_of_every_job(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben, ana = open_device("ben", origin=own_demo.origin, signed_in=BEN), ServerView(own_demo.origin, person=ANA)
    places = Places.on(own_demo.origin)
    page = ben.page
    ben.go("/")
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    ben.lose_signal()
    ben.turn_to(f"{places.job}/log?unit={places.units['L2-03']}")
    _drips(ben, words=UNSENT)
    save_issue(page)

    _leaves_the_company(BEN, own_demo)
    ben.find_signal()

    ben.go("/")
    expect(page.get_by_role("heading", name="Your access has ended").first).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_have_count(0)
    expect(page.get_by_role("link", name="Sign in")).to_have_count(0)
    look_in_every_way(page)
    page.get_by_role("link", name="Needs your attention").click()
    expect(item_on(page, name="New issue: Set aside").get_by_label("Words")).to_have_value(UNSENT)
    ben.turn_to(places.job)
    expect(page.get_by_role("heading", name="Not on this phone").first).to_be_visible()
    assert UNSENT not in _words(ana)


def _is_told_where_he_writes(ben: Phone) -> None:
    """The form goes under his hands; what he wrote does not, and one press leads to it."""
    expect(ben.page.get_by_role("heading", name="Not on this phone").first).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(ben.page.get_by_text("What you had begun to write is kept on this phone")).to_be_visible()
    expect(ben.page.get_by_role("link", name="Needs your attention")).to_have_attribute("href", "/attention")
    look_in_every_way(ben.page)


def _leaves_the_company(person: DemoPerson, server: Server) -> None:
    with Database(server.data).connect() as connection, connection.cursor() as cursor:
        cursor.execute("UPDATE person SET ended_at = now() WHERE email = %s", (person.email,))


def _drips(ben: Phone, *, words: str) -> None:
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_label("In your words").fill(words)


def _begin(ben: Phone, *, at: str, words: str) -> None:
    ben.go(at)
    _drips(ben, words=words)
    take_photo(ben.page, content=camera_photo())
    ben.wait_for_drafts(lambda drafts: _are_begun(drafts, words=words))


def _are_begun(drafts: list[Any], *, words: str) -> bool:
    """These words last, and of each entry its one photo."""
    begun = [draft["words"] for draft in drafts if "words" in draft]
    return words in begun and sum(len(draft.get("photos", ())) for draft in drafts) == len(begun)


def _begun_on(page: Page, *, words: str) -> Locator:
    return item_on(page, name="New issue: not finished").filter(has_text=words)


def _is_shown_whole(begun: Locator) -> None:
    expect(begun).to_contain_text("You no longer have access to this job")
    expect(begun).to_contain_text("Tern Lane Clinic")
    expect(begun).to_contain_text("Drain")
    expect(begun.get_by_role("img", name="Photo 1")).to_be_visible()


def _give_up(page: Page, *, words: str) -> None:
    begun = _begun_on(page, words=words)
    begun.get_by_role("button", name="Give it up").click()
    asked = page.get_by_role("dialog", name="Give this entry up?")
    expect(asked).to_contain_text("You no longer have access to its job")
    look_at(page)
    asked.get_by_role("button", name="Give it up").click()
    expect(begun).to_have_count(0)


def _raise(ben: Phone, *, at: str, words: str, photo: bytes | None = None, wire: CuttingProxy | None = None) -> None:
    ben.go(at)
    _drips(ben, words=words)
    if photo is not None and wire is not None:
        take_photo(ben.page, content=photo)
        wire.cut_after(A_PIECE)
    save_issue(ben.page)


def _is_kept(page: Page) -> None:
    """Both are named with the job, of which nothing else is left on this phone."""
    unsent, photo = item_on(page, name="New issue: Set aside"), item_on(page, name="Photo: Not sent")
    expect(unsent).to_contain_text("You may not change this job any more. Ask the office.")
    expect(unsent.get_by_label("Words")).to_have_value(UNSENT)
    expect(photo).to_contain_text("It is on this device only.")
    expect(photo.get_by_role("img", name="Photo")).to_be_visible()
    for item in (unsent, photo):
        expect(item).to_contain_text("Tern Lane Clinic")
    look_in_every_way(page)


def _is_not_called_sent(ben: Phone, *, things: int) -> None:
    """Neither beside the cards nor where he signs out."""
    page, untaken = ben.page, f"The office has not taken over {things} things."
    expect(page.get_by_role("status")).to_have_text(f"{untaken} All else is sent.")
    ben.go("/you")
    expect(page.get_by_text(untaken, exact=True)).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    asked = page.get_by_role("dialog", name="Sign out of this device?")
    expect(asked).to_contain_text(untaken)
    expect(page.get_by_text("Everything is sent.")).to_have_count(0)
    look_in_every_way(page)
    asked.get_by_role("button", name="Stay signed in").click()


def _visits_go_to(person: DemoPerson, server: Server) -> None:
    with Database(server.data).connect() as connection, connection.cursor() as cursor:
        whose = "(SELECT id FROM person WHERE email = %s)"
        cursor.execute(f"UPDATE visit SET person_id = {whose}", (person.email,))


def _words(ana: ServerView) -> list[str]:
    return [row["words"] for row in ana.rows("issue")]


def _states_of(words: str, *, photos: list[dict[str, Any]], ana: ServerView) -> list[str]:
    [issue] = [row["id"] for row in ana.rows("issue") if row["words"] == words]
    return [photo["state"] for photo in photos if photo["issue_id"] == issue]
