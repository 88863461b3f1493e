"""The report of `deploy/test --checks` finds what is wrong."""

import math

import pytest

from tests.trade import checks
from tests.trade.checks import Check

NEAR = Check("supply_power", "mean_v", 2, 0.5, "V", 1.0, "invented", "H")


@pytest.mark.parametrize(
    ("value", "expected", "error"),
    [
        (2.5, "2", 0.5),
        (2, "2", 0.0),
        ("pass", "pass", 0.0),
        ("pass", "fail", 1.0),
        (None, "null", 0.0),
        (True, "true", 0.0),
        (True, "1", 1.0),
        (False, "true", 1.0),
        ({"b": 1, "a": 2}, '{"a": 2, "b": 1}', 0.0),
        (None, "pass", math.inf),
        (2.5, "pass", math.inf),
    ],
)
def test_a_word_is_equal_or_not_and_a_number_is_off_by_something(value: object, expected: str, error: float) -> None:
    assert checks.error_of(value, expected=expected) == error


@pytest.mark.parametrize("error", [1.1, math.inf, math.nan])
def test_an_error_beyond_what_is_allowed_or_none_at_all_is_too_far(error: float) -> None:
    far = NEAR._replace(worst_error=error)

    assert NEAR.holds()
    assert not far.holds()
    assert "TOO FAR" in checks.table([NEAR, far]).splitlines()[-1]
    assert "TOO FAR" not in checks.table([NEAR])


@pytest.mark.parametrize(("error", "status"), [(0.5, 0), (1.5, 1)])
def test_the_command_fails_where_one_line_is_too_far(
    error: float, status: int, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(checks, "collect", lambda: [NEAR, NEAR._replace(worst_error=error)])

    code = checks.main()

    assert code == status
    assert f"2 lines, 4 cases, {status} too far" in capsys.readouterr().out


def test_every_test_module_that_compares_with_a_library_is_asked() -> None:
    modules = [module.__name__.rsplit(".", 1)[-1] for module in checks._modules()]

    assert "test_ready_chance" in modules
    assert "test_checks" not in modules
