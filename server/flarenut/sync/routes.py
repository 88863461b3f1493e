"""The two requests that keep a phone and the server alike, and what waits for its author."""

from typing import Any

from flarenut.body import Blueprint
from flarenut.people.access import access
from flarenut.people.actor import current_actor
from flarenut.sync import shapes
from flarenut.sync.aside import own_set_aside
from flarenut.sync.pull import pull
from flarenut.sync.push import push

blueprint = Blueprint("sync", __name__, url_prefix="/api", description="Push, pull, set-aside work")


@blueprint.route("/sync/push", methods=["POST"])
@access("technician", "dispatcher", "contractor")
@blueprint.arguments(shapes.PushIn)
@blueprint.response(200)
@blueprint.alt_response(200, schema=shapes.PushOut)
def post_push(sent: dict[str, Any]) -> dict[str, Any]:
    """Send what was saved on the phone; each change is answered by a receipt."""
    return push(current_actor(), **sent)


@blueprint.route("/sync/pull", methods=["POST"])
@access("technician", "dispatcher", "contractor")
@blueprint.arguments(shapes.PullIn)
@blueprint.response(200)
@blueprint.alt_response(200, schema=shapes.PullOut)
def post_pull(asked: dict[str, Any]) -> dict[str, Any]:
    """Fetch what changed since the cursors that the phone holds."""
    return pull(current_actor(), **asked)


@blueprint.route("/set-aside", methods=["GET"])
@access("technician", "dispatcher", "contractor")
@blueprint.arguments(shapes.SetAsideAsked, location="query")
@blueprint.response(200, shapes.SetAsideOut)
def get_set_aside(asked: dict[str, Any]) -> dict[str, Any]:
    """What of your own work could not be taken, kept whole."""
    items, more = own_set_aside(current_actor(), **asked)
    return {"items": items, "more": more}
