"""What can happen to a photo: it is announced, then its bytes arrive and are kept or refused."""

from typing import Any

from marshmallow import ValidationError

from flarenut.db import db
from flarenut.errors import Invalid, Refused
from flarenut.issues.permissions import check_see
from flarenut.issues.tables import Issue
from flarenut.jobs.tables import Job, Unit
from flarenut.people.actor import Actor
from flarenut.photos.marks import check_count
from flarenut.photos.tables import Photo
from flarenut.readings.tables import Reading
from flarenut.sync.change import Change

# A photo belongs to exactly one of these.
OWNERS: dict[str, type] = {"issue_id": Issue, "reading_id": Reading, "unit_id": Unit}


def add_photo(change: Change, fields: dict[str, Any]) -> None:
    """Announce a photo. The bytes follow when there is signal, under the same id; see also `held.py`."""
    owners = [name for name in OWNERS if fields.get(name)]
    if len(owners) != 1:
        raise Invalid(
            "one_owner",
            "A photo belongs to exactly one issue, reading or unit.",
            dict.fromkeys(owners or OWNERS, "exactly one of these must be given"),
        )
    owner: Any = change.need(OWNERS[owners[0]], fields[owners[0]])
    check_add(owner, actor=change.actor)
    change.add(
        Photo(
            id=change.entity,
            made_rev=change.rev,
            **{name: fields.get(name) or None for name in OWNERS},
            sha256=fields["sha256"],
            size_bytes=fields["size_bytes"],
            width_px=fields["width_px"],
            height_px=fields["height_px"],
            state="pending",
            taken_at=min(fields["taken_at"], change.at),
            by_name=change.actor.name,
            by_link_id=change.actor.link_id,
            marks=fields["marks"],
            shown_to_contractor=isinstance(owner, Issue) and owner.who_must_act == "contractor",
        )
    )


def mark_photo(change: Change, fields: dict[str, Any]) -> None:
    """Draw on a photo that is there already. Marks are added to those of others and replace none."""
    photo = change.need(Photo, change.entity)
    marks = [*photo.marks, *fields["marks"]]
    try:
        check_count(len(marks))
    except ValidationError as error:
        raise Invalid("too_many_marks", "This photo is full of marks.", {"marks": error.messages}) from error
    photo.marks = marks
    change.stamp(photo)


def check_add(owner: Any, *, actor: Actor) -> None:
    """A contractor shows their own fix: photos go onto the issues they must act on."""
    if actor.role != "contractor":
        return
    if not isinstance(owner, Issue):
        raise Refused("not_your_photo", "A contractor's photo belongs to an issue.", {"issue_id": "missing"})
    check_see(owner, actor=actor)


def keep_photo(photo: Photo) -> None:
    """The bytes are here and are what was announced: every phone learns it on its next pull."""
    _stamp_outside_a_lane(photo)
    photo.state, photo.refused_reason = "stored", None


def refuse_photo(photo: Photo, *, reason: str) -> None:
    """The bytes are here and are no photo that can be kept; the phone that made it keeps its own."""
    _stamp_outside_a_lane(photo)
    photo.state, photo.refused_reason = "refused", reason


def ask_again(photo: Photo) -> None:
    """The bytes were here and are lost: whichever phone still has them may send them once more."""
    _stamp_outside_a_lane(photo)
    photo.state, photo.refused_reason = "pending", None


def _stamp_outside_a_lane(photo: Photo) -> None:
    """Bytes do not come through a lane, so the revision is taken here.

    The job is locked before the photo is touched, as a push does it: the other way round, the two
    would wait for each other.
    """
    job = db.session.get(Job, photo.job_id, with_for_update=True, populate_existing=True)
    if job is None:
        raise Refused("not_found", "The job of this photo is gone.")
    job.rev += 1
    photo.rev = job.rev
