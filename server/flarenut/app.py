"""create_app(): the order in which things are wired, nothing else."""

from collections.abc import Mapping

from flask import Flask
from flask_migrate import Migrate
from werkzeug.middleware.proxy_fix import ProxyFix

from flarenut.alive import ask_after_a_rest
from flarenut.api import wire_api
from flarenut.config import read_settings, secret_in
from flarenut.db import db
from flarenut.embedded import MIGRATIONS, app_url, is_the_owner, owner_url
from flarenut.errors import answer_errors
from flarenut.logs import log, wire_logs
from flarenut.people.rates import limiter
from flarenut.photos.method_override import MethodOverride
from flarenut.photos.routes import BELOW
from flarenut.web import wire_web

# A connection that waits for another's lock, or a statement that runs away, gives up in the end:
# the phone sends the same bytes again, and a worker that waits for ever serves nobody. A lock is waited for longer
# than any push holds a job (a full one takes well under a second), and shorter than a phone waits (25 s).
_PATIENCE = "-c lock_timeout=12s -c statement_timeout=30s -c idle_in_transaction_session_timeout=60s -c timezone=UTC"


def create_app(overrides: Mapping[str, str] | None = None) -> Flask:
    """One server. Its settings come from the environment; tests override some of them."""
    settings = read_settings(overrides)
    settings["FLARENUT_DATA"].mkdir(parents=True, exist_ok=True)
    app = Flask("flarenut", static_folder=None)
    app.config.update(settings)
    app.config["SECRET_KEY"] = settings["FLARENUT_SECRET"] or secret_in(settings["FLARENUT_DATA"])
    app.config["PROPAGATE_EXCEPTIONS"] = False  # every error takes the one way out, in tests as well
    app.wsgi_app = ProxyFix(app.wsgi_app, x_for=(n := settings["FLARENUT_PROXIES"]), x_proto=n, x_host=n)  # type: ignore[method-assign]
    app.wsgi_app = MethodOverride(app.wsgi_app, below=BELOW)  # type: ignore[method-assign, assignment]
    wire_logs(app)
    _wire_database(app)
    app.config["RATELIMIT_STORAGE_URI"] = settings["FLARENUT_RATE_STORE"]
    limiter.init_app(app)
    wire_api(app)
    wire_web(app)
    answer_errors(app)
    return app


def _wire_database(app: Flask) -> None:
    owner = owner_url(app.config)
    url = app_url(app.config, owner=owner)
    if is_the_owner(app.config, app=url, owner=owner):
        log.warning("signs_in_as_owner", why="Set DATABASE_APP_URL to a connection as flarenut_app.")
    if app.config["DATABASE_URL"] and not app.config["FLARENUT_SECRET"]:
        why = "Phones read everything anew at each change of server. Set FLARENUT_SECRET, the same on all of them."
        log.warning("secret_of_its_own", why=why)
    options = f"{url.query.get('options', '')} {_PATIENCE}".strip()
    app.config["OWNER_URL"] = owner
    app.config["SQLALCHEMY_DATABASE_URI"] = url.update_query_dict({"options": options})
    app.config["SQLALCHEMY_ENGINE_OPTIONS"] = {
        "pool_size": app.config["DATABASE_POOL"],
        "max_overflow": 2,
        "hide_parameters": True,  # an error of the database must not carry what a person wrote into a log
        "pool_use_lifo": True,  # the line that was used last: few rest, and what rests need not be asked after
        "pool_timeout": 10,  # [s] then the answer is "busy"
        "pool_recycle": 1800,  # [s] firewalls forget idle lines
    }
    db.init_app(app)
    with app.app_context():
        ask_after_a_rest(db.engine)
    Migrate(app, db, directory=str(MIGRATIONS))
