"""Reads a QR code from its dark modules, as a phone does once it has found the square: ISO/IEC 18004 (M).

Only what the address of a link comes to: versions 2 to 6, bytes, and a picture without a fault in it. Nothing
of the library that draws the code is used, so that its mistakes are seen.
"""

from collections.abc import Iterator

Modules = set[tuple[int, int]]  # (column, row) of what is dark, counted without the quiet zone

FORMAT_MASK, FORMAT_CHECK = 0x5412, 0x537
LEVEL_M = 0
BYTES = 0b0100
# Version: blocks, data words of each, check words of each, at level M.
BLOCKS = {2: (1, 28, 16), 3: (1, 44, 26), 4: (2, 32, 18), 5: (2, 43, 24), 6: (4, 27, 16)}
FIELD = 0x11D
# By number: the modules of row i and column j that are turned over.
MASKS = (
    lambda i, j: (i + j) % 2,
    lambda i, _j: i % 2,
    lambda _i, j: j % 3,
    lambda i, j: (i + j) % 3,
    lambda i, j: (i // 2 + j // 3) % 2,
    lambda i, j: i * j % 2 + i * j % 3,
    lambda i, j: (i * j % 2 + i * j % 3) % 2,
    lambda i, j: ((i + j) % 2 + i * j % 3) % 2,
)


def read_code(dark: Modules) -> str:
    """What the code says; an assertion fails where a phone could not read it."""
    side = 1 + max(max(place) for place in dark)
    version, rest = divmod(side - 17, 4)
    assert rest == 0, f"{side} modules are no code"
    for corner in ((0, 0), (side - 7, 0), (0, side - 7)):
        _is_a_finder(dark, corner=corner)
    words = _words(dark, side=side, mask=_mask_of(dark))
    return _said(_blocks_in_order(words, version=version))


def _is_a_finder(dark: Modules, *, corner: tuple[int, int]) -> None:
    """Rings of a dark square, a light one and a dark heart, by which a camera finds the code."""
    for x in range(7):
        for y in range(7):
            ring = max(abs(x - 3), abs(y - 3))
            assert ((corner[0] + x, corner[1] + y) in dark) == (ring != 2), f"no finder at {corner}"


def _mask_of(dark: Modules) -> int:
    along = [(x, 8) for x in (0, 1, 2, 3, 4, 5, 7, 8)] + [(8, y) for y in (7, 5, 4, 3, 2, 1, 0)]
    told = int("".join(str(int(place in dark)) for place in along), 2) ^ FORMAT_MASK
    rest = told
    for power in range(14, 9, -1):
        rest ^= (FORMAT_CHECK << (power - 10)) if rest >> power & 1 else 0
    assert rest == 0, "the format does not check"
    assert told >> 13 == LEVEL_M
    return told >> 10 & 0b111


def _words(dark: Modules, *, side: int, mask: int) -> list[int]:
    turned = MASKS[mask]
    bits = [int(((x, y) in dark) != (turned(y, x) == 0)) for x, y in _in_reading_order(side)]
    return [int("".join(map(str, bits[at : at + 8])), 2) for at in range(0, len(bits) - 7, 8)]


def _in_reading_order(side: int) -> Iterator[tuple[int, int]]:
    """Two columns at a time from the right, up and down in turn, past what is no data."""
    rights = [*range(side - 1, 6, -2), 5, 3, 1]
    for turn, right in enumerate(rights):
        rows = range(side - 1, -1, -1) if turn % 2 == 0 else range(side)
        for y in rows:
            yield from ((x, y) for x in (right, right - 1) if not _is_furniture(x, y, side=side))


def _is_furniture(x: int, y: int, *, side: int) -> bool:
    """Finders with their margins and the format, the two timing lines, and the small square that keeps it straight."""
    is_finder = (x < 9 and y < 9) or (x >= side - 8 and y < 9) or (x < 9 and y >= side - 8)
    is_straightener = abs(x - (side - 7)) <= 2 and abs(y - (side - 7)) <= 2
    return is_finder or is_straightener or x == 6 or y == 6


def _blocks_in_order(words: list[int], *, version: int) -> bytes:
    """The words are dealt out to the blocks in turn, first the data and then what checks them."""
    count, data, check = BLOCKS[version]
    dealt = count * data
    said = b""
    for block in range(count):
        own = words[block:dealt:count]
        _is_whole(own + words[dealt + block : dealt + count * check : count], check=check)
        said += bytes(own)
    return said


def _is_whole(block: list[int], *, check: int) -> None:
    """Reed and Solomon: the block, taken as a polynomial, is nothing at each of the first powers of two."""
    for power in range(check):
        value = 0
        for word in block:
            value = _times_two_to(value, power=power) ^ word
        assert value == 0, "the words do not check"


def _times_two_to(value: int, *, power: int) -> int:
    for _ in range(power):
        value = value << 1 ^ (FIELD if value & 0x80 else 0)
    return value


def _said(data: bytes) -> str:
    bits = int.from_bytes(data)
    length = len(data) * 8
    assert bits >> (length - 4) == BYTES
    count = bits >> (length - 12) & 0xFF
    return (bits >> (length - 12 - 8 * count) & ((1 << 8 * count) - 1)).to_bytes(count).decode("ascii")
