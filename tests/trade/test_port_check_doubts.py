"""Reading a port check of which something is sure and something is not."""

from tests.trade.port_installs import SEED, Truth, codes_for, reading, reasons_of, seeded
from tests.trade.runtimes import result_of

FIRM = {"ports_swapped", "port_shared", "unit_silent", "unit_on_other_port"}


def test_whatever_fails_names_a_sure_cause_and_what_to_do_about_it() -> None:
    rng = seeded()
    print("seed", SEED)  # noqa: T201 -- shown when the test fails.
    codes = codes_for(8, distance=3)
    failed = uncertain = 0
    for _ in range(200):
        truth: Truth = list(range(8))
        one, other = rng.sample(range(8), 2)
        truth[one] = other
        check = reading(codes, truth, rng=rng)
        for row in check["responses"]:
            row["values"] = [value if rng.random() > 0.3 else None for value in row["values"]]
        result = result_of("port_check_read", check)

        if result["verdict"] == "fail":
            failed += 1
            uncertain += result["next_round"] is not None
            causes = FIRM & set(reasons_of(result))
            assert causes, result["reasons"]
            assert {f"next.{code}" for code in causes} <= set(result["next"])
            assert "next.repeat_port_check" in result["next"]
    assert failed > uncertain > 0


def test_a_sure_unit_is_named_though_who_else_is_on_its_port_is_not_sure() -> None:
    truth: Truth = list(range(8))
    truth[3] = 7
    check = reading(codes_for(8, distance=3), truth, rng=seeded(), noise_k=0.0)
    # Behind a locked door in half of the rounds.
    check["responses"][7]["values"] = [
        value if at in {0, 3, 5} else None for at, value in enumerate(check["responses"][7]["values"])
    ]

    result = result_of("port_check_read", check)

    assert result["shared"] == [{"port": "U7", "units": ["U3", "U7"], "clear": False}]
    assert result["verdict"] == "fail"
    assert "unit_on_other_port" in reasons_of(result)
    assert result["next_round"]["read"] == ["U7"]
    assert result["next"][0] == "next.pair_unclear", "a correction ends the rounds"
    assert "next.unit_on_other_port" in result["next"]


def test_a_unit_that_seems_silent_is_not_said_to_be_on_the_port_of_nobody() -> None:
    truth: Truth = list(range(8))
    truth[2] = None

    result = result_of("port_check_read", reading(codes_for(8, distance=3), truth, rng=seeded()))

    [doubt] = [one for one in result["reasons"] if one["values"].get("name") == "U2" and "rival" in one["values"]]
    assert doubt["code"] == "silence_unclear"
    assert (doubt["values"]["port"], doubt["values"]["rival"] is None) == (None, False)
    assert result["next"] == ["next.pair_unclear"]


def test_a_unit_that_may_answer_to_none_is_in_doubt_in_words_of_its_own() -> None:
    codes = codes_for(8, distance=2)
    check = reading(codes, list(range(8)), rng=seeded())
    # Read only while its own port was off.
    check["responses"][2]["values"] = [0.0 if bit == "0" else None for bit in codes[2]["code"]]

    result = result_of("port_check_read", check)

    assert reasons_of(result) == ["pair_unclear_or_none"]
    assert (result["assignment"][2]["port"], result["assignment"][2]["rival"]) == ("U2", None)
    assert result["next"] == ["next.pair_unclear"]
