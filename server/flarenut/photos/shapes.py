"""What a phone may say about a photo before its bytes arrive."""

from marshmallow import fields, validate

from flarenut.photos.marks import Marks
from flarenut.shape import Shape, Whole, moment, row_id_or_none

# The phone sends at most 2,048 px as JPEG, about 1 MB; 20 MB leaves room for a full photo (P).
LARGEST_PHOTO_BYTES = 20_000_000
LARGEST_SIDE_PX = 20_000

_SHA256 = validate.Regexp(r"^[0-9a-f]{64}\Z", error="must be 64 digits 0-9 a-f")


class PhotoAdd(Shape):
    issue_id = row_id_or_none()
    reading_id = row_id_or_none()
    unit_id = row_id_or_none()
    sha256 = fields.String(required=True, validate=_SHA256)
    size_bytes = Whole(low=1, high=LARGEST_PHOTO_BYTES, required=True)
    width_px = Whole(low=1, high=LARGEST_SIDE_PX, required=True)
    height_px = Whole(low=1, high=LARGEST_SIDE_PX, required=True)
    taken_at = moment()
    marks = Marks(load_default=list)


class PhotoMark(Shape):
    marks = Marks(required=True)
