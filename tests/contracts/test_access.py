"""Every route states its access, and keeps to it: as nobody, as each role, also of another job or another company.

The routes come from the server's own map. One that is missing from the table below fails the
test, so nobody can add a route without saying what each kind of caller is told.
"""

import base64
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from flask import Flask
from werkzeug.routing import Rule

from flarenut.people.actor import ROLES
from flarenut.sync.catalogue import MUTATIONS
from tests.builders import (
    CastMember,
    Phone,
    a_dispatcher,
    a_job,
    a_link,
    a_mutation,
    a_technician,
    a_visit,
    an_issue,
    end,
    new_id,
    push,
)
from tests.builders.people import PASSWORD
from tests.builders.phones import ORIGIN
from tests.builders.remembered import Remembered

Enter = Callable[..., Phone]

CALLERS = (
    "nobody",
    "technician",
    "dispatcher",
    "contractor",
    "technician_elsewhere",  # of the same company, on another job of it
    "contractor_elsewhere",  # by a link to that other job
    "their_technician",
    "their_dispatcher",
    "their_contractor",
    # Ana's people no more, with the session of the day before: they hand over what they had done, and that is all.
    "ended_technician",
    "ended_dispatcher",
)

# What each caller is told, in the order above. A stranger's 404 is the same as for what never was.
OPEN_TO_ALL = (200,) * 11
TABLE: dict[str, tuple[int, ...]] = {
    "GET /": (404,) * 11,  # no app is built where this test runs
    "GET /<path:path>": (404,) * 11,
    "GET /healthz": OPEN_TO_ALL,
    "GET /readyz": OPEN_TO_ALL,
    "GET /api/openapi.json": OPEN_TO_ALL,
    "GET /api/docs": OPEN_TO_ALL,
    "GET /api/docs.css": OPEN_TO_ALL,
    "POST /api/sign-in": OPEN_TO_ALL,
    "POST /api/links/open": OPEN_TO_ALL,
    "OPTIONS /api/photos/uploads": OPEN_TO_ALL,
    "OPTIONS /api/photos/uploads/<string:upload_id>": OPEN_TO_ALL,
    "GET /api/me": (401, 200, 200, 200, 200, 200, 200, 200, 200, 200, 200),
    "GET /api/people": (401, 200, 200, 403, 200, 403, 200, 200, 403, 403, 403),
    "GET /api/set-aside": (401, 200, 200, 200, 200, 200, 200, 200, 200, 200, 200),
    "POST /api/set-aside/settled": (401, 204, 204, 204, 204, 204, 204, 204, 204, 204, 204),
    "POST /api/sync/push": (401, 200, 200, 200, 200, 200, 200, 200, 200, 200, 200),
    "POST /api/sync/pull": (401, 200, 200, 200, 200, 200, 200, 200, 200, 200, 200),
    "GET /api/as-built/template.csv": (401, 200, 200, 403, 200, 403, 200, 200, 403, 403, 403),
    "GET /api/as-built/template.xlsx": (401, 200, 200, 403, 200, 403, 200, 200, 403, 403, 403),
    "POST /api/as-built/check": (401, 403, 422, 403, 403, 403, 403, 422, 403, 403, 403),
    "GET /api/jobs/<uuid:job_id>/links": (401, 200, 200, 403, 404, 403, 404, 404, 403, 403, 403),
    "POST /api/jobs/<uuid:job_id>/links": (401, 201, 201, 403, 404, 403, 404, 404, 403, 403, 403),
    "GET /api/jobs/<uuid:job_id>/plan": (401, 200, 200, 403, 404, 403, 404, 404, 403, 403, 403),
    "POST /api/links/<uuid:link_id>/revoke": (401, 200, 200, 403, 404, 403, 404, 404, 403, 403, 403),
    # The photo is the company's: the contractor sees it and brings none of its bytes.
    "POST /api/photos/uploads": (401, 201, 201, 404, 404, 404, 404, 404, 404, 403, 403),
    "HEAD /api/photos/uploads/<string:upload_id>": (401, 200, 200, 404, 404, 404, 404, 404, 404, 403, 403),
    "PATCH /api/photos/uploads/<string:upload_id>": (401, 204, 204, 404, 404, 404, 404, 404, 404, 403, 403),
    # Whoever asks second finds nothing left to end, and the photo is still there for them.
    "DELETE /api/photos/uploads/<string:upload_id>": (401, 204, 404, 404, 404, 404, 404, 404, 404, 403, 403),
    # The bytes have not arrived, and only who may see the photo is told so by that code.
    "GET /api/photos/<uuid:photo_id>/<any('320', '1280', 'full'):size>": (
        401,
        404,
        404,
        404,
        404,
        404,
        404,
        404,
        404,
        403,
        403,
    ),
    "POST /api/sign-out": (401, 200, 200, 403, 200, 403, 200, 200, 403, 200, 200),
}


