"""The state of sync stands on every screen: also where a person decides what is sent, and at the desk."""

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import expect

from tests.phone.conftest import OpenDevice
from tests.phone.looking import MOUSE_PX, look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

PULL = "**/api/sync/pull"
# The signal goes when the app has been loaded and opens what it keeps.
LOSE_SIGNAL_ON_THE_WAY = """(() => {
  let isOnline = true;
  Object.defineProperty(Navigator.prototype, "onLine", { get: () => isOnline });
  const open = IDBFactory.prototype.open;
  IDBFactory.prototype.open = function (...what) {
    if (isOnline) {
      isOnline = false;
      dispatchEvent(new Event("offline"));
    }
    return open.apply(this, what);
  };
})()"""
TOO_OLD = {"error": {"code": "update_needed", "message": "", "fields": {}}}


def _a_refused_proof(ben: Phone, *, ana: ServerView, places: Places) -> None:
    """Ben proved with no signal what Ana had sent back meanwhile."""
    ben.lose_signal()
    ben.go(places.issue("no_power"))
    ben.page.get_by_role("button", name="Prove it").click()
    ben.page.get_by_label("What you saw or measured").fill("Unit runs")
    ben.page.get_by_role("button", name="It is proved").click()
    expect(ben.page.get_by_role("dialog")).to_have_count(0)
    job = places.job.removeprefix("/job/")
    ana.say("issue.send_back", job=job, entity=places.issues["no_power"], words="Isolator still locked")
    ben.find_signal()


# Words that stand there for a moment only, which a busy machine may have over before it is asked.
WATCH_FOR_TRYING = """(where) => {
  window.__tried = false;
  const look = () => { window.__tried ||= document.querySelector(where)?.innerText.includes("Sending 1 thing"); };
  new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
}"""
WAS_TRIED = "() => window.__tried"


def _says_on_the_own_screen_that_it_is_tried(ben: Phone) -> None:
    """Each press is seen to try, also where the office is silent at once."""
    page = ben.page
    ben.turn_to("/you")
    expect(page.get_by_text("1 change waits to be sent")).to_be_visible()
    silent = page.get_by_text("The office does not answer.")
    expect(silent).to_be_visible()
    page.evaluate(WATCH_FOR_TRYING, "main")
    page.get_by_role("button", name="Send now").click()
    page.wait_for_function(WAS_TRIED)
    expect(silent).to_be_visible()
    look_at(page)
    page.get_by_role("button", name="Sign out").click()
    sheet = page.get_by_role("dialog")
    page.evaluate(WATCH_FOR_TRYING, "dialog")
    sheet.get_by_role("button", name="Send first").click()
    page.wait_for_function(WAS_TRIED)
    expect(sheet.get_by_text("The office does not answer.")).to_be_visible()
    look_at(page)
    sheet.get_by_role("button", name="Stay signed in").click()


def test_what_is_sent_again_says_that_it_waits_where_the_office_does_not_answer_and_can_be_sent_now(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben = open_device("ben", origin=own_demo.origin, signed_in=BEN)
    page, refused = ben.page, ben.page.get_by_text("It had moved on in the meantime")
    ben.go("/")
    expect(page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    _a_refused_proof(ben, ana=ServerView(own_demo.origin, person=ANA), places=Places.on(own_demo.origin))
    ben.go("/attention")
    expect(refused).to_be_visible(timeout=NEWS_WITHIN_MS)

    own_demo.stop()
    page.get_by_role("button", name="Change and send again").click()
    expect(page.get_by_text("The office does not answer.")).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(page.get_by_role("button", name="Send now")).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(refused).to_have_count(0)
    look_at(page)
    _says_on_the_own_screen_that_it_is_tried(ben)
    own_demo.start()
    ben.turn_to("/attention")

    expect(refused).to_be_visible(timeout=NEWS_WITHIN_MS)
    expect(page.get_by_text("Needs your attention.")).to_have_count(0)


def test_the_board_says_that_the_app_is_too_old_to_show_what_others_did(
    own_demo: Server, open_desk: OpenDevice
) -> None:
    ana = open_desk("ana", origin=own_demo.origin, signed_in=ANA)
    ana.go("/")
    expect(ana.page.get_by_role("heading", name="Tern Lane Clinic")).to_be_visible()
    expect(ana.page.get_by_role("status").filter(has_text="Nothing waits to be sent.")).to_be_visible()

    ana.page.route(PULL, lambda route: route.fulfill(status=426, json=TOO_OLD))
    ana.go("/")

    expect(ana.page.get_by_text("the app needs its new version")).to_be_visible(timeout=NEWS_WITHIN_MS)
    look_at(ana.page, least_px=MOUSE_PX)


def test_a_signal_that_goes_while_the_app_opens_is_missed_by_nobody(demo: Server, open_device: OpenDevice) -> None:
    ben = open_device("ben", origin=demo.origin, signed_in=BEN)
    ben.page.add_init_script(LOSE_SIGNAL_ON_THE_WAY)

    ben.go("/")

    expect(ben.page.get_by_text("No signal. Everything is kept on this phone.")).to_be_visible()
    look_at(ben.page)
