"""Serving: gunicorn with threads, started from here so that the embedded database outlives its workers."""

from typing import Any

from gunicorn.app.base import BaseApplication

from flarenut.embedded import owner_url


class Server(BaseApplication):
    """The app under gunicorn. Each worker makes its own app, and so its own connections, after the fork."""

    def __init__(self, settings: dict[str, Any]) -> None:
        self.settings = settings
        super().__init__()

    def load_config(self) -> None:
        """Figures for a proxy in front and phones behind poor lines."""
        chosen = {
            "bind": f"{self.settings['FLARENUT_HOST']}:{self.settings['FLARENUT_PORT']}",
            "workers": self.settings["FLARENUT_WORKERS"],
            "threads": self.settings["FLARENUT_THREADS"],
            "worker_class": "gthread",
            "timeout": 60,  # [s] silence of a worker before it is replaced
            "graceful_timeout": 30,  # [s] for requests to end when the server is asked to stop
            "keepalive": 75,  # [s] longer than a proxy keeps its side open
            "max_requests": 20_000,  # a worker is replaced now and then, so that no leak grows for ever
            "max_requests_jitter": 2_000,
            "control_socket_disable": True,  # nobody steers the server but its own process
        }
        for name, value in chosen.items():
            if name in self.cfg.settings:
                self.cfg.set(name, value)

    def load(self) -> Any:
        """In each worker."""
        from flarenut.app import create_app  # noqa: PLC0415 -- after the fork, never before it.

        return create_app({name: str(value) for name, value in self.settings.items()})


def serve(settings: dict[str, Any]) -> None:
    """Serve until asked to stop. The database is started here, by the one process that stays."""
    owner_url(settings)
    Server(settings).run()