@dataclass(frozen=True)
class Scene:
    """One job with a photo on the contractor's issue, and everyone who might ask for it, or might have."""

    phones: dict[str, Phone]
    job_id: str
    photo_id: str
    link_id: str
    open_secret: str
    email: str


@pytest.fixture
def scene(ana: CastMember, ben: CastMember, cleo: CastMember, client_as: Enter, remembered: Remembered) -> Scene:
    """Ana's job, visited by Ben; another of hers, visited by Bea; the same at Cleo's company."""
    return remembered.made("scene", lambda: _a_scene(client_as, ana=ana, ben=ben, cleo=cleo))


def _a_scene(client_as: Enter, *, ana: CastMember, ben: CastMember, cleo: CastMember) -> Scene:
    ours, theirs = client_as(ana), client_as(cleo)
    bea = a_technician("Bea", company=ana.company_name)
    job, other = a_job(ours, visited_by=ben), a_job(theirs)
    elsewhere = a_job(ours, visited_by=bea)
    dan, eve = a_technician("Dan", company=ana.company_name), a_dispatcher("Eve", company=ana.company_name)
    a_visit(ours, job=job, person=dan)
    photo = a_mutation(
        "photo.add", issue_id=an_issue(ours, job=job), sha256="a" * 64, size_bytes=9, width_px=3, height_px=3,
        taken_at="2026-11-25T09:00:00.000Z",
    )  # fmt: skip
    push(ours, job.id, [photo])
    headers = {"Tus-Resumable": "1.0.0", "Upload-Length": "9", "Upload-Metadata": _metadata(photo["entity"])}
    assert ours.post("/api/photos/uploads", headers=headers).status_code == 201
    link = a_link(ana, job_id=job.id)
    phones = {
        "technician": client_as(ben),
        "dispatcher": ours,
        "contractor": client_as(link),
        "technician_elsewhere": client_as(bea),
        "contractor_elsewhere": client_as(a_link(ana, job_id=elsewhere.id)),
        "their_technician": client_as(a_technician("Chris", company=cleo.company_name)),
        "their_dispatcher": theirs,
        "their_contractor": client_as(a_link(cleo, job_id=other.id)),
        "ended_technician": client_as(dan),
        "ended_dispatcher": client_as(eve),
    }
    end(dan)
    end(eve)
    spare = a_link(ana, job_id=job.id)
    return Scene(phones, job.id, photo["entity"], str(spare.id), spare.secret, ana.email)


def _routes(app: Flask) -> list[tuple[str, Rule]]:
    """Every method of every rule, as `METHOD rule`; Flask's own HEAD and OPTIONS answers apart."""
    found = []
    for rule in app.url_map.iter_rules():
        own = set(rule.methods or ()) - {"HEAD", "OPTIONS"} or {
            m for m in ("HEAD", "OPTIONS") if m in (rule.methods or ())
        }
        own = own if own != {"HEAD", "OPTIONS"} else {"HEAD"}
        found += [(f"{method} {rule.rule}", rule) for method in own]
    return found


