"""The engine on the command line: what cannot be judged is told by field and limits, never by a crash."""

import io
import json
import subprocess
import sys

import pytest

from flarenut.cli import main

SUPPLY = {"v_ab_v": 400, "v_bc_v": 400, "v_ca_v": 400, "nominal_v": 400, "rotation": "forward"}


def _compute(name: str, typed: str, *, monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr("sys.stdin", io.StringIO(typed))
    return main(["compute", name])


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ("NaN", "not_a_number"),
        ("Infinity", "not_a_number"),
        ("-Infinity", "not_a_number"),
        ("1e999", "out_of_range"),
        ("-1e999", "out_of_range"),
    ],
)
def test_a_number_that_is_none_is_told_by_its_field_and_limits(
    said: str, code: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = json.dumps({**SUPPLY, "v_bc_v": "@"}).replace('"@"', said)

    status = _compute("supply_power", typed, monkeypatch=monkeypatch)

    told = capsys.readouterr()
    assert status == 1
    assert told.out == ""
    assert told.err.startswith("v_bc_v ")
    assert told.err.count("v_bc_v") == 1
    assert "(from 0.0 to 1000.0 V)" in told.err
    assert told.err.endswith(f"[{code}]\n")


def test_a_message_that_does_not_name_its_field_is_told_with_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed = json.dumps({"units": [{"unit": "A"}, {"unit": "A"}], "group_range": [1, 2]})

    _compute("addresses", typed, monkeypatch=monkeypatch)

    assert capsys.readouterr().err == "units[1].unit: A is in the list twice [contradictory]\n"


def test_good_input_passes_unchanged(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    status = _compute("supply_power", json.dumps(SUPPLY), monkeypatch=monkeypatch)

    assert status == 0
    assert json.loads(capsys.readouterr().out)["verdict"] == "pass"


@pytest.mark.parametrize("typed", ["", "{", "[]", "[" * 100_000])
def test_what_is_no_json_object_is_told_so(
    typed: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status = _compute("supply_power", typed, monkeypatch=monkeypatch)

    assert status == 1
    assert "[bad_json]" in capsys.readouterr().err


def test_an_unknown_calculation_is_told_even_with_nothing_typed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status = _compute("dowsing", "", monkeypatch=monkeypatch)

    assert status == 1
    assert "[unknown_calculation]" in capsys.readouterr().err


def test_whoever_stops_reading_early_is_shown_no_traceback() -> None:
    asked = [sys.executable, "-m", "flarenut.cli", "compute", "--list"]

    with subprocess.Popen(asked, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None
        assert running.stderr is not None
        running.stdout.close()
        said = running.stderr.read()

    assert said == b""
