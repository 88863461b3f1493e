"""A phone whose server is in the same process: for cases that need no wire and no second process."""

from typing import Any

from flask import Flask

from tests.builders.phones import ORIGIN
from tests.faults.wire import COOKIE, Answer, Ask


def in_app(app: Flask) -> Ask:
    """Ask the app itself."""

    def ask(path: str, body: dict[str, Any], cookie: str) -> tuple[Answer, str] | None:
        client = app.test_client(use_cookies=False)
        headers = {"X-Flarenut-As": "device", **({"Cookie": f"{COOKIE}={cookie}"} if cookie else {})}
        answer = client.post(path, json=body, headers=headers, base_url=ORIGIN)
        fresh = [said.partition("=")[2].partition(";")[0] for said in answer.headers.getlist("Set-Cookie")]
        return Answer(answer.status_code, answer.get_json()), fresh[0] if fresh else ""

    return ask


class LossyLine:
    """While it is deaf every request arrives and is carried out, and no answer comes back."""

    def __init__(self, ask: Ask) -> None:
        self._ask = ask
        self.is_deaf = False

    def __call__(self, path: str, body: dict[str, Any], cookie: str) -> tuple[Answer, str] | None:
        answer = self._ask(path, body, cookie)
        return None if self.is_deaf else answer
