"""X-HTTP-Method-Override, which tus asks for: some lines let nothing but GET and POST through."""

from collections.abc import Callable, Iterable
from typing import Any

Start = Callable[..., Any]
Application = Callable[[dict[str, Any], Start], Iterable[bytes]]


class MethodOverride:
    """Below one address, the method is the one that the header names, also if nothing there takes it."""

    def __init__(self, application: Application, *, below: str) -> None:
        self._application = application
        self._below = below

    def __call__(self, environ: dict[str, Any], start_response: Start) -> Iterable[bytes]:
        """Change the method before anybody looks at it."""
        said = environ.get("HTTP_X_HTTP_METHOD_OVERRIDE", "").strip().upper()
        if not said or not environ.get("PATH_INFO", "").startswith(self._below):
            return self._application(environ, start_response)
        sent, environ["REQUEST_METHOD"] = environ["REQUEST_METHOD"], said
        is_without_body = said == "HEAD" and sent != "HEAD"
        return self._application(environ, _empty(start_response) if is_without_body else start_response)


def _empty(start_response: Start) -> Start:
    """The answer to HEAD names a length and has no body; whoever sent POST would wait for it."""

    def start(status: str, headers: list[tuple[str, str]], *more: Any) -> Any:
        kept = [(name, value) for name, value in headers if name.lower() != "content-length"]
        return start_response(status, [*kept, ("Content-Length", "0")], *more)

    return start
