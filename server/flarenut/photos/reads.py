"""What of photos travels to the phones, and who may see which."""

from uuid import UUID

from flarenut.db import db
from flarenut.errors import NotFound
from flarenut.issues.permissions import can_see
from flarenut.issues.tables import Issue
from flarenut.people.actor import Actor
from flarenut.people.links import takes_over
from flarenut.photos.tables import Photo
from flarenut.sync.sight import can_see_job

WIRE_FIELDS = {
    Photo: [
        "made_rev",
        "issue_id",
        "reading_id",
        "unit_id",
        "sha256",
        "size_bytes",
        "width_px",
        "height_px",
        "state",
        "refused_reason",
        "taken_at",
        "by_name",
        "marks",
    ],
}


def find_photo(photo_id: UUID, *, actor: Actor) -> Photo:
    """The photo, if this actor may see it. One that they may not see is as unknown as one that is not."""
    photo = db.session.get(Photo, photo_id)
    if photo is None or photo.company_id != actor.company_id or not can_see_photo(photo, actor=actor):
        raise _unknown()
    return photo


def _unknown() -> NotFound:
    return NotFound("unknown_photo", "There is no such photo.")


def find_own_photo(photo_id: UUID, *, actor: Actor) -> Photo:
    """The photo, if this actor may bring its bytes. Any other is as unknown as one that is not."""
    photo = find_photo(photo_id, actor=actor)
    if not can_bring(photo, actor=actor):
        raise _unknown()
    return photo


def can_bring(photo: Photo, *, actor: Actor) -> bool:
    """People of the company bring those of their jobs; a contractor those of contractors, and never the company's.

    Whoever brings bytes can also spoil them: what is not the announced photo three times is refused for good.
    """
    if not can_see_photo(photo, actor=actor):
        return False
    if actor.role != "contractor":
        return True
    return photo.by_link_id is not None and takes_over(actor, link_id=photo.by_link_id)


def can_see_photo(photo: Photo, *, actor: Actor) -> bool:
    """Whoever is on the job sees its photos; a contractor only those of issues they must act on."""
    if not can_see_job(actor, job_id=photo.job_id):
        return False
    if actor.role != "contractor":
        return True
    issue = db.session.get(Issue, photo.issue_id) if photo.issue_id else None
    return issue is not None and can_see(issue, actor=actor)
