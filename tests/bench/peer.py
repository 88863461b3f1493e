"""The same work through a peer: PouchDB under Node against express-pouchdb, both on this machine."""

import subprocess
from pathlib import Path
from typing import Any, Literal

from tests.bench.memory import Peaks
from tests.bench.stand import run_node
from tests.model.bench import NODE
from tests.phone.server_process import ROOT

HERE = Path(__file__).parent / "peer"
# Installed there by deploy/bench, from the lock file beside the peer's programs.
PACKAGES = ROOT / ".flarenut" / "peer"
Durability = Literal["flushed", "as_it_comes"]


def measure_peer(*, observations: Path, photos: Path, folder: Path, peaks: Peaks, durability: Durability) -> Any:
    """[ms] for pushing the documents, for a whole pull, and for the photos."""
    kept = folder / f"peer_{durability}"
    line = [str(NODE), str(HERE / "server.mjs"), str(PACKAGES), str(kept), durability]
    with subprocess.Popen(line, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        port = server.stdout.readline().strip()
        asked = [str(PACKAGES), port, str(observations), str(photos)]
        try:
            with peaks.watching("peer, server", pids=[server.pid]):
                return run_node([str(NODE), str(HERE / "client.mjs"), *asked], peaks=peaks, name="peer, client")
        finally:
            server.terminate()
