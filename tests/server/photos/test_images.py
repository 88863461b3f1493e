"""What is taken for a photo, and what is made from it."""

import io
import random
import secrets
from collections.abc import Callable
from contextlib import suppress

import pytest
from PIL import Image

from flarenut.photos.images import NotAPhoto, check_photo, make_rendition, media_type
from tests.server.photos.pictures import GPS, ORIENTATION, enormous_png, picture, png_with, png_with_sums


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_what_phones_make_is_a_photo(form: str) -> None:
    whole = io.BytesIO(picture(form=form))

    check_photo(whole)
    small_jpeg = make_rendition(whole, side_px=320)

    with Image.open(small_jpeg) as small:
        assert small.format == "JPEG"
        assert small.size == (320, 240)


def test_two_pictures_in_one_jpeg_are_a_jpeg_to_the_browser() -> None:
    """Phones with two lenses write such files."""
    whole, second = io.BytesIO(), Image.new("RGB", (64, 48))
    Image.open(io.BytesIO(picture())).save(whole, "MPO", save_all=True, append_images=[second])
    whole.seek(0)

    check_photo(whole)

    assert media_type(whole) == "image/jpeg"


NO_PHOTOS = {
    "a drawing in another format": picture(form="GIF"),
    "half a photo": picture()[:-2_000],
    "a web page": b"<html><script>alert(1)</script></html>",
    "more pixels than any phone makes": enormous_png(),
    "just over the limit of pixels": enormous_png(6_400),
    "a profile without an end behind the pixels": png_with(picture((48, 36), form="PNG"), b"iCCP", b"x\0"),
}


@pytest.mark.parametrize("content", NO_PHOTOS.values(), ids=NO_PHOTOS.keys())
def test_what_is_no_photo_is_refused_with_a_reason(content: bytes) -> None:
    with pytest.raises(NotAPhoto, match=r"This (is not|image)"):
        check_photo(io.BytesIO(content))


TIMES = 600
SPOILED_BYTES = 4


def _spoiled(whole: bytes, *, chance: random.Random) -> bytes:
    content = bytearray(whole)
    for _ in range(chance.randint(1, SPOILED_BYTES)):
        content[chance.randrange(len(content))] = chance.randrange(256)
    if chance.random() < 0.2:
        place = chance.randrange(len(content))
        content[place:place] = chance.randbytes(chance.randint(1, SPOILED_BYTES))
    return bytes(content)


def _spoiled_png(whole: bytes, *, chance: random.Random) -> bytes:
    """Most of a PNG is guarded by checksums: so these are right, and the chunks that may be there are cut short."""
    name = chance.choice([b"iCCP", b"tEXt", b"zTXt", b"iTXt", b"pHYs", b"gAMA", b"sRGB", b"cHRM", b"tRNS", b"eXIf"])
    cut = chance.choice([b"", b"x", b"x\0", b"x\0\0", b"x\0\1\0", chance.randbytes(SPOILED_BYTES)])
    return png_with(png_with_sums(_spoiled(whole, chance=chance)), name, cut)


SPOILED: dict[str, Callable[..., bytes]] = {"JPEG": _spoiled, "PNG": _spoiled_png, "WEBP": _spoiled}


@pytest.mark.filterwarnings("ignore::UserWarning")  # what is wrong beside the pixels is no reason to refuse them
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_spoiled_picture_is_a_photo_or_is_none_and_never_an_error(form: str) -> None:
    """Anything else that is raised would be "try again later" to its phone, for ever."""
    seed = secrets.randbelow(1_000_000)
    print(f"seed {seed}")  # noqa: T201 -- with it, the same bytes can be spoiled again.
    chance = random.Random(seed)  # noqa: S311 -- as above.
    whole, taken = picture((48, 36), form=form), 0

    for _ in range(TIMES):
        content = SPOILED[form](whole, chance=chance)
        with suppress(NotAPhoto):
            check_photo(io.BytesIO(content))
            taken += 1
        with suppress(NotAPhoto):
            make_rendition(io.BytesIO(content), side_px=32)

    assert 0 < taken < TIMES


def test_a_machine_without_memory_says_nothing_of_the_photo(monkeypatch: pytest.MonkeyPatch) -> None:
    def is_full(_image: Image.Image) -> None:
        raise MemoryError

    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", is_full)

    with pytest.raises(MemoryError):
        check_photo(io.BytesIO(picture(form="PNG")))


def test_a_rendition_stands_upright_and_says_nothing_about_the_place() -> None:
    whole = io.BytesIO(picture((640, 480), orientation=6))
    with Image.open(whole) as before:
        assert GPS in before.getexif()

    small_jpeg = make_rendition(whole, side_px=320)

    with Image.open(small_jpeg) as small:
        assert small.size == (240, 320)
        assert ORIENTATION not in small.getexif()
        assert GPS not in small.getexif()
        dark, copper = small.getpixel((120, 20)), small.getpixel((120, 300))
        assert sum(dark) < 150 < sum(copper)


def test_a_small_photo_is_not_blown_up() -> None:
    small_jpeg = make_rendition(io.BytesIO(picture((200, 100))), side_px=1280)

    with Image.open(small_jpeg) as small:
        assert small.size == (200, 100)


def test_what_is_transparent_becomes_paper() -> None:
    whole = io.BytesIO()
    Image.new("RGBA", (40, 40), (0, 0, 0, 0)).save(whole, "PNG")

    small_jpeg = make_rendition(whole, side_px=320)

    with Image.open(small_jpeg) as small:
        assert small.getpixel((20, 20)) == (255, 255, 255)


def test_a_grey_of_16_bits_keeps_its_light_and_shade() -> None:
    whole, ramp = io.BytesIO(), Image.new("I;16", (256, 8))
    for x, y in ((x, y) for x in range(256) for y in range(8)):
        ramp.putpixel((x, y), x * 257)
    ramp.save(whole, "PNG")

    small_jpeg = make_rendition(whole, side_px=320)

    with Image.open(small_jpeg) as small:
        seen = [small.convert("L").getpixel((x, 4)) for x in (0, 64, 128, 255)]
    assert seen == pytest.approx([0, 64, 128, 255], abs=4)
