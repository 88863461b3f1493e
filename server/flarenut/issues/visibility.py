"""Who sees an issue can change; what hangs on it must then travel again."""

from typing import Any

from sqlalchemy import select

from flarenut.db import db
from flarenut.issues.tables import Issue, IssueEvent
from flarenut.photos.tables import Photo
from flarenut.sync.change import Change


def stamp_what_hangs_on(change: Change, issue: Issue) -> None:
    """The contractor's next pull carries what is theirs of the history and the photos, or takes it away."""
    is_theirs = issue.who_must_act == "contractor"
    if not is_theirs:
        issue.left_contractor_rev = change.rev
    tables: tuple[Any, ...] = (IssueEvent, Photo)
    for table in tables:
        for row in db.session.scalars(select(table).where(table.issue_id == issue.id)):
            change.stamp(row)
            if table is Photo and is_theirs:
                row.shown_to_contractor = True
