"""Photo files as a phone's camera would leave them: large, turned on their side, with a place in them."""

import io
import os

from PIL import Image

ORIENTATION, GPS = 0x0112, 0x8825
TURNED_RIGHT = 6  # the camera was held upright; the picture must be turned by 90 degrees to be seen so
LATITUDE_REF, LATITUDE = 1, 2


def camera_photo(*, width: int = 1600, height: int = 1200) -> bytes:
    """Grain compresses badly, as a real photo of a dusty void does."""
    grain = Image.frombytes("RGB", (width // 4, height // 4), os.urandom(width * height * 3 // 16))
    photo = grain.resize((width, height), Image.Resampling.BICUBIC)
    exif = Image.Exif()
    exif[ORIENTATION] = TURNED_RIGHT
    exif.get_ifd(GPS).update({LATITUDE_REF: "N", LATITUDE: (1.0, 2.0, 3.0)})
    out = io.BytesIO()
    photo.save(out, "JPEG", quality=92, exif=exif)
    return out.getvalue()
