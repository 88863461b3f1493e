"""Signing in and out, who is who, and links for contractors."""

import uuid
from typing import Any

from flask import Response, current_app, g, jsonify, request

from flarenut.body import Blueprint
from flarenut.db import db, writing
from flarenut.errors import NotFound
from flarenut.people import shapes
from flarenut.people.access import access, access_public
from flarenut.people.actor import Actor, current_actor
from flarenut.people.links import link_address, make_link, open_link, qr_svg, revoke_link
from flarenut.people.rates import by_address, by_email
from flarenut.people.reads import company_of, links_of_job, working_people
from flarenut.people.sessions import ABSOLUTE, LINK_SESSION, drop_cookie, end_session, set_cookie
from flarenut.people.tables import ContractorLink
from flarenut.people.verbs import sign_in
from flarenut.sync.sight import need_job

blueprint = Blueprint("people", __name__, url_prefix="/api", description="Signing in, people, links")


@blueprint.route("/sign-in", methods=["POST"])
@access_public
@by_address
@by_email
@blueprint.arguments(shapes.SignIn)
@blueprint.response(200, shapes.Me)
def post_sign_in(typed: dict[str, Any]) -> Response:
    """Sign in once; afterwards the phone works for days without signal."""
    with writing():
        actor, token = sign_in(**typed)
        answer = _me(actor)
    return _with_cookie(answer, kind="device", token=token)


@blueprint.route("/sign-out", methods=["POST"])
@access("technician", "dispatcher", "ended")
@blueprint.response(200, shapes.Done)
def post_sign_out() -> Response:
    """End the session of this device. Unsent work stays on it."""
    with writing():
        end_session(g.session_id)
    response = jsonify({"ok": True})
    drop_cookie(response, kind="device")
    return response


@blueprint.route("/me", methods=["GET"])
@access("technician", "dispatcher", "contractor", "ended")
@blueprint.response(200, shapes.Me)
def get_me() -> dict[str, Any]:
    """Who the server takes this phone for."""
    return _me(current_actor())


@blueprint.route("/people", methods=["GET"])
@access("technician", "dispatcher")
@blueprint.response(200, shapes.People)
def get_people() -> dict[str, Any]:
    """Everyone who can be given a visit."""
    return {"people": working_people()}


@blueprint.route("/links/open", methods=["POST"])
@access_public
@by_address
@blueprint.arguments(shapes.OpenLink)
@blueprint.response(200, shapes.Me)
def post_link_open(opened: dict[str, Any]) -> Response:
    """Exchange the secret of a link for a short cookie."""
    with writing():
        link, device_id, token = open_link(opened["secret"], device_id=opened["device_id"])
        company = {"id": link.company_id, "name": link.company_name}
    answer = {"link": _public(link, link_id=link.link_id), "company": company, "device_id": device_id}
    return _with_cookie(answer, kind="link", token=token)


@blueprint.route("/jobs/<uuid:job_id>/links", methods=["GET"])
@access("dispatcher", "technician")
@blueprint.response(200, shapes.Links)
def get_links(job_id: uuid.UUID) -> dict[str, Any]:
    """Every link that was made for the job."""
    need_job(current_actor(), job_id=job_id)
    return {"links": links_of_job(job_id)}


@blueprint.route("/jobs/<uuid:job_id>/links", methods=["POST"])
@access("dispatcher", "technician")
@blueprint.arguments(shapes.NewLink)
@blueprint.response(201, shapes.LinkMade)
def post_link(wanted: dict[str, Any], job_id: uuid.UUID) -> dict[str, Any]:
    """Make a link for one recipient. Its secret is in this answer and in no other."""
    with writing():
        need_job(current_actor(), job_id=job_id)
        made = make_link(current_actor(), job_id=job_id, **wanted)
    origin = current_app.config["FLARENUT_ORIGIN"] or request.host_url
    address = link_address(origin, secret=made.secret)
    return {"link": made.row, "secret": made.secret, "url": address, "qr_svg": qr_svg(address)}


@blueprint.route("/links/<uuid:link_id>/revoke", methods=["POST"])
@access("dispatcher", "technician")
@blueprint.response(200, shapes.LinkAnswer)
def post_revoke(link_id: uuid.UUID) -> dict[str, Any]:
    """Shut a link, at once."""
    with writing():
        link = db.session.get(ContractorLink, link_id)
        if link is None:
            raise NotFound("not_found", "There is no such link.")
        need_job(current_actor(), job_id=link.job_id)
        revoke_link(link)
    return {"link": link}


def _me(actor: Actor) -> dict[str, Any]:
    person = {"id": actor.person_id, "name": actor.name, "role": actor.role}
    if actor.role == "ended":
        return {"person": person, "device_id": actor.device_id}
    company = company_of(actor)
    answer: dict[str, Any] = {
        "company": {"id": company.id, "name": company.name},
        "device_id": actor.device_id,
    }
    if actor.link_id is not None:
        link = db.session.get_one(ContractorLink, actor.link_id)
        return {"link": _public(link, link_id=link.id), **answer}
    return {"person": person, **answer}


def _public(link: Any, *, link_id: uuid.UUID) -> dict[str, Any]:
    """A link as its holder may see it, from the door or from its row."""
    told = {name: getattr(link, name) for name in ("firm", "recipient", "job_id", "expires_at")}
    return {"id": link_id, **told}


def _with_cookie(answer: dict[str, Any], *, kind: str, token: str) -> Response:
    response = jsonify(shapes.Me().dump(answer))
    age = ABSOLUTE if kind == "device" else LINK_SESSION
    set_cookie(response, kind=kind, token=token, max_age=age)
    return response
