"""A contractor's link that is over: the office withdraws it, or it runs out; what whoever holds it then sees."""

import json
import re

from demo_seed.people import ANA, CONTRACTOR, CONTRACTOR_FIRM
from deploy.screens import Places
from playwright.sync_api import Locator, Page, expect

from flarenut.people.sessions import token_hash
from tests.faults.database import Database
from tests.phone.conftest import OpenDevice
from tests.phone.entering import sign_in
from tests.phone.looking import GLOVE_PX, MOUSE_PX, look_at
from tests.phone.phone import NEWS_WITHIN_MS, Phone
from tests.phone.server_process import Server
from tests.phone.the_office import make_a_link

PAT = "Pat Placeholder"
LEE = "Lee Placeholder"
ENDED = "This link has ended"
UNKNOWN = "This link does not work"


def _open_the_office(ana: Phone, *, job: str) -> None:
    sign_in(ana, person=ANA)
    ana.go(f"{job}/office")
    expect(ana.page.get_by_role("heading", name="Links for the contractor")).to_be_visible()


def _open(holder: Phone, *, address: str) -> None:
    holder.page.goto(address)
    expect(holder.page.get_by_role("heading", name="Before the return")).to_be_visible()
    expect(holder.page.get_by_text(ENDED)).to_have_count(0)


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
    ana = open_desk("ana", origin=own_demo.origin)
    pat, lee, other = (open_device(name, origin=own_demo.origin) for name in ("pat", "lee", "other"))
    _open_the_office(ana, job=Places.on(own_demo.origin).job)
    to_pat, to_lee = (make_a_link(ana, recipient=name) for name in (PAT, LEE))
    _open(pat, address=to_pat)
    _open(lee, address=to_lee)

    _think_again(ana.page, recipient=PAT, least_px=MOUSE_PX)
    _withdraw(ana.page, recipient=PAT, least_px=MOUSE_PX)

    expect(_line(ana.page, recipient=LEE)).to_contain_text("Works until")
    look_at(ana.page, least_px=MOUSE_PX)
    _is_shut_out_but_may_read_on(pat)
    _does_not_open(other, address=to_pat)
    lee.page.reload()
    _open(lee, address=to_lee)
    look_at(lee.page)


def test_a_link_that_has_run_out_shuts_out_its_holder_and_opens_nowhere(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ana, kim, other = (open_device(name, origin=own_demo.origin) for name in ("ana", "kim", "other"))
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
