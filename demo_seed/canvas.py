"""A drawing surface for the demo's pictures: drawn at twice the size and scaled down, so that edges are smooth."""

import io
import math

from PIL import Image, ImageDraw, ImageFilter, ImageFont

WIDTH_PX, HEIGHT_PX = 1600, 1200
SCALE = 2
CAPTION = "Drawn for the demo, not a photograph"
Point = tuple[float, float]


class Canvas:
    """Coordinates are those of the finished picture, 1600 by 1200, from the top left."""

    def __init__(self, background: str) -> None:
        self.image = Image.new("RGB", (WIDTH_PX * SCALE, HEIGHT_PX * SCALE), background)
        self.draw = ImageDraw.Draw(self.image)

    def shade(self, *, darker: float) -> None:
        """Darkens the picture towards its lower edge, as a torch from above would leave it."""
        ramp = Image.linear_gradient("L").resize(self.image.size).point(lambda level: int(level * darker))
        self.image.paste(Image.new("RGB", self.image.size, "black"), mask=ramp)
        self.draw = ImageDraw.Draw(self.image)

    def box(self, sides: tuple[float, float, float, float], *, fill: str, round_px: float = 0) -> None:
        """Left, top, right, bottom."""
        corners = [side * SCALE for side in sides]
        self.draw.rounded_rectangle(corners, radius=round_px * SCALE, fill=fill)

    def disc(self, x: float, y: float, radius: float, *, fill: str) -> None:
        corners = [side * SCALE for side in (x - radius, y - radius, x + radius, y + radius)]
        self.draw.ellipse(corners, fill=fill)

    def ring(self, x: float, y: float, radius: float, *, colour: str, width: float) -> None:
        corners = [side * SCALE for side in (x - radius, y - radius, x + radius, y + radius)]
        self.draw.ellipse(corners, outline=colour, width=int(width * SCALE))

    def shape(self, points: list[Point], *, fill: str) -> None:
        self.draw.polygon([(x * SCALE, y * SCALE) for x, y in points], fill=fill)

    def line(self, points: list[Point], *, colour: str, width: float) -> None:
        scaled = [(x * SCALE, y * SCALE) for x, y in points]
        self.draw.line(scaled, fill=colour, width=int(width * SCALE), joint="curve")
        for x, y in (points[0], points[-1]):
            self.disc(x, y, width / 2, fill=colour)

    def wave(self, start: Point, end: Point, *, height: float, turns: float, colour: str, width: float) -> None:
        """A line that swings from side to side, as a wire or a loose pipe does."""
        points = []
        for i in range(121):
            t = i / 120
            swing = height * math.sin(turns * 2 * math.pi * t)
            points.append((start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t + swing))
        self.line(points, colour=colour, width=width)

    def pipe(self, points: list[Point], *, width: float) -> None:
        """A copper pipe with a light along its upper edge."""
        self.line(points, colour="#7d4a24", width=width)
        self.line(points, colour="#b87333", width=width * 0.82)
        raised = [(x, y - width * 0.18) for x, y in points]
        self.line(raised, colour="#e0a878", width=width * 0.14)

    def words(self, x: float, y: float, text: str, *, size: float, colour: str) -> None:
        font = ImageFont.load_default(size * SCALE)
        self.draw.text((x * SCALE, y * SCALE), text, fill=colour, font=font, anchor="mm")

    def mark(self, x: float, y: float, radius: float) -> None:
        """The ring that a technician draws round what is wrong."""
        self.ring(x, y, radius + 3, colour="#1b1a17", width=22)
        self.ring(x, y, radius, colour="#ffffff", width=14)

    def jpeg(self) -> bytes:
        """The finished picture: a little grain, the caption, JPEG."""
        smooth = self.image.reduce(SCALE)
        grain = Image.effect_noise(smooth.size, 11).convert("RGB")
        finished = Image.blend(smooth, grain, 0.07).filter(ImageFilter.SMOOTH)
        draw = ImageDraw.Draw(finished)
        draw.rectangle((0, HEIGHT_PX - 58, WIDTH_PX, HEIGHT_PX), fill="#1b1a17")
        font = ImageFont.load_default(30)
        draw.text((WIDTH_PX / 2, HEIGHT_PX - 29), CAPTION, fill="#f7f4ee", font=font, anchor="mm")
        out = io.BytesIO()
        finished.save(out, "JPEG", quality=82)
        return out.getvalue()
