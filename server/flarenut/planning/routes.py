"""The return plan of a job, for whoever has no phone to compute it.

A contractor's phone computes the plan from the rows that the contractor may see, so this
address, which sees every row, is not for links.
"""

import datetime as dt
from typing import Any
from uuid import UUID

from flask import jsonify
from flask.typing import ResponseReturnValue
from flask_smorest import Blueprint

from flarenut.people.access import access
from flarenut.people.actor import current_actor
from flarenut.planning.reads import plan_for
from flarenut.sync.sight import need_job

blueprint = Blueprint("planning", __name__, url_prefix="/api", description="Return plans")


@blueprint.route("/jobs/<uuid:job_id>/plan")
@access("technician", "dispatcher")
@blueprint.alt_response(200, description="What flarenut compute job_plan answers.", success=True)
def get_plan(job_id: UUID) -> ResponseReturnValue:
    """Gates, resets, schedule and the return visit, as of now."""
    need_job(current_actor(), job_id=job_id)
    plan: dict[str, Any] = plan_for(job_id, now=dt.datetime.now(dt.UTC))
    return jsonify(plan)
