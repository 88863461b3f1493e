"""The two requests that keep a phone and the server alike, and what waits for its author."""

from typing import Any

from flask import Response

from flarenut.body import Blueprint
from flarenut.db import writing
from flarenut.people.access import access
from flarenut.people.actor import current_actor
from flarenut.sync import shapes
from flarenut.sync.aside import own_set_aside, own_settled, settle
from flarenut.sync.mark import epoch_now
from flarenut.sync.pull import Asked, pull
from flarenut.sync.push import push

blueprint = Blueprint("sync", __name__, url_prefix="/api", description="Push, pull, set-aside work")


@blueprint.route("/sync/push", methods=["POST"])
@access("technician", "dispatcher", "contractor", "ended")
@blueprint.arguments(shapes.PushIn)
@blueprint.response(200)
@blueprint.alt_response(200, schema=shapes.PushOut)
def post_push(sent: dict[str, Any]) -> dict[str, Any]:
    """Send what was saved on the phone; each change is answered by a receipt."""
    return push(current_actor(), **sent)


@blueprint.route("/sync/pull", methods=["POST"])
@access("technician", "dispatcher", "contractor", "ended")
@blueprint.arguments(shapes.PullIn)
@blueprint.response(200)
@blueprint.alt_response(200, schema=shapes.PullOut)
def post_pull(asked: dict[str, Any]) -> Response:
    """Fetch what changed since the cursors that the phone holds."""
    return Response(pull(current_actor(), asked=Asked(**asked)), mimetype="application/json")


@blueprint.route("/set-aside", methods=["GET"])
@access("technician", "dispatcher", "contractor", "ended")
@blueprint.arguments(shapes.SetAsideAsked, location="query")
@blueprint.response(200, shapes.SetAsideOut)
def get_set_aside(asked: dict[str, Any]) -> dict[str, Any]:
    """What of your own work could not be taken, kept whole."""
    actor = current_actor()
    items, more = own_set_aside(actor, **asked)
    settled = own_settled(actor) if asked["after"] is None else {"settled": [], "taken": []}
    return {"items": items, "more": more, **settled, "epoch": epoch_now(actor)}


@blueprint.route("/set-aside/settled", methods=["POST"])
@access("technician", "dispatcher", "contractor", "ended")
@blueprint.arguments(shapes.SettledIn)
@blueprint.response(204)
def post_settled(said: dict[str, Any]) -> None:
    """Say that you sent these again or gave them up. They stay stored and are shown to you no more."""
    with writing():
        settle(current_actor(), ids=said["ids"])
