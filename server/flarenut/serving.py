"""Serving: gunicorn with threads, started from here so that the embedded database outlives its workers."""

import logging
import os
import signal
import socket
import struct
from collections.abc import Callable
from contextlib import nullcontext
from typing import Any

from gunicorn.app.base import BaseApplication
from gunicorn.workers.gthread import ThreadWorker

from flarenut.embedded import app_url, owner_url
from flarenut.health import stopping
from flarenut.reviving import kept_running

Around = Callable[[Any], Any]

# A phone that loses its network in the middle of a request leaves a line on which nothing ever comes again.
# A thread waits for it, and there are not many; an upload is given as long.
SILENCE_S = 30


def _as_it_is(app: Any) -> Any:
    return app


def _is_no_silence(record: logging.LogRecord) -> bool:
    """A line that ended because nothing came is no error of anybody's, and not worth a page of the log."""
    return not (record.exc_info and isinstance(record.exc_info[1], BlockingIOError))


def _heeding_close(app: Any) -> Any:
    """Gunicorn leaves out an app's `Connection: close`. Here it is heeded: the answer says so, and the line ends."""

    def answer(environ: dict[str, Any], start_response: Any) -> Any:
        def start(status: str, headers: list[tuple[str, str]], *rest: Any) -> Any:
            if ("Connection", "close") in headers:
                start_response.__self__.force_close()
            return start_response(status, headers, *rest)

        return app(environ, start)

    return answer


class Worker(ThreadWorker):  # type: ignore[misc]  # gunicorn has no types
    """A worker that leaves plainly: slowly when asked to, at once when told to."""

    def init_process(self) -> None:
        """Every line that is accepted takes the limit over from the door: nothing else ends half a request."""
        for listener in self.sockets:
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, struct.pack("ll", SILENCE_S, 0))
        self.log.error_log.addFilter(_is_no_silence)
        super().init_process()

    def load_wsgi(self) -> None:
        """The app, as gunicorn calls it."""
        super().load_wsgi()
        self.wsgi = _heeding_close(self.wsgi)

    def init_signals(self) -> None:
        """Ctrl-C in a terminal reaches every process; only the master acts on it, and tells the workers."""
        super().init_signals()
        signal.signal(signal.SIGINT, signal.SIG_IGN)

    def handle_exit(self, sig: int, frame: Any) -> None:
        """SIGTERM: what is begun is ended, and /readyz says no to a proxy that holds its line open."""
        stopping.set()
        super().handle_exit(sig, frame)

    def set_accept_enabled(self, enabled: bool) -> None:  # noqa: FBT001 -- gunicorn's.
        """Close the door when leaving. Left open, it would let callers in whom nobody answers."""
        super().set_accept_enabled(enabled)
        if not self.alive:
            for listener in self.sockets:
                listener.close()

    def handle_quit(self, _sig: int, _frame: Any) -> None:
        """SIGQUIT, and Ctrl-C by way of the master: waits for nobody. The phones send the same bytes again."""
        os._exit(0)


class Server(BaseApplication):
    """The app under gunicorn. Each worker makes its own app, and so its own connections, after the fork."""

    def __init__(self, settings: dict[str, Any], *, around: Around) -> None:
        self.settings = settings
        self.around = around
        super().__init__()

    def load_config(self) -> None:
        """Figures for a proxy in front and phones behind poor lines."""
        chosen = {
            "bind": f"{self.settings['FLARENUT_HOST']}:{self.settings['FLARENUT_PORT']}",
            "workers": self.settings["FLARENUT_WORKERS"],
            "threads": self.settings["FLARENUT_THREADS"],
            "worker_class": Worker,
            "timeout": 60,  # [s] silence of a worker before it is replaced
            "graceful_timeout": 30,  # [s] for requests to end when the server is asked to stop
            "keepalive": 75,  # [s] longer than a proxy keeps its side open
            "max_requests": 20_000,  # a worker is replaced now and then, so that no leak grows for ever
            "max_requests_jitter": 2_000,
            "forwarded_allow_ips": "",  # whom to believe about proxies is said by FLARENUT_PROXIES alone
            "control_socket_disable": True,  # nobody steers the server but its own process
        }
        for name, value in chosen.items():
            if name in self.cfg.settings:
                self.cfg.set(name, value)

    def load(self) -> Any:
        """In each worker. It asks the database nothing: a worker that cannot start takes all the others with it."""
        from flarenut.app import create_app  # noqa: PLC0415 -- after the fork, never before it.

        return self.around(create_app({name: str(value) for name, value in self.settings.items()}))


def serve(settings: dict[str, Any], *, around: Around = _as_it_is) -> None:
    """Serve until asked to stop. The database is started and held here, by the one process that stays.

    Its workers are given addresses only, so that one which is replaced while the database is away
    comes up all the same and answers "later".
    """
    owner = owner_url(settings)
    addresses = {"DATABASE_URL": owner, "DATABASE_APP_URL": app_url(settings, owner=owner)}
    told = {name: url.render_as_string(hide_password=False) for name, url in addresses.items()}
    with nullcontext() if settings["DATABASE_URL"] else kept_running(settings["FLARENUT_DATA"]):
        Server({**settings, **told}, around=around).run()
