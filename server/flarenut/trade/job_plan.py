"""From a job's rows to gates and return plan: the one mapping, on the phone and the server."""

from . import (
    gates,
    job_rows,
    job_view,
    ranges,
    remaining,
    return_plan,
    sequence,
    verdicts,
    visit,
)

NAME = "job_plan"
WHAT = "Gates per unit, what can be done now, and the return plan, from a job's rows"

INPUTS = [
    ("now", "s", True, "seconds since 1970-01-01 UTC; the engine reads no clock"),
    ("zone.utc_offset_s", "s", True, "local time minus UTC before the first change"),
    ("zone.changes", "", False, "list of {at_s, utc_offset_s}, earliest first"),
    ("job.shift_start", "", True, "local time such as 07:00"),
    ("job.shift_end", "", True, "local time; before the start means the next day"),
    ("job.shift_days", "", True, "ISO weekdays, Monday is 1"),
    ("crew.technician", "", False, "how many work at once; 1 when absent"),
    ("crew.contractor", "", False, "how many crews work at once; 1 when absent"),
    ("systems", "", True, "rows with id"),
    ("units", "", True, "rows with id, kind, system_id"),
    ("steps", "", True, "rows with system_id, unit_id, code, state, reset_by"),
    (
        "issues",
        "",
        True,
        "rows with id, state, category, stops, opens_circuit, who_must_act, where, promised_on",
    ),
    ("durations", "s", False, "{code: {low, likely, high}} in place of the usual hours"),
]
OUTPUTS = [
    ("groups", "", "one step of one system on all its units, in sequence order"),
    ("groups[].duration_s", "s", "what is left of it: low, likely, high"),
    ("groups[].doable_s", "s", "what can be done of it now, likely"),
    ("doable_now", "", "groups of the technician of which something can be done now"),
    ("doable_now_s", "s", "likely time of that"),
    ("doable_this_visit", "", "groups the technician can reach one after the other, unaided"),
    ("doable_this_visit_s", "s", "likely time of that"),
    ("gated", "", "list of {step, why: [{kind, id}], root_issues}"),
    ("resets", "", "list of {issue, steps}"),
    ("headline", "", "the issue that stops most: {issue_id, stopped_count, doable_count, ...}"),
    ("headline.doable_s", "s", "likely time of what can be done on this visit"),
]
# From the schedule on, the outputs are those of the return plan.
OUTPUTS.extend(return_plan.OUTPUTS[3:])


def job_plan(data: dict[str, object]) -> dict[str, object]:
    """The plan of a job from its rows."""
    site, units, groups, defects = _read_rows(data)
    resets = _reset(groups, defects=defects)
    wholes = _link(groups, defects=defects, units=units)
    result = return_plan.plan(_steps(groups), issues=_issues(groups, defects=defects), site=site)
    # The return plan sees whole groups; what can be done on single units is told here.
    result.update(job_view.described(groups, wholes=wholes, defects=defects))
    result["resets"] = resets
    _add_reasons(result, groups=groups, data=data)
    return result


def read(
    data: dict[str, object],
) -> tuple[visit.Site, list[remaining.Step], list[remaining.Issue]]:
    """The site, the groups as steps and the issues, as the return plan takes them."""
    site, _, groups, defects = _read_rows(data)
    _reset(groups, defects=defects)
    return site, _steps(groups), _issues(groups, defects=defects)


def _read_rows(
    data: dict[str, object],
) -> tuple[visit.Site, dict[str, dict[str, object]], list[job_rows.Group], list[job_rows.Defect]]:
    site = return_plan.read_site(data, shift=ranges.record(data, "job"), where="job.")
    units = job_rows.read_units(data)
    groups = job_rows.read_groups(data, units=units)
    return site, units, groups, job_rows.read_defects(data, units=units, calendar=site.calendar)


def _reset(
    groups: list[job_rows.Group], *, defects: list[job_rows.Defect]
) -> list[dict[str, object]]:
    """Take back proof behind an open circuit; say which issue took which steps back.

    The rows carry the reset once the server knows of it; a phone with no signal sees the
    same from the issue alone.
    """
    for group in groups:
        for row in group.rows:
            if row.reset_by != "" and not row.node.is_done:
                _note_reset(group, issue=row.reset_by)
        for defect in defects:
            if defect.resets(group) and any(row.state == "done" for row in group.rows):
                _note_reset(group, issue=defect.name)
                for row in group.rows:
                    row.node.is_done = row.state == "not_applicable"
    names: list[str] = []
    for group in groups:
        names.extend([name for name in group.reset_by if name not in names])
    return [
        {"issue": name, "steps": [group.name for group in groups if name in group.reset_by]}
        for name in names
    ]


