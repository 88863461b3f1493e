"""Failure case 12 of sync: a PATCH hangs without closing, the phone changes network and resumes at once."""

from typing import Any

from demo_seed.people import ANA, BEN
from deploy.screens import Places
from playwright.sync_api import Route, expect

from tests.phone.conftest import OpenDevice
from tests.phone.looking import look_at
from tests.phone.saving import save_issue
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView
from tests.phone.the_visit import take_photo

WORDS = "Drips onto the desk"
UPLOADS = "**/api/photos/uploads**"
AT_ONCE_MS = 12_000  # far less than the 30 s after which a silent upload is given up by itself


def test_case_12_a_photo_that_hangs_is_sent_at_once_when_the_phone_has_another_network(
    own_demo: Server, open_device: OpenDevice
) -> None:
    ben, places = open_device("ben", origin=own_demo.origin, signed_in=BEN), Places.on(own_demo.origin)
    ben.go("/")
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible()
    hanging: list[Route] = []

    def hang_once(route: Route) -> None:
        if hanging:
            route.continue_()
        else:
            hanging.append(route)  # neither answered nor closed

    ben.context.route(UPLOADS, hang_once)
    ben.go(f"{places.job}/log?unit={places.units['L2-03']}")
    ben.page.get_by_role("radio", name="Drain").check()
    ben.page.get_by_label("In your words").fill(WORDS)
    take_photo(ben.page)
    save_issue(ben.page)
    expect(ben.page.get_by_text("Photo 1 of 1").first).to_be_visible()
    look_at(ben.page)
    view = ServerView(own_demo.origin, person=ANA)

    # Told of the new network, and not that the old line is dead: losing signal here would close it too.
    ben.page.evaluate("() => window.dispatchEvent(new Event('online'))")

    expect(ben.page.get_by_text("Sent.", exact=True)).to_be_visible(timeout=AT_ONCE_MS)
    view.wait_for("photo", lambda rows: _stored(rows, view.rows("issue")))


def _stored(photos: list[dict[str, Any]], issues: list[dict[str, Any]]) -> bool:
    [issue] = [row["id"] for row in issues if row["words"] == WORDS]
    return [row["state"] for row in photos if row["issue_id"] == issue] == ["stored"]
