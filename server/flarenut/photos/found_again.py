"""After a restore: photos that are announced again, and whose bytes the store has from before."""

from sqlalchemy import delete, select

from flarenut.db import db, writing
from flarenut.photos.held import look
from flarenut.photos.kept import PhotoStore
from flarenut.photos.sent import sent_name
from flarenut.photos.tables import Photo, Upload
from flarenut.photos.verbs import keep_photo


def find_again(store: PhotoStore) -> int:
    """Photos that wait for bytes which were sent as theirs are stored. How many there were."""
    wanted = {sent_name(photo): photo for photo in db.session.scalars(select(Photo).where(Photo.state == "pending"))}
    db.session.expunge_all()
    db.session.rollback()  # the store takes its time, and nothing is held open meanwhile
    noted = wanted.keys() & {kept.name for kept in store.kept()} if wanted else set()
    return sum(_keep_if_whole(wanted[name], store=store) for name in noted)


def _keep_if_whole(waiting: Photo, *, store: PhotoStore) -> bool:
    if look(store, sha256=waiting.sha256) != ("whole", waiting.size_bytes):
        return False
    with writing():
        db.session.execute(delete(Upload).where(Upload.id == waiting.id))
        photo = db.session.get_one(Photo, waiting.id)
        is_waiting = photo.state == "pending"
        if is_waiting:
            keep_photo(photo)
    return is_waiting
