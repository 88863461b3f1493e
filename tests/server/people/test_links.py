"""Links for contractors: made once, opened anywhere, shut at any time."""

import datetime as dt
import re
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from flask import Flask
from sqlalchemy import Engine, text

from flarenut.people.sessions import AS_HEADER, COOKIES, new_token
from flarenut.sync import lanes
from flarenut.sync.lanes import lock_job
from tests.builders import CastMember, Phone, a_job, a_link, a_mutation, an_issue, new_id, push
from tests.builders.jobs import Job
from tests.builders.phones import ORIGIN
from tests.server.people.code_reader import read_code

Enter = Callable[..., Phone]

QUIET, MODULE_PX = 4, 4  # modules of light around the code, and what each measures
FOR_CARL = {"firm": "Invented Pipes", "recipient": "Carl Copper", "days": 14}


def _make(phone: Phone, job: Job) -> dict[str, Any]:
    answer = phone.post(f"/api/jobs/{job.id}/links", json=FOR_CARL)
    assert answer.status_code == 201, answer.get_data(as_text=True)
    made: dict[str, Any] = answer.get_json()
    return made


def _open(app: Flask, *, secret: str) -> int:
    body = {"secret": secret, "device_id": new_id()}
    return app.test_client().post("/api/links/open", json=body, base_url=ORIGIN).status_code


