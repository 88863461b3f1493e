"""Critical path: how long a graph of tasks takes, and which tasks have no room to slip."""

from . import graph, ranges

NAME = "critical_path"
WHAT = "Earliest and latest times of tasks that need each other, their floats, the critical path"
LONGEST_S = 31622400.0  # One leap year: a longer task is a slip of the unit.
# Times are added in another order forwards and backwards, so a critical task's float
# can come out as a rounding error of the length instead of nought.
SAME_TIME = 1e-9

INPUTS = [
    ("tasks", "", True, "list of {id, duration_s, needs}"),
    ("tasks[].id", "", True, "a name used once"),
    ("tasks[].duration_s", "s", True, "0 to one year"),
    ("tasks[].needs", "", False, "ids that must be finished before; none when absent"),
]
OUTPUTS = [
    ("length_s", "s", "time from the start of the first task to the finish of the last"),
    ("tasks[].early_start_s", "s", "earliest start"),
    ("tasks[].early_finish_s", "s", "earliest finish"),
    ("tasks[].late_start_s", "s", "latest start that does not lengthen the whole"),
    ("tasks[].late_finish_s", "s", "latest finish that does not lengthen the whole"),
    ("tasks[].float_s", "s", "how far the task may slip without lengthening the whole"),
    ("tasks[].free_float_s", "s", "how far it may slip without moving any other task"),
    ("tasks[].critical", "", "true when the float is nought"),
]


def critical_path(data: dict[str, object]) -> dict[str, object]:
    """Critical path of tasks with fixed durations and no limit on hands.

    Valid for   any graph without cycles; raises contradictory naming the cycle otherwise
    Formula     early finish = max(early finish of needs) + duration             [A]
                late start = min(late start of followers) - duration             [A]
                float = late start - early start                                 [A]
                free float = min(early start of followers) - early finish        [A]
    Inputs      tasks       id, duration_s, needs                    [s]
    Returns     length_s and the times of each task                  [s]
    Source A    critical path method, checked with the example cpp.mod of GLPK (length 46)
    """
    rows = ranges.records(data, "tasks")
    ids, needs, durations = _read(rows)
    order = graph.in_order(ids, needs=needs, field="tasks")
    position = {name: index for index, name in enumerate(ids)}
    before = [[position[name] for name in names] for names in needs]
    start, finish = _forwards(order, before=before, durations=durations)
    length = max(finish, default=0.0)
    late, free = _backwards(order, before=before, durations=durations, start=start, length=length)
    tasks = [
        _described(
            name,
            start_s=start[index],
            finish_s=finish[index],
            late_start_s=late[index],
            next_start_s=free[index],
            length_s=length,
        )
        for index, name in enumerate(ids)
    ]
    return {"length_s": length, "tasks": tasks}


def _described(
    name: str,
    *,
    start_s: float,
    finish_s: float,
    late_start_s: float,
    next_start_s: float,
    length_s: float,
) -> dict[str, object]:
    room = late_start_s - start_s
    critical = room <= SAME_TIME * length_s
    return {
        "id": name,
        "early_start_s": start_s,
        "early_finish_s": finish_s,
        "late_start_s": late_start_s,
        "late_finish_s": late_start_s + (finish_s - start_s),
        "float_s": 0.0 if critical else room,
        "free_float_s": max(0.0, next_start_s - finish_s),
        "critical": critical,
    }


def _read(
    rows: list[dict[str, object]],
) -> tuple[list[str], list[list[str]], list[float]]:
    ids: list[str] = []
    needs: list[list[str]] = []
    durations: list[float] = []
    for index, row in enumerate(rows):
        where = ranges.place("tasks", index=index) + "."
        ids.append(ranges.text(row, "id", where=where))
        needs.append(ranges.texts_or_none(row, "needs", where=where))
        durations.append(
            ranges.number(row, "duration_s", low=0.0, high=LONGEST_S, unit="s", where=where) + 0.0
        )
    return ids, needs, durations


def _forwards(
    order: list[int], *, before: list[list[int]], durations: list[float]
) -> tuple[list[float], list[float]]:
    start = [0.0] * len(order)
    finish = [0.0] * len(order)
    for index in order:
        for earlier in before[index]:
            start[index] = max(start[index], finish[earlier])
        finish[index] = start[index] + durations[index]
    return start, finish


def _backwards(
    order: list[int],
    *,
    before: list[list[int]],
    durations: list[float],
    start: list[float],
    length: float,
) -> tuple[list[float], list[float]]:
    """Latest starts, and for each task the earliest start of what follows it."""
    late_finish = [length] * len(order)
    next_start = [length] * len(order)
    for index in reversed(order):
        late_start = late_finish[index] - durations[index]
        for earlier in before[index]:
            late_finish[earlier] = min(late_finish[earlier], late_start)
            next_start[earlier] = min(next_start[earlier], start[index])
    late = [late_finish[index] - durations[index] for index in range(len(order))]
    return late, next_start
