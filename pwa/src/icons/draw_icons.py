#!/usr/bin/env python3
"""Draws the app's icons: a flare nut seen along the pipe, a hexagon with a round bore.

Run from the repository root: python pwa/src/icons/draw_icons.py
The pictures are committed; run this again only after changing the drawing.
"""

import math
from pathlib import Path

from PIL import Image, ImageDraw

PAPER = "#F7F4EE"
COPPER = "#9A3F14"
OVERSAMPLE = 4
OUT = Path(__file__).parents[2] / "public" / "icons"


def draw_nut(size_px: int, *, radius_share: float, corner_share: float) -> Image.Image:
    """Draw the nut with its corners at radius_share of the size from the middle."""
    full = size_px * OVERSAMPLE
    picture = Image.new("RGBA", (full, full), (0, 0, 0, 0))
    pen = ImageDraw.Draw(picture)
    pen.rounded_rectangle((0, 0, full - 1, full - 1), radius=corner_share * full, fill=PAPER)
    middle = full / 2
    radius = radius_share * full
    corners = [
        (middle + radius * math.sin(math.tau * k / 6), middle - radius * math.cos(math.tau * k / 6)) for k in range(6)
    ]
    stroke = round(radius * 0.24)
    pen.polygon(corners, fill=COPPER)
    pen.line([*corners, corners[0], corners[1]], fill=COPPER, width=stroke // 2, joint="curve")
    seat = radius * 0.58
    bore = radius * 0.34
    pen.ellipse((middle - seat, middle - seat, middle + seat, middle + seat), fill=PAPER)
    pen.ellipse(
        (middle - bore, middle - bore, middle + bore, middle + bore),
        outline=COPPER,
        width=round(stroke * 0.55),
    )
    return picture.resize((size_px, size_px), Image.Resampling.LANCZOS)


def main() -> None:
    """Write every icon that the manifest names."""
    OUT.mkdir(parents=True, exist_ok=True)
    for size_px in (192, 512):
        icon = draw_nut(size_px, radius_share=0.4, corner_share=0.22)
        icon = icon.quantize(64, method=Image.Quantize.FASTOCTREE)
        icon.save(OUT / f"icon-{size_px}.png", optimize=True)
    # Systems cut a maskable icon to any shape inside the middle 80 %.
    maskable = draw_nut(512, radius_share=0.3, corner_share=0).convert("RGB").quantize(64)
    maskable.save(OUT / "maskable-512.png", optimize=True)


if __name__ == "__main__":
    main()
