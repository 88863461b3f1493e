"""What is left to do on a job, and what stands in its way."""

from . import calendars, categories, gates, graph, ranges, schedule, sequence

STEP_STATES = ["todo", "done", "failed", "not_applicable"]
OPEN_STATES = ["open", "sent_back"]
ANSWERED = "answered"
TECHNICIAN = sequence.TECHNICIAN
LONGEST_S = 7776000.0  # 90 days of work in one step is a slip of the unit (P).


class Step:
    """A step as the return plan sees it."""

    def __init__(
        self,
        name: str,
        *,
        needs: list[str],
        is_done: bool,
        duration_s: tuple[float, float, float],
        who: str,
        calendar: str,
        bring: list[str],
    ) -> None:
        self.name = name
        self.needs = needs
        self.is_done = is_done
        self.duration_s = duration_s
        self.who = who
        self.calendar = calendar
        self.bring = bring


class Issue:
    """An issue as the return plan sees it."""

    def __init__(
        self,
        name: str,
        *,
        state: str,
        who: str,
        stops: list[str],
        resets: list[str],
        promised_s: float | None,
        repair_s: tuple[float, float, float],
        proof_s: tuple[float, float, float],
        bring: list[str],
    ) -> None:
        self.name = name
        self.state = state
        self.who = who
        self.stops = stops
        self.resets = resets
        self.promised_s = promised_s
        self.repair_s = repair_s
        self.proof_s = proof_s
        self.bring = bring

    def is_open(self) -> bool:
        """Whether the defect is still there, as far as anybody says."""
        return self.state in OPEN_STATES

    def is_answered(self) -> bool:
        """Whether someone says it is fixed and nobody has proved it."""
        return self.state == ANSWERED


class Remaining:
    """Steps with their gates, and the work that is left as items that can be scheduled."""

    def __init__(
        self, steps: list[Step], *, issues: list[Issue], calendar: calendars.Calendar
    ) -> None:
        order = graph.in_order(
            [step.name for step in steps], needs=[step.needs for step in steps], field="steps"
        )
        self.steps = [steps[index] for index in order]
        self.issues = [issue for issue in issues if issue.is_open() or issue.is_answered()]
        self.resets = _apply_resets(self.steps, issues=self.issues)
        self.nodes = _nodes(self.steps, issues=self.issues)
        gates.explain(self.nodes)
        self.items = _items(self.steps, nodes=self.nodes, issues=self.issues, calendar=calendar)

    def is_nothing(self) -> bool:
        """Whether every step is done and every issue is closed."""
        return len(self.items) == 0


def _apply_resets(steps: list[Step], *, issues: list[Issue]) -> list[tuple[str, list[str]]]:
    """Take back the proof that an open circuit makes worthless; say which issue did it."""
    by_name = {step.name: step for step in steps}
    was_done = {step.name: step.is_done for step in steps}
    found: list[tuple[str, list[str]]] = []
    for issue in issues:
        if not issue.is_open():
            continue
        worthless = [name for name in issue.resets if was_done[name]]
        for name in worthless:
            by_name[name].is_done = False
        if worthless:
            found.append((issue.name, worthless))
    return found


def _nodes(steps: list[Step], *, issues: list[Issue]) -> list[gates.Node]:
    by_name: dict[str, gates.Node] = {}
    nodes: list[gates.Node] = []
    for step in steps:
        node = gates.Node(
            step.name,
            is_done=step.is_done,
            is_technicians=step.who == TECHNICIAN,
            needs=[by_name[name] for name in step.needs],
            stopped_by=[],
            doubted_by=[],
        )
        by_name[step.name] = node
        nodes.append(node)
    for issue in issues:
        for name in issue.stops:
            if issue.is_open():
                by_name[name].stopped_by.append(issue.name)
            else:
                by_name[name].doubted_by.append(issue.name)
    return nodes


def _items(
    steps: list[Step],
    *,
    nodes: list[gates.Node],
    issues: list[Issue],
    calendar: calendars.Calendar,
) -> list[schedule.Item]:
    items: list[schedule.Item] = []
    repaired: dict[str, int] = {}
    proved: dict[str, int] = {}
    stepped: dict[str, int] = {}
    for issue in issues:
        if issue.is_open():
            repaired[issue.name] = len(items)
            items.append(_repair(issue, calendar=calendar))
    for issue in issues:
        needs = [repaired[issue.name]] if issue.is_open() else []
        proved[issue.name] = len(items)
        items.append(_proof(issue, needs=needs))
    for step, node in zip(steps, nodes):
        if not step.is_done:
            needs = _needs(node, stepped=stepped, repaired=repaired, proved=proved)
            stepped[step.name] = len(items)
            items.append(_work(step, needs=needs))
    return items


