"""Signing in, staying signed in for days offline, and being signed out."""

import datetime as dt
from collections.abc import Callable

import pytest
from flask import Flask
from sqlalchemy import Engine, text
from werkzeug.test import TestResponse

from flarenut.people import passwords
from flarenut.people.sessions import COOKIES
from tests.builders import CastMember, Phone, a_technician, new_id
from tests.builders.people import PASSWORD
from tests.builders.phones import ORIGIN

Enter = Callable[..., Phone]


def _sign_in(app: Flask, *, email: str, password: str) -> TestResponse:
    body = {"email": email, "password": password, "device_id": new_id()}
    return app.test_client().post("/api/sign-in", json=body, base_url=ORIGIN)


def test_ben_signs_in_and_is_known(ben: CastMember, client_as: Enter) -> None:
    phone = client_as(ben)

    me = phone.get("/api/me").get_json()

    assert me["person"] == {"id": str(ben.id), "name": "Ben", "role": "technician"}
    assert me["company"]["name"] == "Invented Climate"
    assert me["device_id"] == phone.device_id


def test_the_answer_does_not_say_whether_an_address_is_known(app: Flask, ben: CastMember) -> None:
    wrong_password = _sign_in(app, email=ben.email, password="not the password")
    nobody = _sign_in(app, email="nobody@invented.example", password=PASSWORD)

    assert wrong_password.status_code == nobody.status_code == 401
    assert wrong_password.get_json() == nobody.get_json()


