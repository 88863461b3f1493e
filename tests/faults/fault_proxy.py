"""A wire between phones and server that loses answers after the server has done its work."""

import random
import socket
import threading
from contextlib import suppress

from tests.phone.cutting_proxy import CHUNK, CuttingProxy, hang_up


class FaultProxy(CuttingProxy):
    """Requests always arrive. Of the answers, a share is lost: the server has committed, the phone does not know."""

    def __init__(self, *, target_port: int, seed: str) -> None:
        self._chance = random.Random(f"{seed}/wire")
        self._counting = threading.Lock()
        self.lost_share = 0.0
        self.answers = 0
        self.lost = 0
        super().__init__(target_port=target_port)

    def begin_to_lose(self, share: float) -> None:
        """From now on, and counted from now on."""
        with self._counting:
            self.lost_share, self.answers, self.lost = share, 0, 0

    def count(self) -> tuple[int, int]:
        """How many were lost, of how many."""
        with self._counting:
            return self.lost, self.answers

    def heal(self) -> None:
        super().heal()
        self.lost_share = 0.0

    def _down(self, server: socket.socket, phone: socket.socket) -> None:
        # An answer begins only after the commit, so whatever is dropped here has happened.
        with suppress(OSError):
            begun = server.recv(CHUNK)
            if begun and not self._is_lost():
                phone.sendall(begun)
                super()._down(server, phone)
        hang_up(phone, server)

    def _is_lost(self) -> bool:
        with self._counting:
            self.answers += 1
            is_lost = self._chance.random() < self.lost_share
            self.lost += is_lost
            return is_lost
