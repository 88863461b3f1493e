"""The return plan: what gates the rest, when the site can be ready, how long the visit takes."""

from . import calendars, gates, ranges, remaining, visit

NAME = "return_plan"
WHAT = "Gates, resets, schedule, earliest return and its hours, from steps and issues"
MOST_CREWS = 50  # More crews than this on one site is a slip (P).

INPUTS = [
    ("now", "s", True, "seconds since 1970-01-01 UTC; the engine reads no clock"),
    ("zone.utc_offset_s", "s", True, "local time minus UTC before the first change"),
    ("zone.changes", "", False, "list of {at_s, utc_offset_s}, earliest first"),
    ("shift.shift_start", "", True, "local time such as 07:00"),
    ("shift.shift_end", "", True, "local time; before the start means the next day"),
    ("shift.shift_days", "", True, "ISO weekdays, Monday is 1"),
    ("crew.technician", "", False, "how many work at once; 1 when absent"),
    ("crew.contractor", "", False, "how many crews work at once; 1 when absent"),
    ("steps", "", True, "list of {id, needs, state, duration_s, who, calendar, bring}"),
    ("steps[].duration_s", "s", True, "low, likely, high"),
    ("issues", "", False, "list of {id, state, who, stops, resets, promised_at, ...}"),
    ("issues[].promised_at", "s", False, "any moment of the promised day"),
    ("issues[].repair_s", "s", False, "low, likely, high; 0.5, 2, 8 h when absent (P)"),
    ("issues[].proof_s", "s", False, "low, likely, high; 0.1, 0.25, 0.5 h when absent (P)"),
]
OUTPUTS = [
    ("doable_now", "", "steps that nothing stands before"),
    ("gated", "", "list of {step, why: [{kind, id}], root_issues}"),
    ("resets", "", "list of {issue, steps}: proof that an open circuit made worthless"),
    ("schedule", "s", "list of {id, kind, who, calendar, ..., start_s, finish_s, critical}"),
    ("ready_at", "s", "when all that needs no technician is finished, likely durations"),
    ("ready_at_best", "s", "the same with low durations and nobody short of hands"),
    ("ready_at_late", "s", "the same with high durations"),
    ("visit_s", "s", "technician's hours on the return visit, proofs included: low, likely, high"),
    ("visit_start_at", "s", "first start at or after ready_at at which it fits one shift, or null"),
    ("bring", "", "codes of what to bring"),
    ("must_be_proved_first", "", "answered issues that stop what is left"),
    ("waits_for", "", "list of {issue_id, group_id, promised_at, overdue}, worst first"),
    ("state", "", "wait_contractor, to_book, nothing_left"),
    ("reasons", "", "list of {code, values}"),
]


def return_plan(data: dict[str, object]) -> dict[str, object]:
    """The return plan of explicit steps and issues."""
    site, steps, issues = read(data)
    return plan(steps, issues=issues, site=site)


def read(
    data: dict[str, object],
) -> tuple[visit.Site, list[remaining.Step], list[remaining.Issue]]:
    """The site, the steps and the issues, all checked."""
    site = read_site(data, shift=ranges.record(data, "shift"), where="shift.")
    steps = [
        remaining.read_step(row, where=ranges.place("steps", index=index) + ".")
        for index, row in enumerate(ranges.records(data, "steps"))
    ]
    known = [step.name for step in steps]
    issues = [
        remaining.read_issue(row, known=known, where=ranges.place("issues", index=index) + ".")
        for index, row in enumerate(ranges.records_or_none(data, "issues"))
    ]
    return site, steps, issues


def read_site(data: dict[str, object], *, shift: dict[str, object], where: str) -> visit.Site:
    """Now, calendar and crew from the fields that all plans share."""
    now_s = ranges.number(data, "now", low=0.0, high=calendars.LATEST_S, unit="s") + 0.0
    calendar = calendars.read(shift, zone=ranges.record(data, "zone"), where=where)
    given = ranges.record_or_empty(data, "crew")
    crew: dict[str, int] = {}
    for who in ["technician", "contractor"]:
        crew[who] = 1
        if given.get(who) is not None:
            crew[who] = ranges.whole(
                given, who, low=1, high=MOST_CREWS, unit="crews", where="crew."
            )
    return visit.Site(now_s=now_s, calendar=calendar, crew=crew)


def plan(
    steps: list[remaining.Step], *, issues: list[remaining.Issue], site: visit.Site
) -> dict[str, object]:
    """The return plan of steps and issues that were checked before."""
    left = remaining.Remaining(steps, issues=issues, calendar=site.calendar)
    work = visit.Work(left, site=site)
    work.place_visit()
    return {
        "doable_now": [
            node.name for node in left.nodes if not node.is_done and not node.is_gated()
        ],
        "gated": [
            {
                "step": node.name,
                "why": gates.described(node.why),
                "root_issues": list(node.root_issues),
            }
            for node in left.nodes
            if not node.is_done and node.is_gated()
        ],
        "resets": [{"issue": name, "steps": reset} for name, reset in left.resets],
        "schedule": work.described(),
        "ready_at": work.ready_s,
        "ready_at_best": work.ready_best_s,
        "ready_at_late": work.ready_late_s,
        "visit_s": work.visit_s(),
        "visit_start_at": work.visit_start_s,
        "bring": work.bring(),
        "must_be_proved_first": _must_be_proved_first(left),
        "waits_for": work.waits_for(),
        "state": work.state(),
        "reasons": work.reasons(),
    }


def _must_be_proved_first(left: remaining.Remaining) -> list[str]:
    stopping: list[str] = []
    for node in left.nodes:
        if not node.is_done:
            stopping.extend(node.root_issues)
    return [issue.name for issue in left.issues if issue.is_answered() and issue.name in stopping]