def test_the_secret_is_in_the_fragment_and_as_a_picture(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    made = _make(phone, a_job(phone))

    assert made["url"] == f"{ORIGIN}/answer#{made['secret']}"
    assert len(made["secret"]) >= 43  # 256 bits in base 64
    assert made["qr_svg"].startswith("<svg")
    assert "secret" not in made["link"]


def test_a_camera_reads_the_whole_address_from_the_picture(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    made = _make(phone, a_job(phone))

    dark = {(x - QUIET, y - QUIET) for x, y in _modules(made["qr_svg"])}

    assert read_code(dark) == made["url"]
    side = MODULE_PX * (1 + max(max(place) for place in dark) + 2 * QUIET)
    assert f'width="{side}" height="{side}"' in made["qr_svg"]
    turned_over = dark ^ {(max(dark)[0], 12)}  # one module among the data
    with pytest.raises(AssertionError, match="do not check"):
        read_code(turned_over)


def _modules(svg: str) -> set[tuple[int, int]]:
    """The dark modules, by walking the one line that draws them: M moves, m moves on, h draws to the right."""
    line = re.search(r'class="qrline" stroke="#000" d="([^"]+)"', svg)
    assert line is not None
    dark: set[tuple[int, int]] = set()
    x = y = 0.0
    for letter, numbers in re.findall(r"([Mmh])([-\d. ]+)", line[1]):
        values = [float(number) for number in re.findall(r"-?[\d.]+", numbers)]
        if letter == "h":
            dark |= {(int(x) + step, int(y)) for step in range(int(values[0]))}
            x += values[0]
        else:
            x, y = (values[0], values[1]) if letter == "M" else (x + values[0], y + values[1])
    return dark


def test_the_secret_is_never_seen_again(ana: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    made = _make(phone, job)

    links = phone.get(f"/api/jobs/{job.id}/links").get_json()["links"]

    assert [link["id"] for link in links] == [made["link"]["id"]]
    assert made["secret"] not in str(links)
    with owner.connect() as connection:
        assert made["secret"] not in str(connection.execute(text("TABLE contractor_link")).all())


def test_whoever_has_the_link_needs_no_account(app: Flask, ana: CastMember, client_as: Enter) -> None:
    office = client_as(ana)
    job = a_job(office)
    link = a_link(ana, job_id=job.id, firm="Invented Pipes")

    contractor = client_as(link)

    me = contractor.get("/api/me").get_json()
    assert me["link"]["job_id"] == job.id
    assert me["link"]["firm"] == "Invented Pipes"
    assert me["link"]["recipient"] == "Carl Copper"
    assert "person" not in me
    assert office.get(f"/api/jobs/{job.id}/links").get_json()["links"][0]["last_opened_at"] is not None
    assert _open(app, secret=link.secret) == 200


def test_a_revoked_link_shuts_the_door_behind_who_is_inside(app: Flask, ana: CastMember, client_as: Enter) -> None:
    office = client_as(ana)
    job = a_job(office)
    made = _make(office, job)
    link = a_link(ana, job_id=job.id)
    contractor = client_as(link)

    assert office.post(f"/api/links/{link.id}/revoke").get_json()["link"]["revoked_at"] is not None

    assert contractor.get("/api/me").status_code == 401
    assert _open(app, secret=link.secret) == 404
    assert _open(app, secret=made["secret"]) == 200


def test_a_link_ends_on_its_day(app: Flask, ana: CastMember, client_as: Enter, owner: Engine) -> None:
    office = client_as(ana)
    link = a_link(ana, job_id=a_job(office).id, days=7)
    contractor = client_as(link)

    with owner.begin() as connection:
        connection.execute(
            text("UPDATE contractor_link SET expires_at = expires_at - :by"), {"by": dt.timedelta(days=8)}
        )

    assert contractor.get("/api/me").status_code == 401
    assert _open(app, secret=link.secret) == 404


def _rest(owner: Engine, *, hours: float) -> None:
    """Nobody asks anything for so long."""
    with owner.begin() as connection:
        change = "UPDATE link_session SET expires_at = expires_at - make_interval(mins => :minutes)"
        connection.execute(text(change), {"minutes": round(hours * 60)})


def test_a_session_of_a_link_is_short_and_the_link_opens_another(
    app: Flask, ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    link = a_link(ana, job_id=a_job(client_as(ana)).id)
    contractor = client_as(link)

    _rest(owner, hours=13)

    refusal = contractor.post("/api/sync/pull", json={"device_id": contractor.device_id})
    assert refusal.status_code == 401
    assert refusal.get_json()["error"]["code"] == "link_session_ended"
    assert "Set-Cookie" not in refusal.headers
    assert _open(app, secret=link.secret) == 200


@pytest.mark.parametrize("change", ["revoked_at = now()", "expires_at = now() - interval '1 second'"])
def test_a_rested_session_of_a_link_that_is_over_is_told_that_the_link_has_ended(
    change: str, ana: CastMember, client_as: Enter, owner: Engine
) -> None:
    contractor = client_as(a_link(ana, job_id=a_job(client_as(ana)).id))
    _rest(owner, hours=13)

    with owner.begin() as connection:
        connection.execute(text(f"UPDATE contractor_link SET {change}"))

    assert contractor.get("/api/me").get_json()["error"]["code"] == "link_ended"


def test_a_token_that_nobody_was_given_is_not_told_whether_any_link_works(
    app: Flask, ana: CastMember, client_as: Enter
) -> None:
    client_as(a_link(ana, job_id=a_job(client_as(ana)).id))
    stranger = app.test_client()
    stranger.set_cookie(COOKIES["link"], new_token(), domain=ORIGIN.removeprefix("https://"), secure=True)

    answer = stranger.get("/api/me", headers={AS_HEADER: "link"}, base_url=ORIGIN)

    assert answer.get_json()["error"]["code"] == "link_ended"


def test_whoever_works_on_is_not_shut_out_in_the_middle_of_it(ana: CastMember, client_as: Enter, owner: Engine) -> None:
    contractor = client_as(a_link(ana, job_id=a_job(client_as(ana)).id))
    _rest(owner, hours=11)

    looked = contractor.get("/api/me")
    worked = contractor.post("/api/sync/pull", json={"device_id": contractor.device_id})
    _rest(owner, hours=11)

    assert "Set-Cookie" not in looked.headers
    assert f"Max-Age={12 * 3600}" in worked.headers["Set-Cookie"]
    assert contractor.get("/api/me").status_code == 200


def test_no_session_outlives_its_link(ana: CastMember, client_as: Enter, owner: Engine) -> None:
    link = a_link(ana, job_id=a_job(client_as(ana)).id)
    contractor = client_as(link)
    _rest(owner, hours=11)
    with owner.begin() as connection:
        sooner = "UPDATE contractor_link SET expires_at = now() + interval '3 hours' WHERE id = :link"
        connection.execute(text(sooner), {"link": link.id})

    contractor.post("/api/sync/pull", json={"device_id": contractor.device_id})

    both = "SELECT s.expires_at, l.expires_at FROM link_session s JOIN contractor_link l ON l.id = s.link_id"
    with owner.connect() as connection:
        [ends] = connection.execute(text(f"{both} WHERE l.id = :link"), {"link": link.id}).all()
    assert ends[0] == ends[1]


def test_what_one_link_brought_and_the_next_brings_again_is_done_once(ana: CastMember, client_as: Enter) -> None:
    """The first link ended before its phone had the receipt; the phone numbers it anew under the next."""
    office = client_as(ana)
    job = a_job(office)
    issue_id, link = an_issue(office, job=job), a_link(ana, job_id=job.id)
    first = client_as(link)
    answered = a_mutation("issue.answer", issue_id, fixed=False, words="on it", promised_on="2026-12-01")
    [receipt] = push(first, job.id, [answered])["receipts"]
    office.post(f"/api/links/{link.id}/revoke")

    following = client_as(a_link(ana, job_id=job.id))
    done = a_mutation("issue.answer", issue_id, fixed=True, words="done")
    lane = push(following, job.id, [{**answered, "seq": 0}, done])

    assert lane["error"] is None
    assert lane["receipts"][0] == receipt
    assert lane["receipts"][1]["outcome"] == "applied"
    said = [event["words"] for event in office.rows("issue_event").values() if event["kind"] != "raised"]
    assert sorted(said) == ["done", "on it"]


def test_who_guesses_secrets_has_to_wait(app: Flask) -> None:
    statuses = [_open(app, secret=f"{guess:043d}") for guess in range(22)]

    assert statuses[:20] == [404] * 20
    assert statuses[-1] == 429


def test_only_who_sees_the_job_hands_out_links(
    ana: CastMember, ben: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    office, phone, stranger = client_as(ana), client_as(ben), client_as(cleo)
    visited, other = a_job(office, visited_by=ben), a_job(office)
    link = a_link(ana, job_id=visited.id)

    assert phone.post(f"/api/jobs/{visited.id}/links", json=FOR_CARL).status_code == 201
    assert phone.post(f"/api/jobs/{other.id}/links", json=FOR_CARL).status_code == 404
    for path in (f"/api/jobs/{visited.id}/links", f"/api/links/{link.id}/revoke"):
        assert stranger.post(path, json=FOR_CARL).status_code == 404


def test_a_link_without_a_firm_names_the_field(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    answer = phone.post(f"/api/jobs/{a_job(phone).id}/links", json={"recipient": "Carl", "days": 0})

    assert answer.status_code == 422
    assert set(answer.get_json()["error"]["fields"]) == {"firm", "days"}


@pytest.mark.parametrize("said", ["Carl\x00", "Carl\ud800"])
def test_a_name_that_no_database_can_keep_is_named(said: str, app: Flask, ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)

    answer = phone.post(f"/api/jobs/{a_job(phone).id}/links", json={"firm": said, "recipient": said})

    assert set(answer.get_json()["error"]["fields"]) == {"firm", "recipient"}
    assert _open(app, secret=said * 10) == 422


@pytest.mark.parametrize("change", ["revoked_at = now()", "expires_at = now() - interval '1 second'"])
def test_a_link_that_ends_while_its_push_waits_for_the_job_changes_nothing(
    change: str, ana: CastMember, client_as: Enter, owner: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    office = client_as(ana)
    job = a_job(office)
    contractor, issue_id = client_as(a_link(ana, job_id=job.id)), an_issue(office, job=job)

    def and_meanwhile(job_id: uuid.UUID) -> object:
        with owner.begin() as connection:
            connection.execute(text(f"UPDATE contractor_link SET {change}"))
        return lock_job(job_id)

    monkeypatch.setattr(lanes, "lock_job", and_meanwhile)
    lane = push(contractor, job.id, [a_mutation("issue.answer", issue_id, fixed=True)])

    assert lane["error"]["code"] == "no_access"
    assert office.rows("issue")[issue_id]["state"] == "open"
