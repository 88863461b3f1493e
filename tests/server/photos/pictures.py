"""Pictures for tests, drawn here."""

import hashlib
import io
import struct
import zlib

from PIL import Image

ORIENTATION = 0x0112
GPS = 0x8825

# Of a PNG: what it begins with, and a chunk without data, which is how it ends.
_BEGIN_BYTES, _END_BYTES = 8, 12


def picture(
    size: tuple[int, int] = (640, 480), *, form: str = "JPEG", colour: str = "#9A3F14", orientation: int = 1
) -> bytes:
    """A plain picture whose left half is another colour, so that turning it shows."""
    image = Image.new("RGB", size, colour)
    image.paste("#1B1A17", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[GPS] = {1: "N", 2: (51.0, 28.0, 38.0)}
    written = io.BytesIO()
    image.save(written, form, exif=exif)
    return written.getvalue()


def noisy_picture(size_px: int = 900) -> bytes:
    """A picture that does not compress: some hundred kilobytes, for uploads that are cut."""
    written = io.BytesIO()
    Image.effect_noise((size_px, size_px), 90).convert("RGB").save(written, "JPEG", quality=90)
    return written.getvalue()


def enormous_png(side_px: int = 30_000) -> bytes:
    """A PNG of a few bytes that says it is 900 million pixels."""
    header = struct.pack(">IIBBBBB", side_px, side_px, 8, 2, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", zlib.compress(bytes(1_000))), (b"IEND", b"")]
    body = b"".join(_chunk(name, data) for name, data in chunks)
    return b"\x89PNG\r\n\x1a\n" + body


def png_with(png: bytes, name: bytes, data: bytes) -> bytes:
    """A PNG with one more chunk between its pixels and its end."""
    return png[:-_END_BYTES] + _chunk(name, data) + png[-_END_BYTES:]


def png_with_sums(png: bytes) -> bytes:
    """As if whoever changed it had known how: the checksum of each chunk is made right again."""
    made, start = [png[:_BEGIN_BYTES]], _BEGIN_BYTES
    while start + _END_BYTES <= len(png):
        length = int.from_bytes(png[start : start + 4])
        name, data = png[start + 4 : start + 8], png[start + 8 : start + 8 + length]
        made.append(_chunk(name, data))
        start += length + _END_BYTES
    return b"".join(made)


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def sha256_of(content: bytes) -> str:
    """As the phone announces it."""
    return hashlib.sha256(content).hexdigest()
