"""Which store this server keeps its photos in: a bucket if one is named, else a folder."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any
from uuid import UUID

from flarenut.photos.disk_store import DiskStore, is_writable
from flarenut.photos.kept import PhotoStore

if TYPE_CHECKING:
    from flarenut.photos.s3_store import Bucket


def photo_store(settings: Mapping[str, Any], *, company_id: UUID) -> PhotoStore:
    """The photos of one company."""
    if settings["FLARENUT_PHOTO_BUCKET"]:
        from flarenut.photos.s3_store import S3Store  # noqa: PLC0415 -- boto3 takes a second to load.

        return S3Store(_bucket(settings), company_id)
    return DiskStore(settings["FLARENUT_PHOTO_DIR"], company_id)


def photos_can_be_kept(settings: Mapping[str, Any]) -> bool:
    """For whoever asks whether the server can do its work."""
    if settings["FLARENUT_PHOTO_BUCKET"]:
        from flarenut.photos.s3_store import is_reachable  # noqa: PLC0415 -- see above.

        return is_reachable(_bucket(settings))
    return is_writable(settings["FLARENUT_PHOTO_DIR"])


def _bucket(settings: Mapping[str, Any]) -> "Bucket":
    from flarenut.photos.s3_store import Bucket  # noqa: PLC0415 -- see above.

    return Bucket(
        name=settings["FLARENUT_PHOTO_BUCKET"],
        endpoint=settings["FLARENUT_PHOTO_ENDPOINT"],
        region=settings["FLARENUT_PHOTO_REGION"],
        key_id=settings["FLARENUT_PHOTO_KEY_ID"],
        key_secret=settings["FLARENUT_PHOTO_KEY_SECRET"],
    )