def test_every_route_states_its_access(app: Flask) -> None:
    silent = [name for name, rule in _routes(app) if not hasattr(app.view_functions[rule.endpoint], "access")]

    assert silent == []


def test_every_route_is_in_the_table(app: Flask) -> None:
    assert {name for name, _ in _routes(app)} == set(TABLE)


def test_every_type_of_mutation_states_who_may() -> None:
    assert MUTATIONS
    assert [name for name, kind in MUTATIONS.items() if not kind.roles or not kind.roles <= set(ROLES)] == []


@pytest.mark.parametrize("name", TABLE)
def test_everyone_is_told_what_the_table_says(name: str, app: Flask, scene: Scene) -> None:
    method, path = name.split(" ", 1)

    told = [_ask(app, scene, caller=caller, method=method, path=path) for caller in CALLERS]

    assert dict(zip(CALLERS, told, strict=True)) == dict(zip(CALLERS, TABLE[name], strict=True))


def _ask(app: Flask, scene: Scene, *, caller: str, method: str, path: str) -> int:
    asked = _request(scene, caller=caller, method=method, path=path)
    address = (
        path.replace("<uuid:job_id>", scene.job_id)
        .replace("<uuid:photo_id>", scene.photo_id)
        .replace("<string:upload_id>", scene.photo_id)
        .replace("<uuid:link_id>", scene.link_id)
        .replace("<any('320', '1280', 'full'):size>", "320")
        .replace("<path:path>", "no/such/page.html")
    )
    if caller == "nobody":
        return app.test_client().open(address, method=method, base_url=ORIGIN, **asked).status_code
    return scene.phones[caller].open(address, method=method, **asked).status_code


def _request(scene: Scene, *, caller: str, method: str, path: str) -> dict[str, Any]:
    """A whole and right request, so that only the caller decides."""
    tus = {"Tus-Resumable": "1.0.0"}
    phone = scene.phones.get(caller)
    device_id = phone.device_id if phone else new_id()
    bodies: dict[str, dict[str, Any]] = {
        "POST /api/sign-in": {"json": {"email": scene.email, "password": PASSWORD, "device_id": new_id()}},
        "POST /api/links/open": {"json": {"secret": scene.open_secret, "device_id": new_id()}},
        "POST /api/sync/push": {"json": {"device_id": device_id, "lanes": []}},
        "POST /api/sync/pull": {"json": {"device_id": device_id, "cursors": []}},
        "POST /api/set-aside/settled": {"json": {"ids": [new_id()]}},
        "POST /api/jobs/<uuid:job_id>/links": {"json": {"firm": "Invented Pipes", "recipient": "Carl"}},
        "POST /api/photos/uploads": {
            "headers": {**tus, "Upload-Length": "9", "Upload-Metadata": _metadata(scene.photo_id)}
        },
        "HEAD /api/photos/uploads/<string:upload_id>": {"headers": tus},
        "DELETE /api/photos/uploads/<string:upload_id>": {"headers": tus},
        "PATCH /api/photos/uploads/<string:upload_id>": {
            "headers": {**tus, "Upload-Offset": "0"},
            "data": b"",
            "content_type": "application/offset+octet-stream",
        },
    }
    return bodies.get(f"{method} {path}", {})


def _metadata(photo_id: str) -> str:
    return f"photo_id {base64.b64encode(photo_id.encode()).decode()}"


def test_a_photo_of_another_job_or_company_looks_like_no_photo(scene: Scene) -> None:
    address = f"/api/photos/{scene.photo_id}/320"

    told = {name: phone.get(address).get_json() for name, phone in scene.phones.items()}
    strangers = [body for name, body in told.items() if name.startswith("their_") or name.endswith("_elsewhere")]
    never = scene.phones["their_dispatcher"].get(f"/api/photos/{uuid.uuid4()}/320").get_json()

    assert strangers == [never] * 5
    assert told["contractor"]["error"]["code"] == "photo_not_here"
