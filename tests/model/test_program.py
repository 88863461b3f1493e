"""A seed at which the program of the phones dies or hangs is named, so that it is kept like any other that failed."""

import sys
import time
from typing import Any

import pytest

from tests.model.program import Program

GOES_WELL = """print('{"begins": 7}\\n{"seed": 7, "problems": []}\\n{"begins": 8}', flush=True)\n"""
WELL = {"seed": 7, "problems": []}


def _told_by(code: str, *, silence_s: float = 60, lines: int = 0) -> list[dict[str, Any]]:
    """Asked once so many lines have been said: a silence is measured from then on."""
    program = Program([sys.executable, "-c", f"import os, time\n{code}"], silence_s=silence_s)
    try:
        until = time.monotonic() + 60
        while program._lines.qsize() < lines:
            assert time.monotonic() < until, "it says nothing"
            time.sleep(0.02)
        return list(program.told())
    finally:
        program.end()


def test_a_program_that_dies_within_a_line_names_the_seed_it_was_at() -> None:
    told = _told_by(GOES_WELL + """os.write(1, b'{"seed": 8, "prob'); os._exit(3)""")

    assert told == [WELL, {"seed": 8, "problems": ["the program of the phones ended with 3"]}]


def test_a_program_that_hangs_names_the_seed_it_was_at() -> None:
    told = _told_by(GOES_WELL + "time.sleep(600)", silence_s=3, lines=3)

    assert told == [WELL, {"seed": 8, "problems": ["the program of the phones was silent for 3 s"]}]


def test_a_program_that_dies_before_any_seed_is_a_fault_of_the_test() -> None:
    with pytest.raises(AssertionError, match="ended with 3, between two seeds"):
        _told_by("os._exit(3)")
