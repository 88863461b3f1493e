"""Why a step cannot be done yet.

A step is gated by an issue that stops it, by an unfinished step before it, and, through
steps that are already done, by whatever stands behind those: a defect found after a step
was done casts doubt on everything that builds on it.

An issue that was answered but not proved stops the technician only ("prove it first");
the contractor who mended it goes on.
"""

STEP = "step"
ISSUE = "issue"


class Node:
    """A step, or a group of steps, as the gates see it."""

    def __init__(
        self,
        name: str,
        *,
        is_done: bool,
        is_technicians: bool,
        needs: list["Node"],
        stopped_by: list[str],
        doubted_by: list[str],
    ) -> None:
        self.name = name
        self.is_done = is_done
        self.is_technicians = is_technicians
        self.needs = needs
        # Issues that are open or sent back stop everybody.
        self.stopped_by = stopped_by
        # Issues that are answered and not yet proved stop the technician.
        self.doubted_by = doubted_by
        self.why: list[tuple[str, str]] = []
        self.root_issues: list[str] = []
        # Whether the technician gets past this step today, waiting for nobody.
        self.is_within_reach = False
        self.behind: list[tuple[str, str]] = []
        self.behind_for_technician: list[tuple[str, str]] = []

    def is_gated(self) -> bool:
        """Whether something must happen before this can be done."""
        return len(self.why) > 0


def explain(nodes: list[Node]) -> None:
    """Fill in the causes of nodes that are given in order, needs first.

    `why` holds the nearest causes, each (STEP or ISSUE, name); `root_issues` all issues
    that stand anywhere before the node.
    """
    for node in nodes:
        _explain(node)


def whole(name: str, *, nodes: list[Node], is_technicians: bool) -> Node:
    """A node that stands for several: done when all are, in doubt when any is."""
    return Node(
        name,
        is_done=all(node.is_done for node in nodes),
        is_technicians=is_technicians,
        needs=nodes,
        stopped_by=[],
        doubted_by=[],
    )


def described(why: list[tuple[str, str]]) -> list[dict[str, object]]:
    """Causes as plain records."""
    return [{"kind": kind, "id": name} for kind, name in why]


def _explain(node: Node) -> None:
    stops = [(ISSUE, name) for name in node.stopped_by]
    doubts = [(ISSUE, name) for name in node.doubted_by]
    roots: list[str] = []
    for need in node.needs:
        if need.behind:
            _add_new(stops, found=need.behind)
        if need.behind_for_technician:
            _add_new(doubts, found=need.behind_for_technician)
        if need.root_issues:
            _add_new_names(roots, found=need.root_issues)
    _add_new_names(roots, found=node.stopped_by)
    _add_new_names(roots, found=node.doubted_by)
    node.root_issues = roots
    reached = all(need.is_within_reach for need in node.needs)
    node.is_within_reach = reached and not roots and (node.is_done or node.is_technicians)
    if node.is_done:
        node.behind = stops
        node.behind_for_technician = doubts
        return
    # A dependent needs to know no more than that this one comes first.
    node.behind = [(STEP, node.name)]
    node.why = stops
    if node.is_technicians:
        _add_new(node.why, found=doubts)


def _add_new(causes: list[tuple[str, str]], *, found: list[tuple[str, str]]) -> None:
    for cause in found:
        if cause not in causes:
            causes.append(cause)


def _add_new_names(names: list[str], *, found: list[str]) -> None:
    for name in found:
        if name not in names:
            names.append(name)
