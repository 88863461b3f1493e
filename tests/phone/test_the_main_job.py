"""The whole job, from the as-built sheet to the booked return and the proof."""

import time
from typing import Any

from demo_seed.people import ANA, BEN
from playwright.sync_api import expect

from tests.faults.database import Database
from tests.phone import the_comeback, the_contractor, the_office, the_return, the_visit
from tests.phone.conftest import OpenDevice
from tests.phone.cutting_proxy import CuttingProxy
from tests.phone.entering import sign_in, wait_until_offline_ready
from tests.phone.phone import NEWS_WITHIN_MS, PHONE, Phone
from tests.phone.server_process import Server
from tests.phone.server_view import ServerView

NOTICED_WITHIN_S = 30
TEXT_AND_A_PIECE_OF_THE_PHOTO = 60_000  # [B] up the wire before it is cut


def test_a_job_runs_from_the_sheet_to_the_booked_return_and_the_proof(
    server: Server, open_device: OpenDevice, open_desk: OpenDevice
) -> None:
    wire = CuttingProxy(target_port=server.port)
    ana = open_desk("ana", origin=wire.origin)
    ben = open_device("ben", origin=wire.origin, kind=PHONE)

    office_sets_the_job_up(ana, server=server)
    ben_signs_in_and_loses_the_network(ben, server=server)
    ben_works_offline(ben)
    ben_is_killed_and_comes_back_offline(ben)
    the_network_comes_back(ben, server=server, wire=wire)
    kim = open_device("kim", origin=wire.origin, kind=PHONE)
    the_contractor_answers(kim, ana=ana, ben=ben, server=server)
    the_office_books_the_return(ana, server=server)
    the_contractor_fixes_the_leak(kim)
    the_fixes_are_judged_on_the_return(ben, server=server)


def office_sets_the_job_up(ana: Phone, *, server: Server) -> None:
    sign_in(ana, person=ANA)
    the_office.describe_the_job(ana)
    the_office.try_the_bad_sheet(ana, view=ServerView(server.origin, person=ANA))
    the_office.import_the_sheet(ana)
    the_office.give_the_visit_to(ana, technician=BEN.name)


def ben_signs_in_and_loses_the_network(ben: Phone, *, server: Server) -> None:
    sign_in(ben, person=BEN)
    expect(ben.page.get_by_role("link", name="Tern Lane Clinic")).to_be_visible(timeout=NEWS_WITHIN_MS)
    wait_until_offline_ready(ben)
    server.kill()
    ben.lose_signal()
    ben.page.reload()


def ben_works_offline(ben: Phone) -> None:
    the_visit.open_the_job(ben)
    the_visit.log_the_leak(ben)
    the_visit.see_what_is_gated(ben)
    the_visit.log_the_dark_unit(ben)
    the_visit.measure_the_supply(ben)
    the_visit.mark_steps(ben)
    the_visit.close_the_visit(ben)


def ben_is_killed_and_comes_back_offline(ben: Phone) -> None:
    ben.wait_until_the_sign_in_is_on_disk()
    ben.kill()
    ben.open()
    ben.lose_signal()
    ben.go("/")
    the_comeback.everything_is_still_there(ben)


def the_network_comes_back(ben: Phone, *, server: Server, wire: CuttingProxy) -> None:
    """The wire is cut in the middle of the photo; when it heals, only the rest of the photo travels."""
    server.start()
    view = ServerView(server.origin, person=ANA)
    wire.cut_after(TEXT_AND_A_PIECE_OF_THE_PHOTO)
    ben.find_signal()
    [photo] = view.wait_for("photo", lambda rows: len(rows) == 1)
    wire.wait_for_a_cut()
    assert photo["state"] == "pending"
    _wait_until_the_piece_is_written_down(server)
    before = wire.bytes_up
    wire.heal()
    view.wait_for("photo", lambda rows: [row["state"] for row in rows] == ["stored"])
    assert wire.bytes_up - before < photo["size_bytes"], "The photo travelled again from its start."
    nothing_came_twice(view)