def _needs(
    node: gates.Node,
    *,
    stepped: dict[str, int],
    repaired: dict[str, int],
    proved: dict[str, int],
) -> list[int]:
    cleared = proved if node.is_technicians else repaired
    needs = [stepped[name] if kind == gates.STEP else cleared[name] for kind, name in node.why]
    if node.is_technicians:
        # What was mended is proved before anything is built on it.
        needs.extend([proved[name] for name in node.root_issues])
    return needs


def _work(step: Step, *, needs: list[int]) -> schedule.Item:
    return schedule.Item(
        step.name,
        kind="step",
        who=step.who,
        calendar=step.calendar,
        duration_s=step.duration_s,
        needs=needs,
        step_id=step.name,
        bring=step.bring,
    )


def _repair(issue: Issue, *, calendar: calendars.Calendar) -> schedule.Item:
    not_before = 0.0
    if issue.promised_s is not None:
        not_before = calendar.shift_end_on(calendar.day_of(issue.promised_s))
    return schedule.Item(
        "repair:" + issue.name,
        kind="repair",
        who=issue.who,
        calendar=sequence.SHIFT,
        duration_s=issue.repair_s,
        needs=[],
        issue_id=issue.name,
        not_finished_before_s=not_before,
    )


def _proof(issue: Issue, *, needs: list[int]) -> schedule.Item:
    return schedule.Item(
        "proof:" + issue.name,
        kind="proof",
        who=TECHNICIAN,
        calendar=sequence.SHIFT,
        duration_s=issue.proof_s,
        needs=needs,
        issue_id=issue.name,
        bring=issue.bring,
    )


def read_step(row: dict[str, object], *, where: str) -> Step:
    """A step from `{id, needs, state, duration_s, who, calendar, bring}`."""
    state = ranges.choice(row, "state", choices=STEP_STATES, where=where)
    return Step(
        ranges.text(row, "id", where=where),
        needs=ranges.texts_or_none(row, "needs", where=where),
        is_done=state in ("done", "not_applicable"),
        duration_s=read_duration(row, "duration_s", where=where),
        who=ranges.choice(row, "who", choices=categories.WHO, where=where),
        calendar=ranges.choice(
            row, "calendar", choices=[sequence.SHIFT, sequence.CLOCK], where=where
        ),
        bring=ranges.texts_or_none(row, "bring", where=where),
    )


def read_issue(row: dict[str, object], *, known: list[str], where: str) -> Issue:
    """An issue from `{id, state, who, stops, resets, promised_at, repair_s, proof_s, bring}`."""
    usual = categories.of_code("other")
    promised = None
    if row.get("promised_at") is not None:
        latest = calendars.LATEST_S
        promised = ranges.number(row, "promised_at", low=0.0, high=latest, unit="s", where=where)
    repair, proof = usual.repair_s, usual.proof_s
    if row.get("repair_s") is not None:
        repair = read_duration(row, "repair_s", where=where)
    if row.get("proof_s") is not None:
        proof = read_duration(row, "proof_s", where=where)
    return Issue(
        ranges.text(row, "id", where=where),
        state=ranges.choice(row, "state", choices=categories.STATES, where=where),
        who=ranges.choice(row, "who", choices=categories.WHO, where=where),
        stops=ranges.choices_of(row, "stops", choices=known, where=where),
        resets=ranges.choices_of(row, "resets", choices=known, where=where),
        promised_s=promised,
        repair_s=repair,
        proof_s=proof,
        bring=ranges.texts_or_none(row, "bring", where=where),
    )


def read_duration(row: dict[str, object], name: str, *, where: str) -> tuple[float, float, float]:
    """Low, likely and high seconds, in that order of size."""
    times = ranges.record(row, name, where=where)
    inside = where + name + "."
    values = [
        ranges.number(times, part, low=0.0, high=LONGEST_S, unit="s", where=inside) + 0.0
        for part in ["low", "likely", "high"]
    ]
    if values[0] > values[1] or values[1] > values[2]:
        raise ranges.contradictory(
            inside + "likely", message=where + name + ": low, likely and high must rise"
        )
    return (values[0], values[1], values[2])
