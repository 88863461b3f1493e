"""Waits until the server on a port says that it is ready; gives up when its process has gone or after a minute.

wait_until_ready.py PORT PID
"""

import json
import os
import sys
import time
import urllib.error
import urllib.request

PATIENCE_S = 60


def answer_of(port: str) -> str:
    """Empty when it is ready, else what is missing."""
    try:
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/readyz", timeout=5):
            return ""
    except urllib.error.HTTPError as error:
        missing = [part for part, is_there in json.load(error).items() if not is_there and part != "ok"]
        return f"not ready: {', '.join(missing)}"
    except OSError as error:
        return str(error)


def main() -> int:
    port, pid = sys.argv[1], int(sys.argv[2])
    deadline = time.monotonic() + PATIENCE_S
    while missing := answer_of(port):
        try:
            os.kill(pid, 0)
        except ProcessLookupError:
            missing = "it stopped by itself"
            deadline = 0
        if time.monotonic() > deadline:
            print(f"The server is not there: {missing}. Its last words are in server.log of the data folder.")
            return 1
        time.sleep(0.1)
    return 0


if __name__ == "__main__":
    sys.exit(main())
