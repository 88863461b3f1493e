"""The API: its blueprints, and its description for machines and people."""

import re
from typing import Any

import flask_smorest
from flask import Flask, Response, current_app, jsonify, render_template
from flask.typing import ResponseReturnValue

from flarenut.errors import ErrorAnswer
from flarenut.health import blueprint as health
from flarenut.jobs.routes import blueprint as jobs
from flarenut.people.access import access_public
from flarenut.people.routes import blueprint as people
from flarenut.photos.routes import blueprint as photos
from flarenut.planning.routes import blueprint as planning
from flarenut.sync.routes import blueprint as sync

BLUEPRINTS = (people, sync, jobs, planning, photos, health)

_DESCRIPTION = """Everything a person does travels as a mutation through /api/sync/push; the other routes
sign people in, hand links to contractors, check an as-built sheet and carry the bytes of photos. Every answer that
is not a success has the shape {"error": {"code", "message", "fields"}}."""


class Api(flask_smorest.Api):  # type: ignore[misc]  # it has no types
    """The same as any, with errors described as they are answered."""

    ERROR_SCHEMA = ErrorAnswer


def wire_api(app: Flask) -> None:
    """Every blueprint, described as OpenAPI 3.1."""
    app.config.update(
        API_TITLE="flarenut",
        API_VERSION="1",
        OPENAPI_VERSION="3.1.0",
        API_SPEC_OPTIONS={
            "info": {"description": _DESCRIPTION},
            "components": {"securitySchemes": _SECURITY},
            "security": [{"device": [], "as": []}, {"link": [], "as": []}],
        },
    )
    app.extensions["flarenut_api"] = api = Api(app)
    for blueprint in BLUEPRINTS:
        api.register_blueprint(blueprint)
    app.add_url_rule("/api/openapi.json", view_func=openapi)
    app.add_url_rule("/api/docs", view_func=docs)
    app.add_url_rule("/api/docs.css", view_func=docs_css)


_SECURITY = {
    "device": {"type": "apiKey", "in": "cookie", "name": "__Host-flarenut_device"},
    "link": {"type": "apiKey", "in": "cookie", "name": "__Host-flarenut_link"},
    "as": {"type": "apiKey", "in": "header", "name": "X-Flarenut-As", "description": "`device` or `link`"},
}


_CONVERTER = re.compile(r"<(?:[^:<>]+:)?([^<>]+)>")


def _described() -> dict[str, Any]:
    """Everything, with who may use each route: told by the routes themselves."""
    spec: dict[str, Any] = current_app.extensions["flarenut_api"].spec.to_dict()
    for rule in current_app.url_map.iter_rules():
        methods = spec["paths"].get(_CONVERTER.sub(r"{\1}", rule.rule), {})
        roles = current_app.view_functions[rule.endpoint].access  # type: ignore[attr-defined]
        # The OPTIONS that Flask adds by itself belongs to nobody.
        own = set(rule.methods or ()) - ({"OPTIONS"} if rule.provide_automatic_options else set())
        for method in {method.lower() for method in own} & set(methods):
            methods[method]["x-who"] = sorted(roles) or ["anyone"]
            if not roles:
                methods[method]["security"] = []
    return spec


@access_public
def openapi() -> ResponseReturnValue:
    """The description for machines."""
    return jsonify(_described())


@access_public
def docs() -> ResponseReturnValue:
    """The same description for people, written out here: no script of anyone's is needed to read it."""
    return render_template("docs.html", spec=_described())


@access_public
def docs_css() -> ResponseReturnValue:
    """How that page looks: the policy for scripts and styles allows none inside a page."""
    return Response(render_template("docs.css"), mimetype="text/css")
