"""A bucket on the loopback that gives some of its photos, and says of others that nobody may have them."""

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

NOT_GIVEN = b"<Error><Code>AccessDenied</Code><Message>No.</Message></Error>"


@contextmanager
def a_bucket_that_gives(photos: Mapping[str, bytes | None]) -> Iterator[str]:
    """Its address. By name: the bytes that it gives, or nothing where it gives none."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            content = photos[self.path.split("?")[0].rpartition("/")[2]]
            self.send_response(403 if content is None else 200)
            body = NOT_GIVEN if content is None else content
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_said: object) -> None:
            """Nobody reads it."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
