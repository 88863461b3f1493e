"""The bytes of one photo on the wire, for tests that cut it."""

import base64
import http.client

from tests.faults.phone import Phone
from tests.faults.wire import COOKIE

UPLOADS = "/api/photos/uploads"


class PhotoLine:
    """Bytes of a photo on their way, by the open protocol. None: no answer came back."""

    def __init__(self, phone: Phone, *, photo: str, content: bytes) -> None:
        self._phone, self._photo, self._content = phone, photo, content

    def create(self, port: int, *, first: int) -> tuple[int, int] | None:
        said = {"Upload-Length": str(len(self._content))}
        said["Upload-Metadata"] = f"photo_id {base64.b64encode(self._photo.encode()).decode()}"
        return self._ask(port, "POST", UPLOADS, said=said, body=self._content[:first])

    def see(self, port: int) -> tuple[int, int] | None:
        return self._ask(port, "HEAD", f"{UPLOADS}/{self._photo}", said={})

    def send(self, port: int, *, offset: int) -> tuple[int, int] | None:
        said = {"Upload-Offset": str(offset)}
        return self._ask(port, "PATCH", f"{UPLOADS}/{self._photo}", said=said, body=self._content[offset:])

    def _ask(
        self, port: int, method: str, path: str, /, *, said: dict[str, str], body: bytes = b""
    ) -> tuple[int, int] | None:
        """Status, and how much has arrived."""
        headers = {"Tus-Resumable": "1.0.0", "X-Flarenut-As": "device", "Connection": "close", **said}
        headers["Cookie"] = f"{COOKIE}={self._phone.meta['cookie']}"
        if body:
            headers["Content-Type"] = "application/offset+octet-stream"
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=25)
        try:
            connection.request(method, path, body=body or None, headers=headers)
            answer = connection.getresponse()
            answer.read()
            return answer.status, int(answer.headers.get("Upload-Offset", -1))
        except (OSError, http.client.HTTPException):
            return None
        finally:
            connection.close()
