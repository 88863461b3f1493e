"""Everything that is measured of sync, one after the other, in one run on one machine."""

import json
import os
import platform
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import psutil

from tests.bench.bare import insert_again, read_again, write_again
from tests.bench.drawn import SEED, draw_observations, draw_photos, observation
from tests.bench.filling import fill
from tests.bench.in_browser import measure_in_browser
from tests.bench.memory import Peaks
from tests.bench.peer import measure_peer
from tests.bench.stand import Stand

Say = Callable[[str], None]


@dataclass(frozen=True)
class Sizes:
    """How much of each."""

    observations: int = 5_000
    photos: int = 400
    saves: int = 300
    jobs: tuple[int, ...] = (500, 5_000, 50_000)
    changes: int = 25
    cuts: int = 5
    cut_s: float = 5.0


WHOLE = Sizes()
SMALL = Sizes(observations=500, photos=40, saves=50, jobs=(500, 5_000), changes=9, cuts=1)
WRITTEN_DURING_A_CUT = 50


def measure_sync(sizes: Sizes, *, say: Say) -> dict[str, Any]:
    """All figures of one run. [ms] unless the name says otherwise."""
    peaks = Peaks()
    with tempfile.TemporaryDirectory(prefix="flarenut-bench-", ignore_cleanup_errors=True) as name:
        folder = Path(name)
        folder.chmod(0o755)  # PostgreSQL runs as another user where the bench runs as root
        observations = draw_observations(folder / "observations.json", count=sizes.observations)
        photos = draw_photos(folder / "photos", count=sizes.photos)
        began = time.perf_counter()
        stand = Stand(folder, peaks)
        stand.start()
        try:
            figures = _of_ours(stand, sizes=sizes, say=say, observations=observations, photos=photos)
        finally:
            stand.stop()
        for durability in ("flushed", "as_it_comes"):
            say(f"the peer, {durability}")
            drawn = {"observations": observations, "photos": photos, "folder": folder}
            figures[f"peer_{durability}"] = measure_peer(**drawn, peaks=peaks, durability=durability)
        return {
            "machine": _machine(),
            "sizes": asdict(sizes),
            "took_s": time.perf_counter() - began,
            **figures,
            "peak_mb": peaks.mb,
        }


def _of_ours(stand: Stand, *, sizes: Sizes, say: Say, observations: Path, photos: Path) -> dict[str, Any]:
    say("saving, and an idle sync, in a browser")
    figures = measure_in_browser(stand, rounds=sizes.saves)
    say(f"{sizes.observations} observations pushed and pulled, {sizes.photos} photos sent")
    scene = stand.site()
    with stand.peaks.watching("server", pids=stand.pids()):
        work = stand.on_a_phone("workload", **scene, observations=str(observations), photos=str(photos))
    say("the same rows and bytes without sync")
    job_id = scene["site"]["job_id"]
    bare = {
        "insert_ms": insert_again(stand.database, job_id=job_id),
        "select": read_again(stand, job_id=job_id),
        "disk_ms": write_again(photos, into=stand.folder / "bare_photos"),
    }
    say("one change in jobs of several sizes")
    growth = _growth(stand, sizes=sizes)
    say(f"{sizes.cuts} cuts of {sizes.cut_s:.0f} s")
    return {**figures, "work": work, "bare": bare, "growth": growth, "recovery_ms": _recovery(stand, sizes=sizes)}


def _growth(stand: Stand, *, sizes: Sizes) -> list[dict[str, Any]]:
    scenes = [stand.site() for _ in sizes.jobs]
    for scene, rows in zip(scenes, sizes.jobs, strict=True):
        fill(stand.database, site=scene["site"], rows=rows)
    change = observation(random.Random(SEED))
    told = stand.on_a_phone("growth", jobs=scenes, rounds=sizes.changes, change=change)
    return [{"rows": job["rows"], "ms": statistics.median(job["one_ms"]), "all_ms": job["one_ms"]} for job in told]


def _recovery(stand: Stand, *, sizes: Sizes) -> list[float]:
    scene = stand.site()
    chance = random.Random(SEED)
    said = [observation(chance) for _ in range(WRITTEN_DURING_A_CUT)]
    asked = {"site": scene["site"], "writer": scene["writer"], "said": said}
    times: list[float] = stand.on_a_phone("recover", **asked, cut_ms=sizes.cut_s * 1_000, rounds=sizes.cuts)
    return times


def _machine() -> dict[str, Any]:
    """Ratios are of one run; absolute times are of this machine as busy as it was."""
    models = [line for line in Path("/proc/cpuinfo").read_text().splitlines() if line.startswith("model name")]
    return {
        "processor": models[0].partition(": ")[2] if models else platform.processor(),
        "cores": os.cpu_count(),
        "memory_gb": round(psutil.virtual_memory().total / 1e9),
        "load_1_5_15_min": os.getloadavg(),
        "system": platform.platform(),
    }


def write_figures(path: Path, figures: dict[str, Any]) -> None:
    """As JSON."""
    path.write_text(json.dumps(figures, indent=1) + "\n")
