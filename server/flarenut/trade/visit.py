"""What is done before the return visit, when the visit can start, and what is done on it."""

from . import calendars, remaining, schedule, verdicts

TECHNICIAN = remaining.TECHNICIAN


class Site:
    """Now, the shifts and the hands there are."""

    def __init__(self, *, now_s: float, calendar: calendars.Calendar, crew: dict[str, int]) -> None:
        self.now_s = now_s
        self.calendar = calendar
        self.crew = crew


class Work:
    """The items of what is left, split into before the visit and on it."""

    def __init__(self, left: remaining.Remaining, *, site: Site) -> None:
        self.left = left
        self.site = site
        self.items = left.items
        self.is_required = _leads_to_a_step(self.items)
        self.before, self.after = _split_at_the_visit(self.items)
        self.likely = self._placed(schedule.LIKELY, crew=site.crew)
        self.ready_s = self._ready(self.likely)
        self.ready_best_s = self._ready(self._placed(schedule.LOW, crew={}))
        # With few hands a longer job can, by luck of the order, end sooner: late is never
        # earlier than likely.
        late = self._placed(schedule.HIGH, crew=site.crew)
        self.ready_late_s = max(self.ready_s, self._ready(late))
        self.on_visit = [index for index in self.after if self._is_on_visit(index)]
        self.visit_start_s: float | None = None

    def _placed(self, case: int, *, crew: dict[str, int]) -> schedule.Schedule:
        placed = schedule.Schedule(self.items, case=case, calendar=self.site.calendar, crew=crew)
        placed.place(self.before, from_s=self.site.now_s)
        return placed

    def _ready(self, placed: schedule.Schedule) -> float:
        ready = self.site.now_s
        for index in self.before:
            if self.is_required[index]:
                ready = max(ready, placed.finish_s[index])
        return ready

    def _is_on_visit(self, index: int) -> bool:
        """Technician's work that is not put off by a repair that stops nothing."""
        item = self.items[index]
        if item.who != TECHNICIAN:
            return False
        if self.is_required[index]:
            return True
        return all(
            self.items[need].who == TECHNICIAN or self.likely.finish_s[need] <= self.ready_s
            for need in item.needs
        )

    def place_visit(self) -> None:
        """Put the visit, and what comes after it, into the likely schedule."""
        start = self.ready_s
        if self.on_visit:
            start = self.site.calendar.first_fit(self.ready_s, work_s=self._fit_s())
            self.visit_start_s = start
        self.likely.place(self.after, from_s=start)

    def _fit_s(self) -> float:
        return self._sum_s(schedule.LIKELY) / self.site.crew[TECHNICIAN]

    def _sum_s(self, case: int) -> float:
        total = 0.0
        for index in self.on_visit:
            total += self.items[index].duration_s[case]
        return total

    def visit_s(self) -> dict[str, object]:
        """Hours of one technician, in seconds."""
        return {
            "low": self._sum_s(schedule.LOW),
            "likely": self._sum_s(schedule.LIKELY),
            "high": self._sum_s(schedule.HIGH),
        }

    def bring(self) -> list[str]:
        """What the work on the visit asks for, each once."""
        found: list[str] = []
        for index in self.on_visit:
            for code in self.items[index].bring:
                if code not in found:
                    found.append(code)
        return found

    def state(self) -> str:
        """What the job is waiting for."""
        if self.left.is_nothing():
            return "nothing_left"
        if any(self.is_required[index] for index in self.before):
            return "wait_contractor"
        return "to_book"

    def described(self) -> list[dict[str, object]]:
        """All items by start, with the visit in front of what is done on it."""
        last = [
            index
            for index in self.before
            if self.is_required[index] and self.likely.finish_s[index] == self.ready_s
        ]
        critical = self.likely.chain_to(last)
        rows: list[tuple[float, int, dict[str, object]]] = []
        for index in range(len(self.items)):
            row = _described(self.likely, index=index, is_critical=index in critical)
            start = self.likely.start_s[index]
            rows.append((0.0 if start is None else start, index, row))
        if self.visit_start_s is not None:
            rows.append((self.visit_start_s, -1, self._described_visit(self.visit_start_s)))
        # Python's order is stable and MicroPython's is not: the position breaks ties.
        rows.sort(key=lambda one: (one[0], one[1]))
        return [row[2] for row in rows]

    def _described_visit(self, start_s: float) -> dict[str, object]:
        finish = max([self.likely.finish_s[index] for index in self.on_visit])
        return {
            "id": "visit",
            "kind": "visit",
            "who": TECHNICIAN,
            "calendar": "shift",
            "group_id": None,
            "issue_id": None,
            "start_s": start_s,
            "finish_s": finish,
            "critical": False,
        }

    def waits_for(self) -> list[dict[str, object]]:
        """What keeps the site from being ready, worst first.

        Broken promises, then no promise, then the latest promise, then steps in their order.
        Work that only waits for something else on the list is not on it.
        """
        rows: list[tuple[int, float, int, dict[str, object]]] = []
        by_name = {issue.name: issue for issue in self.left.issues}
        for index in self.before:
            item = self.items[index]
            if not self.is_required[index] or item.needs:
                continue
            promised: float | None = None
            overdue = False
            rank = (3, 0.0)
            if item.issue_id is not None:
                rank = (1, 0.0)
                if by_name[item.issue_id].promised_s is not None:
                    promised = item.not_finished_before_s
                    overdue = promised < self.site.now_s
                    rank = (0, promised) if overdue else (2, -promised)
            row: dict[str, object] = {
                "issue_id": item.issue_id,
                "group_id": item.step_id,
                "promised_at": promised,
                "overdue": overdue,
            }
            rows.append((rank[0], rank[1], index, row))
        rows.sort(key=lambda one: (one[0], one[1], one[2]))
        return [row[3] for row in rows]

    def reasons(self) -> list[dict[str, object]]:
        """What a reader must know to trust the dates."""
        found = self.about_promises()
        for index in self.after:
            item = self.items[index]
            if index not in self.on_visit and item.who == TECHNICIAN:
                found.append(verdicts.reason("proof_after_visit", issue_id=item.issue_id))
            elif item.who != TECHNICIAN:
                found.append(verdicts.reason("waits_during_visit", group_id=item.step_id))
        shift_s = self.site.calendar.shift_length_s()
        if self.on_visit and self._fit_s() > shift_s:
            found.append(
                verdicts.reason("visit_longer_than_shift", visit_s=self._fit_s(), shift_s=shift_s)
            )
        return found

    def about_promises(self) -> list[dict[str, object]]:
        """Which open issues have no promise, or a broken one."""
        found: list[dict[str, object]] = []
        for issue in self.left.issues:
            if issue.is_open():
                found.extend(self._about_promise(issue))
        return found

    def _about_promise(self, issue: remaining.Issue) -> list[dict[str, object]]:
        if issue.who == TECHNICIAN:
            return []
        if issue.promised_s is None:
            return [verdicts.reason("no_promise", issue_id=issue.name)]
        calendar = self.site.calendar
        promised = calendar.shift_end_on(calendar.day_of(issue.promised_s))
        if promised < self.site.now_s:
            return [verdicts.reason("promise_overdue", issue_id=issue.name, promised_at=promised)]
        return []


