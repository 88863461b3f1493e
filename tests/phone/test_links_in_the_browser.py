"""A contractor's link that is over, or rests: what its holder sees, and how what they have not sent arrives."""

import json
import re
from typing import Any

from demo_seed.people import ANA, CONTRACTOR, CONTRACTOR_FIRM
from deploy.screens import Places
from playwright.sync_api import Locator, Page, Route, expect

from flarenut.people.sessions import token_hash
from tests.faults.database import Database
from tests.phone.conftest import OpenDevice
from tests.phone.entering import wait_until_offline_ready
from tests.phone.looking import GLOVE_PX, MOUSE_PX, look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_office import make_a_link
from tests.phone.the_visit import take_photo

PAT = "Pat Placeholder"
LEE = "Lee Placeholder"
ENDED = "This link has ended"
UNKNOWN = "This link does not work"
PULL = re.compile(r"/api/sync/pull")
AGAIN_WITHIN_MS = 15_000  # it waits 6 s at most before it asks again; a timer alone would take 20 s
AGAIN = "Open your link again"
WORDS = "Tail made new and tightened"
# Of a link's store: how many records there are of each kind, but for what says how the phone is set.
COUNT_RECORDS = """async () => {
  const counts = {};
  for (const { name } of (await indexedDB.databases()).filter(({ name }) => /^flarenut-.{36}$/.test(name))) {
    const store = await new Promise((opened, failed) => {
      const asked = indexedDB.open(name);
      asked.onsuccess = () => opened(asked.result);
      asked.onerror = () => failed(asked.error);
    });
    counts[name] = 0;
    for (const table of store.objectStoreNames) {
      const asked = store.transaction(table).objectStore(table).count();
      counts[name] += await new Promise((done) => { asked.onsuccess = () => done(asked.result); });
    }
    store.close();
  }
  return Object.values(counts);
}"""