def _wait_until_the_piece_is_written_down(server: Server) -> None:
    """The server has noticed the cut: before that, whoever comes back takes over at what it had written until then."""
    until = time.monotonic() + NOTICED_WITHIN_S
    with Database(server.data).connect() as connection, connection.cursor() as cursor:
        connection.autocommit = True
        received = 0
        while received == 0:
            assert time.monotonic() < until, "Nothing of the photo was kept."
            cursor.execute("SELECT coalesce(max(received_bytes), 0) FROM upload WHERE writer IS NULL")
            [received] = cursor.fetchone()
            time.sleep(0.05)


def nothing_came_twice(view: ServerView) -> None:
    issues = view.rows("issue")
    assert sorted(issue["number"] for issue in issues) == [1, 2]
    assert sorted(issue["words"] for issue in issues) == ["Flare weeps at port 5", "Unit stays dark"]
    verdicts = sorted(reading["verdict"] for reading in view.rows("reading"))
    assert verdicts == ["fail", "pass", "pass", "pass"]
    assert not any(reading["differs"] for reading in view.rows("reading"))
    [visit] = view.rows("visit")
    assert (visit["state"], visit["note"]) == ("closed", "Leak at B2; the rest can go on.")
    assert visit["summary"]["issues_open"] == len(issues)
    assert len(view.rows("photo")) == 1
    assert _done(view) == {"walk_install": 1, "joints": 2, "supply": 3}


def _done(view: ServerView) -> dict[str, int]:
    counts: dict[str, int] = {}
    for step in view.rows("step"):
        if step["state"] == "done":
            counts[step["code"]] = counts.get(step["code"], 0) + 1
    return counts


def the_contractor_answers(kim: Phone, *, ana: Phone, ben: Phone, server: Server) -> None:
    view = ServerView(server.origin, person=ANA)
    address = the_office.make_a_link(ana, recipient="Kim Placeholder")
    the_contractor.open_the_link(kim, address=address, view=view)
    words = "The brazier comes tomorrow."
    day = the_contractor.promise_the_leak(kim, words=words)
    photos = view.wait_for("photo", lambda rows: [row["state"] for row in rows] == ["stored", "stored"])
    assert sorted(photo["by_name"] for photo in photos) == sorted([BEN.name, "Kim Placeholder"])
    assert len({photo["issue_id"] for photo in photos}) == 1
    the_contractor.answer_fixed(kim, title="Unit stays dark", words="Breaker 14 was open.")
    the_return.see_the_promise(ben, title="Flare weeps at port 5", words=words, day=day)


def the_office_books_the_return(ana: Phone, *, server: Server) -> None:
    view = ServerView(server.origin, person=ANA)
    the_office.book_the_return(ana)
    view.wait_for("visit", lambda rows: sorted(row["state"] for row in rows) == ["closed", "planned"])


def the_contractor_fixes_the_leak(kim: Phone) -> None:
    the_contractor.answer_fixed(kim, title="Flare weeps at port 5", words="The flare is remade.")


def the_fixes_are_judged_on_the_return(ben: Phone, *, server: Server) -> None:
    the_return.see_the_answers(ben)
    the_return.prove(ben, title="Unit stays dark", answer="Breaker 14 was open.")
    the_return.send_back(ben, title="Flare weeps", answer="The flare is remade.", words="It still weeps at 10 bar.")
    view = ServerView(server.origin, person=ANA)
    rows: list[dict[str, Any]] = view.wait_for("issue", _are_judged)
    assert {row["words"]: row["times_reopened"] for row in rows} == {
        "Flare weeps at port 5": 1,
        "Unit stays dark": 0,
    }


def _are_judged(rows: list[dict[str, Any]]) -> bool:
    return sorted(row["state"] for row in rows) == ["proved", "sent_back"]
