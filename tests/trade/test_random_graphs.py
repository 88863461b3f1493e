"""The engine's own graph work against networkx, on random graphs."""

from itertools import pairwise
from typing import Any

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade import random_graphs
from tests.trade.checks import Check
from tests.trade.runtimes import here, on_the_phone, result_of

OPEN = ("open", "sent_back")
STOPPING = (*OPEN, "answered")


def library_checks() -> list[Check]:
    """Lengths and finishes of drawn graphs, and when drawn plans are ready."""
    path_s: list[float] = []
    ready_s: list[float] = []

    @random_graphs.RANDOM
    @given(random_graphs.steps())
    def measure_paths(steps: list[dict[str, Any]]) -> None:
        tasks = [{**step, "duration_s": step["duration_s"]["likely"]} for step in steps]
        weight = {task["id"]: task["duration_s"] for task in tasks}
        finish = random_graphs.longest_finish(random_graphs.graph_of(tasks), weight=weight)
        result = result_of("critical_path", {"tasks": tasks})
        path_s.append(abs(result["length_s"] - max(finish.values())))
        path_s.extend(abs(task["early_finish_s"] - finish[task["id"]]) for task in result["tasks"])

    @random_graphs.RANDOM
    @given(random_graphs.plans())
    def measure_plans(plan: dict[str, Any]) -> None:
        result = result_of("return_plan", plan)
        ready = ready_by_longest_path_s(plan)
        ready_s.extend(abs(result[output] - plan["now"] - expected) for output, expected in ready.items())

    measure_paths()
    measure_plans()
    source = "networkx, longest path"
    return [
        Check("critical_path", "length and early finish, drawn", len(path_s), max(path_s), "s", 0.0, source, "L"),
        Check("return_plan", "ready_at of drawn plans", len(ready_s), max(ready_s), "s", 0.0, source, "L"),
    ]


def test_drawn_graphs_and_plans_of_the_report_come_out_as_by_the_library() -> None:
    checks = library_checks()

    assert all(check.cases > 50 for check in checks)
    assert all(check.holds() for check in checks)


@random_graphs.RANDOM
@given(random_graphs.steps())
def test_the_critical_path_is_the_longest_path(steps: list[dict[str, Any]]) -> None:
    tasks = [{"id": step["id"], "needs": step["needs"], "duration_s": step["duration_s"]["likely"]} for step in steps]
    weight = {task["id"]: task["duration_s"] for task in tasks}
    graph = random_graphs.graph_of(tasks)

    result = result_of("critical_path", {"tasks": tasks})

    finish = random_graphs.longest_finish(graph, weight=weight)
    behind = random_graphs.longest_finish(graph.reverse(), weight=weight)
    assert result["length_s"] == max(finish.values())
    for task in result["tasks"]:
        name = task["id"]
        room = result["length_s"] - finish[name] - behind[name] + weight[name]
        assert task["early_finish_s"] == finish[name]
        assert task["late_start_s"] == result["length_s"] - behind[name]
        assert task["float_s"] == room
        assert task["critical"] == (room == 0)
        followers = [finish[after] - weight[after] for after in graph.successors(name)]
        assert task["free_float_s"] == min([result["length_s"], *followers]) - finish[name]


@random_graphs.RANDOM
@given(random_graphs.steps(), st.data())
def test_a_cycle_is_refused_wherever_it_is(steps: list[dict[str, Any]], data: st.DataObject) -> None:
    tasks = [{"id": step["id"], "needs": list(step["needs"]), "duration_s": 1} for step in steps]
    first = data.draw(st.sampled_from(tasks))
    graph = random_graphs.graph_of(tasks)
    after = sorted(nx.descendants(graph, first["id"]) | {first["id"]})
    first["needs"].append(data.draw(st.sampled_from(after)))

    error = here("critical_path", {"tasks": tasks})["error"]

    assert error["code"] == "contradictory"
    loop = error["message"].removesuffix(": a cycle").split(" needs ")
    needs = {task["id"]: task["needs"] for task in tasks}
    assert loop[0] == loop[-1]
    assert all(later in needs[earlier] for earlier, later in pairwise(loop))


