"""The pictures of the demo: what a technician or a contractor would have photographed, drawn."""

from collections.abc import Callable

from demo_seed.canvas import Canvas


def _ceiling_void() -> Canvas:
    canvas = Canvas("#6c6a64")
    for x in range(-100, 1700, 260):
        canvas.box((x, 0, x + 16, 1200), fill="#595750")
    canvas.shade(darker=0.45)
    return canvas


def weeping_flare() -> bytes:
    """A flare nut with an oily drop under it."""
    canvas = _ceiling_void()
    canvas.pipe([(-20, 560), (640, 560)], width=90)
    canvas.pipe([(980, 560), (1620, 560)], width=130)
    canvas.shape([(640, 440), (760, 440), (790, 470), (790, 650), (760, 680), (640, 680)], fill="#c9a24b")
    canvas.shape([(790, 480), (980, 470), (980, 650), (790, 640)], fill="#a67f32")
    canvas.box((640, 520, 790, 540), fill="#e8cd85")
    canvas.box((640, 600, 790, 612), fill="#84631f")
    canvas.shape([(705, 690), (745, 780), (665, 780)], fill="#dcecf2")
    canvas.disc(705, 790, 42, fill="#dcecf2")
    canvas.disc(692, 778, 12, fill="#ffffff")
    canvas.mark(710, 740, 190)
    return canvas.jpeg()


def twisted_wires() -> bytes:
    """Two cores of a communication line under twist-on connectors."""
    canvas = Canvas("#43474f")
    canvas.box((120, 120, 1480, 1080), fill="#565b64", round_px=30)
    canvas.shade(darker=0.35)
    canvas.wave((60, 930), (820, 560), height=60, turns=1, colour="#d8cf8f", width=34)
    canvas.wave((60, 1010), (830, 640), height=60, turns=1, colour="#9fb4c7", width=34)
    for turn in range(6):
        x = 800 + turn * 34
        canvas.line([(x, 560 - turn * 6), (x + 30, 650 - turn * 8)], colour="#d8cf8f", width=22)
        canvas.line([(x + 10, 650 - turn * 8), (x + 34, 560 - turn * 6)], colour="#9fb4c7", width=22)
    canvas.shape([(1000, 505), (1230, 425), (1270, 560), (1040, 655)], fill="#c9732b")
    for ridge in range(4):
        canvas.line(
            [(1060 + ridge * 48, 492 - ridge * 16), (1094 + ridge * 48, 622 - ridge * 20)], colour="#8f4d18", width=10
        )
    canvas.mark(1010, 570, 250)
    return canvas.jpeg()


def _wall_unit(*, screen: str) -> Canvas:
    canvas = Canvas("#b9b2a4")
    canvas.shade(darker=0.3)
    canvas.box((520, 240, 1080, 920), fill="#8f897d", round_px=40)
    canvas.box((510, 225, 1070, 905), fill="#f1ede4", round_px=40)
    canvas.box((590, 310, 990, 560), fill=screen, round_px=16)
    for x in (670, 790, 910):
        canvas.disc(x, 720, 42, fill="#d3ccbe")
    return canvas


def dark_display() -> bytes:
    """A wall controller whose display stays dark."""
    canvas = _wall_unit(screen="#23251f")
    canvas.mark(790, 435, 270)
    return canvas.jpeg()


def lit_display() -> bytes:
    """The same wall controller with its display on."""
    canvas = _wall_unit(screen="#cfe3c2")
    canvas.words(790, 435, "21.5 °C", size=92, colour="#1b2a17")
    return canvas.jpeg()


def sagging_pipe() -> bytes:
    """A branch joint that hangs between two supports too far apart."""
    canvas = _ceiling_void()
    for x in (150, 1450):
        canvas.box((x - 9, 0, x + 9, 430), fill="#bcb8ae")
        canvas.box((x - 70, 420, x + 70, 450), fill="#d6d2c7", round_px=10)
    sag = [(150 + i * 13.0, 480 + 190 * (1 - ((i - 50) / 50) ** 2)) for i in range(101)]
    canvas.pipe(sag, width=80)
    canvas.pipe([(800, 670), (1010, 900)], width=60)
    canvas.box((730, 610, 870, 730), fill="#a8682d", round_px=24)
    canvas.mark(800, 670, 200)
    return canvas.jpeg()


