"""A wire between phone and server that a story can cut in the middle of a photo."""

import socket
import threading
import time
from contextlib import suppress

CHUNK = 16_384
CUT_WITHIN_S = 30


class CuttingProxy:
    """Passes bytes both ways. While `budget` is set, at most that many bytes go up before the wire is cut."""

    def __init__(self, *, target_port: int) -> None:
        self._target_port = target_port
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listener.getsockname()[1])
        self.origin = f"http://localhost:{self.port}"
        self.cuts = 0
        self.bytes_up = 0
        self._budget: int | None = None
        self._lock = threading.Lock()
        threading.Thread(target=self._accept, daemon=True).start()

    def cut_after(self, byte_count: int) -> None:
        with self._lock:
            self._budget = byte_count

    def heal(self) -> None:
        with self._lock:
            self._budget = None

    def wait_for_a_cut(self) -> None:
        deadline = time.monotonic() + CUT_WITHIN_S
        while self.cuts == 0:
            assert time.monotonic() < deadline, "Nothing large enough to be cut was sent."
            time.sleep(0.05)

    def close(self) -> None:
        self._listener.close()

    def _accept(self) -> None:
        while True:
            try:
                phone, _ = self._listener.accept()
            except OSError:
                return
            try:
                server = socket.create_connection(("127.0.0.1", self._target_port), timeout=10)
            except OSError:
                phone.close()
                continue
            server.settimeout(None)
            threading.Thread(target=self._up, args=(phone, server), daemon=True).start()
            threading.Thread(target=self._down, args=(server, phone), daemon=True).start()

    def _may_send(self, size: int) -> bool:
        with self._lock:
            if self._budget is None or self._budget >= size:
                self._budget = None if self._budget is None else self._budget - size
                self.bytes_up += size
                return True
            self.cuts += 1
            self._budget = 0
            return False

    def _up(self, phone: socket.socket, server: socket.socket) -> None:
        with suppress(OSError):
            while (data := phone.recv(CHUNK)) and self._may_send(len(data)):
                server.sendall(data)
        hang_up(phone, server)

    def _down(self, server: socket.socket, phone: socket.socket) -> None:
        with suppress(OSError):
            while data := server.recv(CHUNK):
                phone.sendall(data)
        hang_up(phone, server)


def hang_up(*ends: socket.socket) -> None:
    """Both ends, at once."""
    for end in ends:
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        with suppress(OSError):
            end.close()
