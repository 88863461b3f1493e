"""Makes sure that nothing runs on a data folder any more, before it is emptied.

let_go_of.py FOLDER: a database that was left running there is stopped. While a server still holds it,
nothing is done, and the exit code is 1.
"""

import json
import sys
from pathlib import Path

import psutil

STOPS_WITHIN_S = 30


def database_of(folder: Path) -> psutil.Process | None:
    """Its first process, when it runs. A number that now belongs to another program is not taken for it."""
    try:
        said = int((folder / "postmaster.pid").read_text().split("\n")[0])
        process = psutil.Process(said)
        return process if str(folder) in process.cmdline() else None
    except (OSError, ValueError, psutil.Error):
        return None


def holders_of(folder: Path) -> list[int]:
    try:
        listed = json.loads((folder / ".handle_pids.json").read_text() or "[]")
    except OSError:
        return []
    return [pid for pid in listed if psutil.pid_exists(pid)]


def main() -> int:
    data = Path(sys.argv[1]).resolve()
    folder = data / "postgres"
    database = database_of(folder)
    if database is None:
        return 0
    if holders := holders_of(folder):
        print(f"A server still runs on {data} (process {holders[0]}). Stop it first, with Ctrl-C where it was started.")
        return 1
    database.send_signal(2)  # SIGINT: PostgreSQL ends what is under way and leaves in order
    database.wait(STOPS_WITHIN_S)
    return 0


if __name__ == "__main__":
    sys.exit(main())
