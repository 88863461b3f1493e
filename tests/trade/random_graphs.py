"""Random graphs of steps for hypothesis, and what networkx makes of them."""

from typing import Any

import networkx as nx
from hypothesis import settings
from hypothesis import strategies as st

# A failure prints the blob that makes it happen again, in place of a seed.
RANDOM = settings(max_examples=100, deadline=None, database=None, print_blob=True)

# Done and not, stopped and not, each often enough for both to meet in one graph.
STEP_STATES = ["todo", "done", "todo", "done", "failed", "not_applicable"]
ISSUE_STATES = ["open", "answered", "open", "answered", "sent_back", "proved", "accepted"]
FEWEST_STEPS = 3
MOST_STEPS = 10


@st.composite
def durations(draw: st.DrawFn) -> dict[str, int]:
    """Low, likely, high, in whole seconds so that sums are exact."""
    low, likely, high = sorted(draw(st.lists(st.integers(0, 90_000), min_size=3, max_size=3)))
    return {"low": low, "likely": likely, "high": high}


@st.composite
def steps(draw: st.DrawFn, *, who: tuple[str, ...] = ("contractor", "technician")) -> list[dict[str, Any]]:
    """Steps that need earlier ones, in an order that says nothing about that."""
    names = [f"step{n}" for n in range(draw(st.integers(FEWEST_STEPS, MOST_STEPS)))]
    found = [
        {
            "id": name,
            "needs": draw(st.lists(st.sampled_from(names[:n]), min_size=1, max_size=3, unique=True)) if n else [],
            "state": draw(st.sampled_from(STEP_STATES)),
            "who": draw(st.sampled_from(who)),
            "calendar": draw(st.sampled_from(["clock", "shift"])),
            "duration_s": draw(durations()),
        }
        for n, name in enumerate(names)
    ]
    return draw(st.permutations(found))


@st.composite
def issues(draw: st.DrawFn, *, of: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Issues of the contractor on some of the steps."""
    names = [step["id"] for step in of]
    return [
        {
            "id": f"issue{n}",
            "who": "contractor",
            "state": draw(st.sampled_from(ISSUE_STATES)),
            "stops": draw(st.lists(st.sampled_from(names), min_size=1, max_size=3, unique=True)),
            "repair_s": draw(durations()),
        }
        for n in range(draw(st.integers(0, 4)))
    ]


@st.composite
def plans(draw: st.DrawFn, *, who: tuple[str, ...] = ("contractor", "technician")) -> dict[str, Any]:
    """The input of return_plan at a site where people work day and night."""
    some = draw(steps(who=who))
    return {
        "now": 1_764_000_000,
        "zone": {"utc_offset_s": draw(st.integers(-12, 14)) * 3600},
        "shift": {"shift_start": "00:00", "shift_end": "24:00", "shift_days": list(range(1, 8))},
        "crew": {"technician": 50, "contractor": 50},
        "steps": some,
        "issues": draw(issues(of=some)),
    }


def is_done(step: dict[str, Any]) -> bool:
    return step["state"] in ("done", "not_applicable")


def graph_of(some: list[dict[str, Any]]) -> nx.DiGraph:
    """An edge from each step to those that need it."""
    graph = nx.DiGraph()
    graph.add_nodes_from(step["id"] for step in some)
    graph.add_edges_from((need, step["id"]) for step in some for need in step.get("needs", []))
    return graph


def longest_finish(graph: nx.DiGraph, *, weight: dict[str, float]) -> dict[str, float]:
    """Earliest finish of every node, by networkx's longest path through its ancestors."""
    finish: dict[str, float] = {}
    for node in graph.nodes:
        within = graph.subgraph(nx.ancestors(graph, node) | {node})
        timed = nx.DiGraph()
        timed.add_node("start")
        # The weight of an edge is the time of the node it leads to.
        for name in within.nodes:
            timed.add_edge("start", name, weight=weight[name])
        for before, after in within.edges:
            timed.add_edge(before, after, weight=weight[after])
        finish[node] = nx.dag_longest_path_length(timed)
    return finish
