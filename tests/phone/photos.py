"""Photo files as a phone's camera would leave them: large, turned on their side, with a place in them."""

import io
import os

from PIL import Image

ORIENTATION, GPS = 0x0112, 0x8825
TURNED_RIGHT = 6  # the camera was held upright; the picture must be turned by 90 degrees to be seen so
LATITUDE_REF, LATITUDE = 1, 2
COLOURS = {"red": (200, 30, 30), "green": (30, 160, 30), "blue": (30, 30, 200), "yellow": (220, 200, 30)}
# From the top left clockwise: as the sensor has them, and as a person sees them once it is turned.
AS_FILED = ["red", "green", "blue", "yellow"]
AS_SEEN = ["yellow", "red", "green", "blue"]
CORNER = 8  # each corner is this part of the width and of the height


def camera_photo(*, width: int = 1600, height: int = 1200) -> bytes:
    """Grain compresses badly, as a real photo of a dusty void does; the corners tell which way is up."""
    grain = Image.frombytes("RGB", (width // 4, height // 4), os.urandom(width * height * 3 // 16))
    photo = grain.resize((width, height), Image.Resampling.BICUBIC)
    across, down = width // CORNER, height // CORNER
    places = ((0, 0), (width - across, 0), (width - across, height - down), (0, height - down))
    for (x, y), name in zip(places, AS_FILED, strict=True):
        photo.paste(COLOURS[name], (x, y, x + across, y + down))
    out = io.BytesIO()
    photo.save(out, "JPEG", quality=92, exif=_turned_and_placed())
    return out.getvalue()


def _turned_and_placed() -> Image.Exif:
    exif = Image.Exif()
    exif[ORIENTATION] = TURNED_RIGHT
    exif.get_ifd(GPS).update({LATITUDE_REF: "N", LATITUDE: (1.0, 2.0, 3.0)})
    return exif


def corners(photo: Image.Image) -> list[str]:
    """The colours of its corners from the top left clockwise, each called by what it is nearest to."""
    right, bottom = photo.width - 1, photo.height - 1
    across, down = photo.width // (2 * CORNER), photo.height // (2 * CORNER)
    places = ((across, down), (right - across, down), (right - across, bottom - down), (across, bottom - down))
    pixels = [photo.convert("RGB").getpixel(place) for place in places]
    return [min(COLOURS, key=lambda name: _apart(COLOURS[name], pixel)) for pixel in pixels]


def _apart(one: tuple[int, ...], other: tuple[int, ...]) -> int:
    return sum(abs(a - b) for a, b in zip(one, other, strict=True))