def _described(placed: schedule.Schedule, *, index: int, is_critical: bool) -> dict[str, object]:
    item = placed.items[index]
    return {
        "id": item.name,
        "kind": item.kind,
        "who": item.who,
        "calendar": item.calendar,
        "group_id": item.step_id,
        "issue_id": item.issue_id,
        "start_s": placed.start_s[index],
        "finish_s": placed.finish_s[index],
        "critical": is_critical,
    }


def _leads_to_a_step(items: list[schedule.Item]) -> list[bool]:
    """Repairs that stop nothing do not delay the visit, unless nothing else is left."""
    leads = [item.kind == "step" for item in items]
    if not any(leads):
        return [True] * len(items)
    for index in range(len(items) - 1, -1, -1):
        if leads[index]:
            for need in items[index].needs:
                leads[need] = True
    return leads


def _split_at_the_visit(items: list[schedule.Item]) -> tuple[list[int], list[int]]:
    """What can be done without the technician, and all the rest."""
    before: list[int] = []
    after: list[int] = []
    is_after = [False] * len(items)
    for index, item in enumerate(items):
        is_after[index] = item.who == TECHNICIAN or any(is_after[need] for need in item.needs)
        if is_after[index]:
            after.append(index)
        else:
            before.append(index)
    return before, after