def _note_reset(group: job_rows.Group, *, issue: str) -> None:
    if issue not in group.reset_by:
        group.reset_by.append(issue)


def _link(
    groups: list[job_rows.Group],
    *,
    defects: list[job_rows.Defect],
    units: dict[str, dict[str, object]],
) -> dict[str, gates.Node]:
    """Give every row its needs and stops, find the gates, and return a node per group."""
    by_name = {group.name: group for group in groups}
    wholes: dict[str, gates.Node] = {}
    shared = _shared_power(groups, units=units)
    for group in groups:
        before = [by_name[name] for name in _needed_names(group) if name in by_name]
        for row in group.rows:
            row.node.needs = _needs(row, before=before, wholes=wholes)
            if group.step.code == "central_seen":
                row.node.needs.extend(shared)
        _stop(group, defects=defects)
        nodes = [row.node for row in group.rows]
        whole = gates.whole(
            group.name, nodes=nodes, is_technicians=group.step.who == sequence.TECHNICIAN
        )
        gates.explain(nodes)
        gates.explain([whole])
        wholes[group.name] = whole
    return wholes


def _needed_names(group: job_rows.Group) -> list[str]:
    return [group.system_id + ":" + code for code in group.step.needs]


def _shared_power(
    groups: list[job_rows.Group], *, units: dict[str, dict[str, object]]
) -> list[gates.Node]:
    """That a central controller for all systems has power is a step of the first system."""
    return [
        row.node
        for group in groups
        if group.step.code == "power_units"
        for row in group.rows
        if _is_shared(row, units=units)
    ]


def _is_shared(row: job_rows.Row, *, units: dict[str, dict[str, object]]) -> bool:
    return row.unit_id != "" and units[row.unit_id].get("system_id") is None


def _needs(
    row: job_rows.Row, *, before: list[job_rows.Group], wholes: dict[str, gates.Node]
) -> list[gates.Node]:
    """A unit waits for its own earlier steps, not for those of its neighbours."""
    needs: list[gates.Node] = []
    for group in before:
        if row.unit_id != "" and row.unit_id in group.by_unit:
            needs.append(group.by_unit[row.unit_id].node)
        else:
            needs.append(wholes[group.name])
    return needs


def _stop(group: job_rows.Group, *, defects: list[job_rows.Defect]) -> None:
    for defect in defects:
        if not defect.stops_group(group):
            continue
        for row in group.rows:
            if defect.stops_row(row) and defect.is_open():
                row.node.stopped_by.append(defect.name)
            elif defect.stops_row(row):
                row.node.doubted_by.append(defect.name)


def _left(group: job_rows.Group) -> int:
    return len([row for row in group.rows if not row.node.is_done])


def _steps(groups: list[job_rows.Group]) -> list[remaining.Step]:
    names = {group.name: True for group in groups}
    return [
        remaining.Step(
            group.name,
            needs=[name for name in _needed_names(group) if name in names],
            is_done=group.is_done(),
            duration_s=job_view.times(group.per_row_s, count=_left(group)),
            who=group.step.who,
            calendar=group.step.calendar,
            bring=group.step.bring,
        )
        for group in groups
    ]


def _issues(
    groups: list[job_rows.Group], *, defects: list[job_rows.Defect]
) -> list[remaining.Issue]:
    return [
        remaining.Issue(
            defect.name,
            state=defect.state,
            who=defect.who,
            stops=[
                group.name
                for group in groups
                if defect.stops_group(group) and any(defect.stops_row(row) for row in group.rows)
            ],
            resets=[],  # Taken back before, row by row.
            promised_s=defect.promised_s,
            repair_s=defect.category.repair_s,
            proof_s=defect.category.proof_s,
            bring=defect.category.bring,
        )
        for defect in defects
    ]


def _add_reasons(
    result: dict[str, object], *, groups: list[job_rows.Group], data: dict[str, object]
) -> None:
    """Say that the hours are settings, and for which steps nobody gave any."""
    given = ranges.record_or_empty(data, "durations")
    usual: list[str] = []
    for group in groups:
        code = group.step.code
        if not group.is_done() and code not in given and code not in usual:
            usual.append(code)
    reasons = result["reasons"]
    if usual and isinstance(reasons, list):
        reasons.append(
            verdicts.reason(
                "usual_hours", codes=usual, source=sequence.COMMON, mark=verdicts.COMMON_PRACTICE
            )
        )
