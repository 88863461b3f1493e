"""Standing vacuums of a known shape, with the noise of a gauge, for tests."""

import math
import random
from collections.abc import Callable
from typing import Any

MICRON_PA = 101325 / 760 / 1000
MINUTES = range(0, 61, 5)
NOISE_MICRON = 5.0
Curve = Callable[[float], float]

# What the gauge shows after so many minutes, in micron. The first of each shape is plain, the
# others are slower or smaller and harder to tell.
SHAPES: dict[str, list[tuple[str, Curve]]] = {
    "steady": [("at 300 micron", lambda _: 300), ("at 1,500 micron", lambda _: 1500)],
    "leak": [
        ("12 micron a minute", lambda t: 500 + 12 * t),
        ("3 micron a minute", lambda t: 300 + 3 * t),
        ("1 micron a minute", lambda t: 300 + t),
    ],
    "moisture": [
        ("to 1,495 micron in 11 min", lambda t: 1494.7 - 1095.7 * math.exp(-t / 11.5)),
        ("to 1,495 micron in 30 min", lambda t: 1494.7 - 1095.7 * math.exp(-t / 30)),
        ("by 300 micron in 20 min", lambda t: 600 - 300 * math.exp(-t / 20)),
    ],
    "outgassing": [
        ("100 micron, 1 min", lambda t: 300 + 100 * math.log(1 + t)),
        ("30 micron, 1 min", lambda t: 300 + 30 * math.log(1 + t)),
        ("150 micron, 5 min", lambda t: 300 + 150 * math.log(1 + t / 5)),
    ],
}


def a_stand(micron: list[float], **more: Any) -> dict[str, Any]:
    """A circuit of 60 L with its coldest place at 5 degrees C, read every five minutes."""
    readings = [
        {"t_s": 60 * minute, "pressure_pa": value * MICRON_PA} for minute, value in zip(MINUTES, micron, strict=False)
    ]
    limits = {"limit_pa": 500 * MICRON_PA, "hold_s": 3600}
    return {"readings": readings, "coldest_c": 5, "volume_m3": 0.06, **limits, **more}


def a_noisy_stand(curve: Curve, *, seed: int, noise: float = NOISE_MICRON) -> dict[str, Any]:
    """Readings of a curve on a gauge that shows whole microns and scatters."""
    chance = random.Random(seed)  # noqa: S311 -- noise, not a secret
    return a_stand([round(curve(minute) + chance.gauss(0, noise)) for minute in MINUTES])
