"""Is this a photo that we can show, and how is a smaller one made from it?"""

import io
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from PIL import Image, ImageOps, UnidentifiedImageError

FORMATS = ("JPEG", "PNG", "WEBP")

# A photo of 40 million pixels takes 120 MB when decoded: more than any phone of the trade
# makes, and as much as one worker should be asked to hold (P).
MAX_PIXELS = 40_000_000
Image.MAX_IMAGE_PIXELS = MAX_PIXELS

QUALITY = 82  # The eye sees no loss of detail at this setting (P).
# MPO: a JPEG with further pictures behind the first, as phones with two lenses write it.
MEDIA_TYPES = {"JPEG": "image/jpeg", "MPO": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}


class NotAPhoto(Exception):
    """The bytes are no photo that can be kept. The words say why."""


def check_photo(content: BinaryIO) -> None:
    """Decode every pixel: a file that only begins like a photo is none."""
    with _opened(content) as image:
        image.load()


@contextmanager
def _opened(content: BinaryIO) -> Iterator[Image.Image]:
    """Whatever cannot be read of it, now or while it is decoded inside, makes it no photo."""
    try:
        with Image.open(content, formats=FORMATS) as image:
            _check_size(image)
            yield image
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise NotAPhoto(_too_many_pixels()) from error
    except UnidentifiedImageError as error:
        raise NotAPhoto("This is not a JPEG, PNG or WebP image.") from error
    except (NotAPhoto, MemoryError):
        raise
    except Exception as error:  # a decoder that meets what it was not made for stumbles in any way there is.
        raise NotAPhoto("This image is damaged and cannot be decoded to its end.") from error


def _check_size(image: Image.Image) -> None:
    if image.width * image.height > MAX_PIXELS:
        raise NotAPhoto(_too_many_pixels())


def _too_many_pixels() -> str:
    return f"This image has more than {MAX_PIXELS // 1_000_000} million pixels, which is the limit."


def media_type(content: BinaryIO) -> str:
    """What to tell the browser that the kept photo is."""
    with _opened(content) as image:
        return MEDIA_TYPES[image.format or "JPEG"]


def make_rendition(whole: BinaryIO, *, side_px: int) -> BinaryIO:
    """A smaller JPEG from the pixels alone: turned upright, and with nothing else of the file.

    What a phone wrote beside the pixels, the place among it, does not travel on.
    """
    with _opened(whole) as image:
        image.draft("RGB", (side_px, side_px))
        upright = ImageOps.exif_transpose(_in_eight_bits(image))
        upright.thumbnail((side_px, side_px), Image.Resampling.LANCZOS)
        flat = _on_white(upright)
    written = io.BytesIO()
    flat.save(written, "JPEG", quality=QUALITY, progressive=True)
    written.seek(0)
    return written


def _in_eight_bits(image: Image.Image) -> Image.Image:
    """A scanner's or a thermal camera's grey of 16 bits: taken as it is, all but its darkest 256th would be white."""
    return image.point(lambda level: level / 256).convert("L") if image.mode.startswith("I") else image


def _on_white(image: Image.Image) -> Image.Image:
    """A fresh image of the pixels only; what is transparent becomes paper."""
    pixels = image.convert("RGBA") if image.mode in ("P", "LA", "RGBA", "PA") else image.convert("RGB")
    flat = Image.new("RGB", pixels.size, "white")
    flat.paste(pixels, mask=pixels.getchannel("A") if pixels.mode == "RGBA" else None)
    return flat
