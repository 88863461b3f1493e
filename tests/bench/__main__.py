"""deploy/bench: how fast, how small, beside the least that could be done and beside a peer. Never pass or fail."""

import argparse
from dataclasses import asdict
from pathlib import Path

from tests.bench.report import goals_of, table_of
from tests.bench.sync import SMALL, WHOLE, measure_sync, write_figures


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="deploy/bench", description=__doc__)
    parser.add_argument("what", choices=["sync"])
    parser.add_argument("--small", action="store_true", help="a tenth of everything, to try it out")
    parser.add_argument("--out", type=Path, help="also write every figure there, as JSON")
    return parser.parse_args()


def main() -> None:
    """Measure, tell, write."""
    asked = _asked()
    figures = measure_sync(SMALL if asked.small else WHOLE, say=lambda text: print(f"measuring {text} ...", flush=True))
    figures["goals"] = [{**asdict(goal), "met": goal.is_met} for goal in goals_of(figures)]
    print("\n".join(["", *table_of(figures)]))
    if asked.out:
        write_figures(asked.out, figures)


main()
