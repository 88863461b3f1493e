"""How a phone of these tests reaches the server: plain requests, one connection each."""

import http.client
import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

COOKIE = "__Host-flarenut_device"
REQUEST_TIMEOUT_S = 25  # as the app has it


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    body: Any


# Path, body, cookie -> the answer and a new cookie if there was one; None when no answer came.
Ask = Callable[[str, dict[str, Any], str], tuple[Answer, str] | None]


def over_http(port: int) -> Ask:
    """Ask the server, or whatever stands before it, at a port of this machine."""

    def ask(path: str, body: dict[str, Any], cookie: str) -> tuple[Answer, str] | None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=REQUEST_TIMEOUT_S)
        headers = {"Content-Type": "application/json", "X-Flarenut-As": "device", "Connection": "close"}
        if cookie:
            headers["Cookie"] = f"{COOKIE}={cookie}"
        try:
            connection.request("POST", path, body=json.dumps(body), headers=headers)
            response = connection.getresponse()
            text = response.read()
            return Answer(response.status, json.loads(text)), _new_cookie(response)
        except (OSError, http.client.HTTPException, ValueError):
            return None  # no line, a cut in the middle, or someone else's page: all the same to the phone
        finally:
            connection.close()

    return ask


def _new_cookie(response: http.client.HTTPResponse) -> str:
    for header in response.headers.get_all("Set-Cookie") or []:
        name, _, rest = header.partition("=")
        if name == COOKIE:
            return rest.partition(";")[0]
    return ""