@random_graphs.RANDOM
@given(random_graphs.plans())
def test_a_step_is_gated_when_something_before_it_is_unfinished_or_stopped(
    plan: dict[str, Any],
) -> None:
    graph = random_graphs.graph_of(plan["steps"])
    done = {step["id"] for step in plan["steps"] if random_graphs.is_done(step)}
    stops: dict[str, set[str]] = {state: set() for state in (*STOPPING, "proved", "accepted")}
    for issue in plan["issues"]:
        stops[issue["state"]].update(issue["stops"])

    result = result_of("return_plan", plan)

    gated = {row["step"]: row for row in result["gated"]}
    for step in plan["steps"]:
        name = step["id"]
        if name in done:
            continue
        before = nx.ancestors(graph, name)
        states = STOPPING if step["who"] == "technician" else OPEN
        # A step behind an unfinished one is gated already; answered issues count beyond it.
        is_stopped = any((before | {name}) & stops[state] for state in states)
        is_gated = bool(before - done) or is_stopped
        assert (name in gated) == is_gated
        assert (name in result["doable_now"]) != is_gated
        if is_gated:
            roots = {
                issue["id"]
                for issue in plan["issues"]
                if issue["state"] in STOPPING and (before | {name}) & set(issue["stops"])
            }
            assert set(gated[name]["root_issues"]) == roots


def _work_graph(plan: dict[str, Any]) -> tuple[nx.DiGraph, dict[str, dict[str, float]]]:
    """Steps, and a node per open issue before all it stops; done steps take no time."""
    graph = random_graphs.graph_of(plan["steps"])
    nothing = {"low": 0.0, "likely": 0.0, "high": 0.0}
    weight = {step["id"]: nothing if random_graphs.is_done(step) else step["duration_s"] for step in plan["steps"]}
    for issue in plan["issues"]:
        if issue["state"] in OPEN:
            graph.add_edges_from((issue["id"], name) for name in issue["stops"])
            weight[issue["id"]] = issue["repair_s"]
    return graph, weight


def ready_by_longest_path_s(plan: dict[str, Any]) -> dict[str, float]:
    """From now to the end of the longest path that needs no technician, best, likely and late."""
    graph, weight = _work_graph(plan)
    unfinished = [step for step in plan["steps"] if not random_graphs.is_done(step)]
    technicians = {step["id"] for step in unfinished if step["who"] == "technician"}
    unaided = [step["id"] for step in unfinished if not (nx.ancestors(graph, step["id"]) | {step["id"]}) & technicians]
    # Repairs that lead to an unfinished step count, also where the technician comes first.
    repairs = [
        issue["id"]
        for issue in plan["issues"]
        if issue["state"] in OPEN
        and (not unfinished or (issue["id"] in graph and nx.descendants(graph, issue["id"]) & _names(unfinished)))
    ]

    found = {}
    for case, output in [("low", "ready_at_best"), ("likely", "ready_at"), ("high", "ready_at_late")]:
        seconds = {name: times[case] for name, times in weight.items()}
        finish = random_graphs.longest_finish(graph, weight=seconds)
        alone = [seconds[name] for name in repairs]
        found[output] = max([0.0, *alone, *[finish[name] for name in unaided]])
    return found


@random_graphs.RANDOM
@given(random_graphs.plans())
def test_the_site_is_ready_at_the_end_of_the_longest_path_that_needs_no_technician(
    plan: dict[str, Any],
) -> None:
    result = result_of("return_plan", plan)

    for output, expected_s in ready_by_longest_path_s(plan).items():
        assert result[output] - plan["now"] == expected_s
    assert result["ready_at_best"] <= result["ready_at"] <= result["ready_at_late"]


def _names(steps: list[dict[str, Any]]) -> set[str]:
    return {step["id"] for step in steps}


@random_graphs.RANDOM
@given(random_graphs.plans(), st.integers(1, 3))
def test_few_hands_never_do_more_at_once_than_there_are(plan: dict[str, Any], crews: int) -> None:
    plan["crew"] = {"technician": crews, "contractor": crews}

    schedule = result_of("return_plan", plan)["schedule"]

    finish = {work["id"]: work["finish_s"] for work in schedule}
    for step in plan["steps"]:
        for need in step["needs"]:
            if step["id"] in finish and need in finish:
                start = next(work["start_s"] for work in schedule if work["id"] == step["id"])
                assert start >= finish[need]
    for who in ("technician", "contractor"):
        busy = [
            work for work in schedule if (work["who"], work["calendar"]) == (who, "shift") and work["kind"] != "visit"
        ]
        for one in busy:
            overlapping = [other for other in busy if other["start_s"] <= one["start_s"] < other["finish_s"]]
            assert len(overlapping) <= crews


@pytest.mark.parametrize("calculation", ["critical_path", "return_plan"])
def test_random_graphs_come_out_the_same_on_the_phone(calculation: str) -> None:
    inputs: list[dict[str, Any]] = []

    @random_graphs.RANDOM
    @given(random_graphs.plans())
    def gather(plan: dict[str, Any]) -> None:
        tasks = [{**step, "duration_s": step["duration_s"]["low"] / 7} for step in plan["steps"]]
        inputs.append({"tasks": tasks} if calculation == "critical_path" else plan)

    gather()

    phone = on_the_phone([(calculation, data) for data in inputs])

    assert len(inputs) > 50
    assert phone == [here(calculation, data) for data in inputs]
