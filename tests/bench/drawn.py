"""What is measured with: observations and photos, the same ones for the same seed."""

import io
import json
import random
from pathlib import Path
from typing import Any

from PIL import Image

SEED = 4
PHOTO_BYTES = 300_000
PHOTO_PX = (1_280, 960)
WORDS = (
    "flare nut",
    "oil trace",
    "insulation gap",
    "drain trap",
    "port two",
    "wrong wire",
    "loose terminal",
    "bent cap",
)
CATEGORIES = ("leak", "drain", "insulation", "damage")
LONGEST_SEGMENT = 65_533


def observation(chance: random.Random) -> dict[str, Any]:
    """A small one: as much as is said of a flare that drips."""
    return {
        "category": chance.choice(CATEGORIES),
        "words": " ".join(chance.choices(WORDS, k=8)),
        "action": " ".join(chance.choices(WORDS, k=4)),
        "evidence": "",
        "stops": [chance.choice(("refrigerant", "supply"))],
        "opensCircuit": False,
        "whoMustAct": chance.choice(("contractor", "technician")),
    }


def draw_observations(path: Path, *, count: int) -> Path:
    """A file with a list of them."""
    chance = random.Random(SEED)
    path.write_text(json.dumps([observation(chance) for _ in range(count)]))
    return path


def draw_photos(folder: Path, *, count: int) -> Path:
    """JPEGs of one size to the byte, no two alike; each can be decoded to its last pixel."""
    folder.mkdir()
    chance = random.Random(SEED)
    picture = _picture(chance)
    for place in range(count):
        (folder / f"{place:04}.jpg").write_bytes(_grown(picture, chance=chance))
    return folder


def _picture(chance: random.Random) -> bytes:
    """As finely grained as makes it nearly that large at the quality that the app uses."""
    width, height = PHOTO_PX
    grain = Image.frombytes("L", (width // 2, height // 2), chance.randbytes(width * height // 4))
    image = Image.merge("RGB", [grain.resize(PHOTO_PX, Image.Resampling.BICUBIC)] * 3)
    for quality in range(90, 10, -4):
        out = io.BytesIO()
        image.save(out, "JPEG", quality=quality)
        if out.tell() < PHOTO_BYTES - 2_000:
            return out.getvalue()
    raise AssertionError("No quality makes the picture small enough.")


def _grown(jpeg: bytes, *, chance: random.Random) -> bytes:
    """With remarks after its first two bytes (COM, ITU-T T.81) until it has the wanted size."""
    room, remarks = PHOTO_BYTES - len(jpeg), b""
    while room > 0:
        size = min(room, LONGEST_SEGMENT + 2)
        size -= 4 if 0 < room - size < 4 else 0
        remarks += b"\xff\xfe" + (size - 2).to_bytes(2, "big") + chance.randbytes(size - 4)
        room -= size
    return jpeg[:2] + remarks + jpeg[2:]
