"""The groups of a job as screens show them: what is done, can be done now, is gated and why."""

from . import gates, job_rows, sequence


def described(
    groups: list[job_rows.Group],
    *,
    wholes: dict[str, gates.Node],
    defects: list[job_rows.Defect],
) -> dict[str, object]:
    """Groups, what can be done, what is gated, and the issue that stops most."""
    rows = [_group(group, whole=wholes[group.name]) for group in groups]
    now = [len(_technicians_doable_rows(group)) for group in groups]
    this_visit = [len(_rows_within_reach(group)) for group in groups]
    this_visit_names = [group.name for group, count in zip(groups, this_visit) if count]
    this_visit_s = _likely_s(groups, counts=this_visit)
    headline = _headline(rows, defects=defects)
    headline["doable_count"] = len(this_visit_names)
    headline["doable_s"] = this_visit_s
    return {
        "groups": rows,
        "doable_now": [group.name for group, count in zip(groups, now) if count],
        "doable_now_s": _likely_s(groups, counts=now),
        "doable_this_visit": this_visit_names,
        "doable_this_visit_s": this_visit_s,
        "gated": [
            {"step": row["id"], "why": row["why"], "root_issues": row["root_issues"]}
            for row in rows
            if row["state"] == "gated"
        ],
        "headline": headline,
    }


def times(duration_s: tuple[float, float, float], *, count: int) -> tuple[float, float, float]:
    """Low, likely and high seconds of several like rows."""
    return (duration_s[0] * count, duration_s[1] * count, duration_s[2] * count)


def _doable_rows(group: job_rows.Group) -> list[job_rows.Row]:
    return [row for row in group.rows if not row.node.is_done and not row.node.is_gated()]


def _technicians_doable_rows(group: job_rows.Group) -> list[job_rows.Row]:
    return _doable_rows(group) if group.step.who == sequence.TECHNICIAN else []


def _rows_within_reach(group: job_rows.Group) -> list[job_rows.Row]:
    """What the technician can do today, one step after the other, waiting for nobody."""
    return [row for row in group.rows if not row.node.is_done and row.node.is_within_reach]


def _likely_s(groups: list[job_rows.Group], *, counts: list[int]) -> float:
    total = 0.0
    for group, count in zip(groups, counts):
        total += group.per_row_s[1] * count
    return total


def _group(group: job_rows.Group, *, whole: gates.Node) -> dict[str, object]:
    counted = [row for row in group.rows if row.state != "not_applicable"]
    done = [row for row in counted if row.node.is_done]
    doable = _doable_rows(group)
    stopped = [row for row in group.rows if not row.node.is_done and row.node.is_gated()]
    why: list[tuple[str, str]] = []
    for row in stopped:
        for cause in row.node.why:
            if cause not in why:
                why.append(cause)
    left = times(group.per_row_s, count=len(counted) - len(done))
    return {
        "id": group.name,
        "system_id": group.system_id,
        "code": group.step.code,
        "side": group.step.side,
        "part": group.step.part,
        "who": group.step.who,
        "calendar": group.step.calendar,
        "state": _state(counted, doable=doable, stopped=stopped),
        "done": len(done),
        "total": len(counted),
        "doable_units": [row.unit_id for row in doable if row.unit_id != ""],
        "stopped_units": [row.unit_id for row in stopped if row.unit_id != ""],
        "why": gates.described(why),
        "root_issues": list(whole.root_issues) if stopped else [],
        "reset_by": list(group.reset_by),
        "duration_s": {"low": left[0], "likely": left[1], "high": left[2]},
        "doable_s": group.per_row_s[1] * len(doable),
        "source": group.step.source,
        "mark": group.step.mark,
    }


def _state(
    counted: list[job_rows.Row], *, doable: list[job_rows.Row], stopped: list[job_rows.Row]
) -> str:
    if not doable and not stopped:
        return "done"
    if not doable:
        return "gated"
    if any(row.state == "failed" for row in counted):
        return "failed"
    return "partly" if stopped else "doable"


def _headline(
    rows: list[dict[str, object]], *, defects: list[job_rows.Defect]
) -> dict[str, object]:
    """The issue that keeps most steps wholly shut; among equals one that nobody has answered.

    A step that is shut on one unit and open on its neighbours does not count: there is
    still work to do in it today. Among equals of one kind it is the one listed first.
    """
    worst: str | None = None
    most = 0
    is_worst_open = False
    for defect in defects:
        count = 0
        for row in rows:
            roots = row["root_issues"]
            if row["state"] == "gated" and isinstance(roots, list) and defect.name in roots:
                count += 1
        is_worse = count > most or (count == most and defect.is_open() and not is_worst_open)
        if count > 0 and is_worse:
            worst = defect.name
            most = count
            is_worst_open = defect.is_open()
    return {"issue_id": worst, "stopped_count": most}