def another_joint() -> bytes:
    """A joint with a new support, though not the one that was asked for."""
    canvas = _ceiling_void()
    canvas.box((790, 0, 810, 520), fill="#bcb8ae")
    canvas.pipe([(-20, 560), (1620, 560)], width=80)
    canvas.pipe([(800, 560), (800, 1220)], width=60)
    canvas.box((700, 500, 900, 620), fill="#a8682d", round_px=24)
    canvas.box((690, 486, 910, 506), fill="#d6d2c7", round_px=8)
    canvas.words(1160, 420, "J4", size=120, colour="#f7f4ee")
    return canvas.jpeg()


def reversed_rotation() -> bytes:
    """A rotation tester whose arrow points left."""
    canvas = Canvas("#4a4b4d")
    canvas.shade(darker=0.4)
    canvas.box((420, 120, 1180, 1080), fill="#d9a72b", round_px=70)
    canvas.box((490, 190, 1110, 700), fill="#2a2a28", round_px=30)
    for i, name in enumerate(("L1", "L2", "L3")):
        canvas.disc(620 + i * 180, 310, 44, fill="#f4efe2")
        canvas.words(620 + i * 180, 400, name, size=52, colour="#f4efe2")
    canvas.shape([(600, 560), (760, 470), (760, 525), (1000, 525), (1000, 595), (760, 595), (760, 650)], fill="#f4efe2")
    for i, colour in enumerate(("#6b4a2c", "#26282b", "#8a8d90")):
        canvas.line([(620 + i * 180, 860), (560 + i * 240, 1240)], colour=colour, width=36)
        canvas.disc(620 + i * 180, 850, 48, fill="#7d6015")
    return canvas.jpeg()


def uphill_drain() -> bytes:
    """A condensate drain that climbs away from its unit."""
    canvas = Canvas("#7b7c77")
    canvas.shade(darker=0.4)
    canvas.box((60, 560, 520, 980), fill="#e7e3d8", round_px=20)
    for y in (640, 700, 760):
        canvas.box((120, y, 460, y + 18), fill="#c5bfb1")
    canvas.line([(520, 900), (1560, 620)], colour="#f4f2ec", width=74)
    canvas.line([(520, 884), (1560, 604)], colour="#ffffff", width=14)
    canvas.line([(700, 1000), (1400, 1000)], colour="#1b1a17", width=8)
    canvas.box((880, 905, 1120, 985), fill="#cfd65b", round_px=14)
    canvas.disc(960, 945, 24, fill="#f3f7c0")
    canvas.mark(1160, 725, 190)
    return canvas.jpeg()


def small_hatch() -> bytes:
    """A ceiling hatch smaller than the unit above it."""
    canvas = Canvas("#dcd8cd")
    canvas.shade(darker=0.25)
    for at in (0, 400, 800, 1200):
        canvas.box((at, 0, at + 8, 1200), fill="#c3beb1")
        canvas.box((0, at, 1600, at + 8), fill="#c3beb1")
    canvas.box((610, 430, 990, 810), fill="#23221f", round_px=8)
    canvas.box((640, 460, 960, 780), fill="#57544c")
    canvas.box((500, 560, 640, 600), fill="#57544c")
    canvas.words(800, 910, "380 x 380", size=70, colour="#1b1a17")
    return canvas.jpeg()


def bare_pipe() -> bytes:
    """A pipe whose insulation ends short of the joint."""
    canvas = _ceiling_void()
    canvas.pipe([(-20, 600), (1620, 600)], width=90)
    canvas.box((-20, 520, 620, 680), fill="#23241f", round_px=30)
    canvas.box((1010, 520, 1640, 680), fill="#23241f", round_px=30)
    canvas.mark(815, 600, 240)
    return canvas.jpeg()


def covered_pipe() -> bytes:
    """The same pipe, covered."""
    canvas = _ceiling_void()
    canvas.box((-20, 520, 1640, 680), fill="#23241f", round_px=30)
    for x in (620, 1010):
        canvas.box((x - 45, 514, x + 45, 686), fill="#3d3f38", round_px=8)
    return canvas.jpeg()


PICTURES: dict[str, Callable[[], bytes]] = {
    picture.__name__: picture
    for picture in (
        weeping_flare,
        twisted_wires,
        dark_display,
        lit_display,
        sagging_pipe,
        another_joint,
        reversed_rotation,
        uphill_drain,
        small_hatch,
        bare_pipe,
        covered_pipe,
    )
}
