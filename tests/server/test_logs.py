"""Logs say who and what by id, and never what a person wrote."""

import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
import structlog
from flask import Flask

from flarenut.logs import configure_logs
from tests.builders import CastMember, Phone, a_job, a_link, an_issue
from tests.builders.people import PASSWORD

Enter = Callable[..., Phone]


@pytest.fixture
def talkative(app: Flask) -> Iterator[Flask]:
    """The server as it logs in service; afterwards as quiet as tests are."""
    kept = structlog.get_config()
    configure_logs("debug")
    yield app
    structlog.configure(**kept)


def _lines(capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    return [json.loads(line) for line in capsys.readouterr().err.splitlines()]


def test_a_request_is_one_line_with_ids_and_no_words(
    talkative: Flask, ana: CastMember, client_as: Enter, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    an_issue(phone, job=job, words="The cat of the caretaker bites.")
    link = a_link(ana, job_id=job.id)
    contractor = client_as(link)
    capsys.readouterr()

    contractor.pull()

    (line,) = _lines(capsys)
    assert line["route"] == "/api/sync/pull"
    assert line["link_id"] == str(link.id)
    assert line["status"] == 200
    assert len(line["request_id"]) == 16
    assert talkative is not None


def test_no_secret_and_nobodys_words_are_in_the_log(
    talkative: Flask, ana: CastMember, client_as: Enter, capsys: pytest.CaptureFixture[str]
) -> None:
    phone = client_as(ana)
    job = a_job(phone)
    an_issue(phone, job=job, words="The cat of the caretaker bites.")
    contractor = client_as(link := a_link(ana, job_id=job.id))
    talkative.view_functions["people.get_me"], kept = _break_with_words, talkative.view_functions["people.get_me"]

    contractor.get("/api/me")
    talkative.view_functions["people.get_me"] = kept

    logged = capsys.readouterr().err
    for secret in ("caretaker", PASSWORD, ana.email, "Ana", link.secret, "a detail of someone"):
        assert secret not in logged
    assert '"error": "ValueError"' in logged


def _break_with_words() -> None:
    raise ValueError("a detail of someone")
