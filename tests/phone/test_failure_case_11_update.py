"""Failure case 11 of sync: the app is updated with a full outbox while an old tab holds the database."""

from pathlib import Path
from typing import Any

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Page, expect

from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.looking import look_at
from tests.phone.newer_build import NEWER, put_a_newer_store_in_place
from tests.phone.phone import COARSE_PHONE, NEWS_WITHIN_MS, PATIENCE_MS, Phone
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

VERSION_OF_THE_STORE = """async () => {
  const found = await indexedDB.databases();
  return Math.max(...found.filter((one) => one.name.startsWith("flarenut-")).map((one) => one.version));
}"""
ISSUES = ["Drips onto the desk", "Drips into the lamp", "Drips onto the files"]
TYPED = "Drips, and is being typed"


def test_case_11_the_app_is_updated_with_a_full_outbox_while_an_old_tab_holds_the_database(
    demo_of_own_build: Server, own_build: Path, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=demo_of_own_build.origin, kind=COARSE_PHONE, signed_in=BEN)
    places = Places.on(demo_of_own_build.origin)
    log = f"{ben.origin}{places.job}/log?unit={places.units['L2-03']}"
    ben.go("/")
    expect(ben.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    wait_until_offline_ready(ben)
    ben.context.clear_cookies()  # nothing leaves the phone, and it can be updated all the same
    _fill_the_outbox(ben, log=log)
    old, new = ben.page, ben.context.new_page()
    old.goto(log)
    old.get_by_role("radio", name="Drain").check()
    old.get_by_label("In your words").fill(TYPED)
    before = old.evaluate(VERSION_OF_THE_STORE)

    put_a_newer_store_in_place(own_build)
    _take_the_update(new, origin=ben.origin)

    assert before < new.evaluate(VERSION_OF_THE_STORE) == NEWER
    expect(new.get_by_text("Sign in to send it").first).to_be_visible()
    # The old tab, which could neither read nor save any more, has begun anew with what was typed.
    expect(old.get_by_label("In your words")).to_have_value(TYPED, timeout=PATIENCE_MS)
    expect(old.get_by_role("radio", name="Drain")).to_be_checked()
    look_at(old)
    save_issue(old)
    sign_in(ben, person=BEN)

    _everything_arrives(ServerView(demo_of_own_build.origin, person=ANA))


def _everything_arrives(view: ServerView) -> None:
    wanted = sorted([*ISSUES, TYPED])
    rows = view.wait_for("issue", lambda rows: sorted(row["words"] for row in rows if row["words"] in wanted) == wanted)
    with_photo = sorted(row["id"] for row in rows if row["words"] in ISSUES)
    view.wait_for("photo", lambda rows: sorted(_stored(rows, of=with_photo)) == with_photo)


def _stored(photos: list[dict[str, Any]], *, of: list[str]) -> list[str]:
    return [photo["issue_id"] for photo in photos if photo["issue_id"] in of and photo["state"] == "stored"]


def _fill_the_outbox(ben: Phone, *, log: str) -> None:
    page = ben.page
    for words in ISSUES:
        page.goto(log)
        page.get_by_role("radio", name="Drain").check()
        page.get_by_label("In your words").fill(words)
        take_photo(page)
        save_issue(page)
    expect(page.get_by_text("Sign in to send it").first).to_be_visible()


def _take_the_update(page: Page, *, origin: str) -> None:
    page.goto(origin)
    expect(page.get_by_text("A new version is ready.")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(page)
    with page.expect_navigation():
        page.get_by_role("button", name="Take it now").click()
    expect(page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    look_at(page)


HOLD_THE_STORE = """async () => {
  const [{ name, version }] = (await indexedDB.databases()).filter((one) => one.name.startsWith("flarenut-"));
  await new Promise((done) => {
    indexedDB.open(name).onsuccess = ({ target }) => { window.held = target.result; done(); };
  });
  // What a newer app asks for, and cannot have while the old window listens to nobody.
  const newer = indexedDB.open(name, version + 1);
  newer.onupgradeneeded = () => newer.transaction.abort();
}"""


def test_case_11_an_old_window_that_does_not_let_go_of_the_store_is_named_and_the_app_opens_once_it_is_closed(
    demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=demo.origin, kind=COARSE_PHONE)
    sign_in(ben, person=BEN)
    expect(ben.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    old = ben.context.new_page()
    old.goto(f"{demo.origin}/healthz")
    ben.page.goto("about:blank")
    old.evaluate(HOLD_THE_STORE)

    ben.page.goto(demo.origin)

    expect(ben.page.get_by_text("Close every other window of this app")).to_be_visible(timeout=PATIENCE_MS)
    look_at(ben.page)
    old.close()
    expect(ben.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