# No room for a photo until that is taken away: the browser ends the transaction, whatever else is in it.
FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  window.__makeRoom = () => { IDBObjectStore.prototype.put = put; };
  IDBObjectStore.prototype.put = function (...what) {
    if (this.name === "photos_full") throw new DOMException("", "QuotaExceededError");
    return put.apply(this, what);
  };
}"""
ROOM_AGAIN = "() => window.__makeRoom()"


def _open_the_office(ana: Phone, *, job: str) -> None:
    ana.go(f"{job}/office")
    expect(ana.page.get_by_role("heading", name="Links for the contractor")).to_be_visible()


def _open(holder: Phone, *, address: str) -> None:
    holder.page.goto(address)
    expect(holder.page.get_by_role("heading", name="Before the return")).to_be_visible()
    expect(holder.page.get_by_text(ENDED)).to_have_count(0)


def _waits_for_an_office_that_does_not_answer(holder: Phone, *, address: str) -> None:
    """The link opens, and its job does not come: that is said, and goes on by itself."""
    holder.context.route(PULL, _does_not_answer)
    holder.page.goto(address)
    expect(holder.page.get_by_text("The office does not answer. It is tried again by itself.")).to_be_visible()
    look_at(holder.page)
    holder.context.unroute(PULL, _does_not_answer)
    expect(holder.page.get_by_role("heading", name="Before the return")).to_be_visible(timeout=AGAIN_WITHIN_MS)


def _does_not_answer(route: Route) -> None:
    route.fulfill(status=503, body="")


def _tap_again(holder: Phone, *, address: str) -> None:
    """In the message where it came, as people do, and not in what is open already."""
    holder.page.goto("about:blank")
    holder.page.goto(address)


def _line(page: Page, *, recipient: str) -> Locator:
    return page.get_by_role("listitem").filter(has_text=recipient)


def _ask_to_withdraw(page: Page, *, recipient: str, least_px: int) -> Locator:
    """It cannot be taken back, so it is asked once more."""
    page.get_by_role("button", name=f"Withdraw the link of {recipient}").click()
    asked = page.get_by_role("dialog", name="Withdraw this link?")
    expect(asked).to_contain_text(f"{recipient} can no longer open the job. Answers already sent stay.")
    look_at(page, least_px=least_px)
    return asked


def _think_again(page: Page, *, recipient: str, least_px: int) -> None:
    asked = _ask_to_withdraw(page, recipient=recipient, least_px=least_px)
    asked.get_by_role("button", name="Cancel").click()
    expect(asked).to_have_count(0)
    expect(_line(page, recipient=recipient)).to_contain_text("Works until")


def _withdraw(page: Page, *, recipient: str, least_px: int) -> None:
    asked = _ask_to_withdraw(page, recipient=recipient, least_px=least_px)
    asked.get_by_role("button", name="Withdraw", exact=True).click()
    expect(asked).to_have_count(0)
    _is_over(_line(page, recipient=recipient), words="Withdrawn")


def _is_over(line: Locator, *, words: str) -> None:
    """The list says so, and there is nothing left to withdraw."""
    expect(line).to_contain_text(words)
    expect(line.get_by_role("button")).to_have_count(0)


def _is_shut_out_but_may_read_on(holder: Phone) -> None:
    """Plain words, whom to ask, and what is on the device already stays readable."""
    page = holder.page
    expect(page.get_by_text(ENDED)).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(page.get_by_text(re.compile("It ran out or was withdrawn. Ask .+ for a new one."))).to_be_visible()
    expect(page.get_by_text(f"For {CONTRACTOR_FIRM}")).to_be_visible()
    expect(page.get_by_text("link ends")).to_have_count(0)  # it has ended already, whatever day it was made for
    expect(page.get_by_role("heading", name="Before the return")).to_be_visible()
    look_at(page)


def _does_not_open(holder: Phone, *, address: str) -> None:
    """On a device that never held it: nothing of the job, and what to do."""
    page = holder.page
    page.goto(address)
    expect(page.get_by_role("heading", name=UNKNOWN)).to_be_visible()
    expect(page.get_by_text("it ran out, or it was withdrawn")).to_be_visible()
    expect(page.get_by_text("Tern Lane Clinic")).to_have_count(0)
    assert "#" not in page.url, "The secret of a link that does not work must not stay in the address bar."
    look_at(page)


def test_a_withdrawn_link_shuts_out_its_holder_and_nobody_else(
    own_demo: Server, open_desk: OpenDevice, open_device: OpenDevice
) -> None:
    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    pat, lee, other = (open_device(name, origin=own_demo.origin, has_app=True) for name in ("pat", "lee", "other"))
    _open_the_office(ana, job=Places.on(own_demo.origin).job)
    to_pat, to_lee = (make_a_link(ana, recipient=name) for name in (PAT, LEE))
    expect(_line(ana.page, recipient=PAT)).to_contain_text("not opened yet")
    _open(pat, address=to_pat)
    _waits_for_an_office_that_does_not_answer(lee, address=to_lee)

    _think_again(ana.page, recipient=PAT, least_px=MOUSE_PX)
    _withdraw(ana.page, recipient=PAT, least_px=MOUSE_PX)

    expect(_line(ana.page, recipient=LEE)).to_contain_text("Works until")
    expect(_line(ana.page, recipient=LEE)).to_contain_text("last opened")
    look_at(ana.page, least_px=MOUSE_PX)
    _is_shut_out_but_may_read_on(pat)
    _tap_again(pat, address=to_pat)
    _is_shut_out_but_may_read_on(pat)
    _does_not_open(other, address=to_pat)
    lee.page.reload()
    _open(lee, address=to_lee)
    look_at(lee.page)


def test_a_link_that_has_run_out_shuts_out_its_holder_and_opens_nowhere(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ana = open_device("ana", origin=own_demo.origin, signed_in=ANA)
    kim, other = (open_device(name, origin=own_demo.origin, has_app=True) for name in ("kim", "other"))
    secret = json.loads((own_demo.data / "demo.json").read_text())["link_secret"]
    address = f"{own_demo.origin}/answer#{secret}"
    _open(kim, address=address)

    _let_run_out(own_demo, secret=secret)

    _is_shut_out_but_may_read_on(kim)
    _does_not_open(other, address=address)
    _open_the_office(ana, job=Places.on(own_demo.origin).job)
    # The demo made them two links; the newer one still works.
    _is_over(_line(ana.page, recipient=CONTRACTOR).filter(has_text="Ended"), words="Ended")
    expect(_line(ana.page, recipient=CONTRACTOR).filter(has_text="Works until")).to_have_count(1)
    make_a_link(ana, recipient=PAT)
    _think_again(ana.page, recipient=PAT, least_px=GLOVE_PX)
    look_at(ana.page)


def _let_run_out(server: Server, *, secret: str) -> None:
    """As time would: nobody can ask for a link that ends sooner than in a day."""
    ended = Database(server.data).rows(
        "WITH over AS (UPDATE contractor_link SET expires_at = now() - interval '1 minute'"
        " WHERE secret_hash = %s RETURNING id)"
        " UPDATE link_session SET expires_at = now() - interval '1 minute'"
        " WHERE link_id IN (SELECT id FROM over) RETURNING link_id",
        (token_hash(secret),),
    )
    assert len({session["link_id"] for session in ended}) == 1


def _answer_with_a_photo(holder: Phone) -> str:
    """To the first issue that is open; its id."""
    page = holder.page
    page.get_by_role("link", name=re.compile("^Answer issue")).click()
    expect(page.get_by_role("heading", name="Your answer")).to_be_visible()
    issue_id = page.url.rpartition("/")[2]
    take_photo(page)
    page.get_by_role("radio", name="Yes, fixed").check()
    page.get_by_label("Words").fill(WORDS)
    page.get_by_role("button", name="Save answer").click()
    expect(page.get_by_text("Saved on this phone", exact=True)).to_be_visible()
    page.get_by_role("link", name="Back to the list").click()
    return issue_id


def _arrives_once(view: ServerView, *, issue_id: str, by: str) -> None:
    """The words and, whole, the photo."""
    view.wait_for("photo", lambda rows: any(_is_of(row, issue_id, by=by) and row["state"] == "stored" for row in rows))
    said = [row for row in view.rows("issue_event") if row["words"] == WORDS]
    assert [(row["issue_id"], row["kind"], row["by_name"]) for row in said] == [(issue_id, "answered", by)]
    assert len([row for row in view.rows("photo") if _is_of(row, issue_id, by=by)]) == 1


def _is_of(row: dict[str, Any], issue_id: str, *, by: str) -> bool:
    return bool(row["issue_id"] == issue_id and row["by_name"] == by)


def _answers_when_the_link_is_over(pat: Phone, ana: Phone, *, address: str) -> str:
    """With no signal, while the office withdraws the link; with signal they are told whom to ask."""
    _open(pat, address=address)
    wait_until_offline_ready(pat)
    pat.lose_signal()
    _tap_again(pat, address=address)
    expect(pat.page.get_by_role("heading", name="Before the return")).to_be_visible()
    _withdraw(ana.page, recipient=PAT, least_px=MOUSE_PX)
    issue_id = _answer_with_a_photo(pat)
    pat.find_signal()
    expect(pat.page.get_by_text("The link has ended. Open a new one to send it.")).to_be_visible(timeout=NEWS_WITHIN_MS)
    _is_shut_out_but_may_read_on(pat)
    return issue_id


def _is_told_what_had_no_room(page: Page, *, view: ServerView) -> None:
    """The photo; their words have arrived."""
    stuck = page.get_by_text("Some of your work is still under your earlier link")
    expect(stuck).to_be_visible()
    view.wait_for("issue_event", lambda rows: any(row["words"] == WORDS for row in rows))
    expect(page.get_by_text("No change, 1 photo, no half-written entry.")).to_be_visible()
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("alert").filter(has_text="There is still no room for it.")).to_be_visible()
    expect(stuck).to_be_visible()
    look_at(page)


def _is_led_from_an_older_link_to_the_newer(pat: Phone, *, address: str) -> None:
    page = pat.page
    _tap_again(pat, address=address)
    expect(page.get_by_role("heading", name=UNKNOWN)).to_be_visible()
    look_at(page)
    page.get_by_role("button", name="Go on with the link that was opened here").click()
    expect(page.get_by_role("heading", name="Before the return")).to_be_visible()
    expect(page.get_by_text(ENDED)).to_have_count(0)


def test_what_waited_when_a_link_ended_arrives_once_by_the_next_link_of_the_same_person(
    own_demo: Server, open_desk: OpenDevice, open_device: OpenDevice
) -> None:
    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    pat = open_device("pat", origin=own_demo.origin, has_app=True)
    _open_the_office(ana, job=Places.on(own_demo.origin).job)
    view = ServerView(own_demo.origin, person=ANA)
    first = make_a_link(ana, recipient=PAT)
    issue_id = _answers_when_the_link_is_over(pat, ana, address=first)
    pat.page.evaluate(FULL)

    _open(pat, address=make_a_link(ana, recipient=PAT))
    _is_told_what_had_no_room(pat.page, view=view)
    pat.page.evaluate(ROOM_AGAIN)
    pat.page.get_by_role("button", name="Try again").click()

    _arrives_once(view, issue_id=issue_id, by=PAT)
    expect(pat.page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=NEWS_WITHIN_MS)
    assert sorted(count > 0 for count in pat.page.evaluate(COUNT_RECORDS)) == [False, True]
    look_at(pat.page)
    _is_led_from_an_older_link_to_the_newer(pat, address=first)


def test_what_one_person_left_on_a_phone_goes_by_another_persons_link_when_they_say_so(
    own_demo: Server, open_desk: OpenDevice, open_device: OpenDevice
) -> None:
    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    tablet = open_device("tablet", origin=own_demo.origin, has_app=True)
    _open_the_office(ana, job=Places.on(own_demo.origin).job)
    view = ServerView(own_demo.origin, person=ANA)
    issue_id = _answers_when_the_link_is_over(tablet, ana, address=make_a_link(ana, recipient=PAT))

    _open(tablet, address=make_a_link(ana, recipient=LEE))

    page = tablet.page
    expect(page.get_by_text(f"Work of {PAT} waits on this phone")).to_be_visible()
    expect(page.get_by_text("1 change, 1 photo, no half-written entry.")).to_be_visible()
    look_at(page)
    assert WORDS not in [row["words"] for row in view.rows("issue_event")]
    page.get_by_role("button", name="Send it with this link").click()
    expect(page.get_by_text(f"Work of {PAT} waits on this phone")).to_have_count(0)
    _arrives_once(view, issue_id=issue_id, by=LEE)


def test_a_link_that_nobody_used_for_hours_still_works_and_its_holder_is_told_to_open_it_again(
    own_demo: Server, open_device: OpenDevice
) -> None:
    kim = open_device("kim", origin=own_demo.origin, has_app=True)
    secret = json.loads((own_demo.data / "demo.json").read_text())["link_secret"]
    address = f"{own_demo.origin}/answer#{secret}"
    _open(kim, address=address)
    Database(own_demo.data).rows("UPDATE link_session SET expires_at = now() - interval '1 minute' RETURNING id")

    expect(kim.page.get_by_text(AGAIN)).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(kim.page.get_by_text(ENDED)).to_have_count(0)
    expect(kim.page.get_by_text("link ends")).to_be_visible()
    look_at(kim.page)
    issue_id = _answer_with_a_photo(kim)
    expect(kim.page.get_by_text("Open the link you were sent again to send it.")).to_be_visible()
    _open(kim, address=address)

    expect(kim.page.get_by_text(AGAIN)).to_have_count(0)
    _arrives_once(ServerView(own_demo.origin, person=ANA), issue_id=issue_id, by=CONTRACTOR)
    assert len(kim.page.evaluate(COUNT_RECORDS)) == 1
