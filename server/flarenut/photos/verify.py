"""Is every stored photo still what was sent? Each one is read from the store and hashed again."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import delete, select

from flarenut.db import db, enter_company, writing
from flarenut.photos.companies import each_company
from flarenut.photos.held import look
from flarenut.photos.kept import PhotoStore, StoreAway
from flarenut.photos.tables import Photo, Upload
from flarenut.photos.verbs import ask_again

# A store that gives no answer so many times in a row is away, and each question takes it half a minute (P).
MOST_AWAY = 3


@dataclass(frozen=True, kw_only=True)
class Checked:
    """One stored photo and how it was found: `whole`, `damaged`, `missing`, `away` or, after that, `not_asked`."""

    photo_id: UUID
    job_id: UUID
    company_id: UUID
    sha256: str
    found: str

    @property
    def is_lost(self) -> bool:
        """Can nobody look at it any more?"""
        return self.found in ("damaged", "missing")

    @property
    def is_unknown(self) -> bool:
        """Did the store not say?"""
        return self.found in ("away", "not_asked")


def check_stored() -> Iterator[Checked]:
    """Every stored photo of every company, one after the other; a store that is away is not asked for ever."""
    away = 0
    for company_id, store in each_company():
        stored = select(Photo.id, Photo.job_id, Photo.sha256).where(Photo.state == "stored").order_by(Photo.id)
        rows = db.session.execute(stored).all()
        db.session.rollback()  # the store takes its time, and nothing is held open meanwhile
        for row in rows:
            found = _look(store, sha256=row.sha256) if away < MOST_AWAY else "not_asked"
            away = away + 1 if found in ("away", "not_asked") else 0
            yield Checked(
                photo_id=row.id, job_id=row.job_id, company_id=company_id, sha256=row.sha256, found=found,
            )  # fmt: skip


def _look(store: PhotoStore, *, sha256: str) -> str:
    try:
        return look(store, sha256=sha256)[0]
    except StoreAway:
        return "away"


def ask_for_lost(checked: Checked) -> None:
    """The photo waits for its bytes as if they had never come. What lies in the store is written over by them."""
    enter_company(checked.company_id)
    with writing():
        db.session.execute(delete(Upload).where(Upload.id == checked.photo_id))
        ask_again(db.session.get_one(Photo, checked.photo_id))