def test_an_unknown_address_costs_the_same_work(app: Flask, ben: CastMember, monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[str] = []
    hasher = passwords._hasher

    class Counting:
        def verify(self, stored: str, password: str) -> bool:
            compared.append(stored)
            return hasher.verify(stored, password)

    monkeypatch.setattr(passwords, "_hasher", Counting())
    _sign_in(app, email=ben.email, password="not the password")
    _sign_in(app, email="nobody@invented.example", password=PASSWORD)

    assert len(compared) == 2
    parameters = [stored.split("$")[1:4] for stored in compared]
    assert parameters[0] == parameters[1] == ["argon2id", "v=19", "m=19456,t=2,p=1"]


def test_the_address_is_read_in_any_case(app: Flask, ben: CastMember) -> None:
    assert _sign_in(app, email=f"  {ben.email.upper()} ", password=PASSWORD).status_code == 200


def test_the_cookie_is_sealed(app: Flask, ben: CastMember) -> None:
    answer = _sign_in(app, email=ben.email, password=PASSWORD)

    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith("__Host-flarenut_device=")
    for seal in ("Secure", "HttpOnly", "SameSite=Strict", "Path=/"):
        assert seal in cookie
    assert "Domain" not in cookie


def test_no_token_and_no_password_is_stored(ben: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ben)
    cookie = phone.client.get_cookie(COOKIES["device"], domain="flarenut.example")
    assert cookie is not None

    with owner.connect() as connection:
        rows = [
            str(row) for table in ("device_session", "person") for row in connection.execute(text(f"TABLE {table}"))
        ]

    assert rows
    assert not [row for row in rows if cookie.value in row or PASSWORD in row]


def test_without_the_header_a_cookie_opens_nothing(ben: CastMember, client_as: Enter) -> None:
    """Another site can make the browser send the cookie, but never the header."""
    phone = client_as(ben)

    answer = phone.client.get("/api/me", base_url=ORIGIN)

    assert answer.status_code == 401


def test_who_guesses_a_password_has_to_wait(app: Flask, ben: CastMember) -> None:
    answers = [_sign_in(app, email=ben.email, password=f"guess number {guess}") for guess in range(12)]

    assert [answer.status_code for answer in answers][:10] == [401] * 10
    assert answers[-1].status_code == 429
    assert answers[-1].get_json()["error"]["code"] == "too_many_requests"


def test_signing_in_rightly_never_counts_against_anyone(app: Flask, ben: CastMember) -> None:
    statuses = {_sign_in(app, email=ben.email, password=PASSWORD).status_code for _ in range(25)}

    assert statuses == {200}


def test_signing_out_ends_the_session_wherever_a_copy_lies(ben: CastMember, client_as: Enter) -> None:
    phone = client_as(ben)
    copy = phone.client.get_cookie(COOKIES["device"], domain="flarenut.example")
    assert copy is not None

    assert phone.post("/api/sign-out").status_code == 200

    phone.client.set_cookie(COOKIES["device"], copy.value, domain="flarenut.example", secure=True)
    assert phone.get("/api/me").status_code == 401


def _age(owner: Engine, *, column: str, by: dt.timedelta) -> None:
    with owner.begin() as connection:
        connection.execute(text(f"UPDATE device_session SET {column} = {column} - :by"), {"by": by})


def test_a_phone_that_rests_for_thirteen_days_is_still_signed_in(
    ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ben)

    _age(owner, column="seen_at", by=dt.timedelta(days=13))

    assert phone.get("/api/me").status_code == 200


def test_after_fifteen_days_of_rest_it_must_sign_in_again(ben: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ben)

    _age(owner, column="seen_at", by=dt.timedelta(days=15))

    assert phone.get("/api/me").get_json()["error"]["code"] == "session_ended"


def test_after_thirty_days_even_a_busy_phone_signs_in_again(ben: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ben)

    _age(owner, column="created_at", by=dt.timedelta(days=31))

    assert phone.get("/api/me").status_code == 401


def _token(phone: Phone) -> str:
    cookie = phone.client.get_cookie(COOKIES["device"], domain="flarenut.example")
    assert cookie is not None
    return cookie.value


def _use(phone: Phone, *, token: str) -> None:
    phone.client.set_cookie(COOKIES["device"], token, domain="flarenut.example", secure=True)


def test_a_token_is_renewed_once_a_day(ben: CastMember, client_as: Enter, owner: Engine) -> None:
    phone = client_as(ben)
    first = _token(phone)
    phone.pull()
    assert _token(phone) == first

    _age(owner, column="rotated_at", by=dt.timedelta(days=2))
    phone.pull()

    assert _token(phone) != first
    phone.pull()
    assert phone.get("/api/me").status_code == 200


def test_a_lost_renewal_does_not_sign_the_phone_out_however_long_it_is_away(
    ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ben)
    first = _token(phone)
    _age(owner, column="rotated_at", by=dt.timedelta(days=2))
    phone.pull()
    renewed = _token(phone)

    _use(phone, token=first)
    _age(owner, column="rotated_at", by=dt.timedelta(days=3))
    phone.pull()

    assert _token(phone) == renewed


def test_once_the_new_token_was_used_the_old_one_ends_after_a_grace(
    ben: CastMember, client_as: Enter, owner: Engine
) -> None:
    phone = client_as(ben)
    first = _token(phone)
    _age(owner, column="rotated_at", by=dt.timedelta(days=2))
    phone.pull()
    phone.pull()

    _use(phone, token=first)
    assert phone.get("/api/me").status_code == 200
    _age(owner, column="previous_until", by=dt.timedelta(minutes=3))
    assert phone.get("/api/me").status_code == 401


def test_the_list_of_people_is_the_companys_own(
    ana: CastMember, ben: CastMember, cleo: CastMember, client_as: Enter
) -> None:
    people = client_as(ana).get("/api/people").get_json()["people"]

    assert [person["name"] for person in people] == ["Ana", "Ben"]
    assert cleo.name not in str(people)
    assert str(ben.id) in str(people)


def test_a_new_colleague_moves_the_number_that_phones_compare(ana: CastMember, client_as: Enter) -> None:
    phone = client_as(ana)
    body = {"device_id": phone.device_id, "cursors": []}
    before = phone.post("/api/sync/pull", json=body).get_json()["people_rev"]

    a_technician("Tove", company=ana.company_name)

    assert phone.post("/api/sync/pull", json=body).get_json()["people_rev"] > before


@pytest.mark.parametrize("name", ["email", "password", "device_name"])
@pytest.mark.parametrize("said", ["abc\x00", "abc\ud800"])
def test_what_no_database_can_keep_is_named(name: str, said: str, app: Flask, ben: CastMember) -> None:
    typed = {"email": ben.email, "password": PASSWORD, "device_id": new_id(), name: said}

    answer = app.test_client().post("/api/sign-in", json=typed)

    assert answer.status_code == 422
    assert set(answer.get_json()["error"]["fields"]) == {name}
