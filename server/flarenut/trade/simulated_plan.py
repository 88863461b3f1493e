"""What is done before the return visit, run after run with drawn hours.

The same list scheduling as `schedule.py`: whenever a crew is free it takes the work that can
start first, among equals the one with the longest likely path of work behind it. Here the plan
is laid out in lists once, so that a phone can go through it thousands of times.
"""

from . import draws, schedule, shift_table, visit


class SimulatedPlan:
    """The plan in lists, with one place in each for one item that needs no technician."""

    def __init__(self, work: visit.Work, *, start_s: int, promises: draws.Promises) -> None:
        self.items = [work.items[index] for index in work.before]
        place = {index: at for at, index in enumerate(work.before)}
        self.unmet = [len(item.needs) for item in self.items]
        self.first = [at for at, count in enumerate(self.unmet) if count == 0]
        self.feeds: list[list[int]] = [[] for _ in self.items]
        for at, item in enumerate(self.items):
            for need in item.needs:
                self.feeds[place[need]].append(at)
        self.is_needed = [work.is_required[index] for index in work.before]
        self.turn = self._turns([work.likely.path_s[index] for index in work.before])
        # The first crew is nobody: always free, never taken.
        self.crews = [""]
        self.crews.extend(sorted(work.site.crew))
        self.hands = [work.site.crew.get(who, 1) for who in self.crews]
        self.crew = [self._crew_of(item) for item in self.items]
        self.shapes = [draws.triangle(item.duration_s) for item in self.items]
        self.promises = promises
        self.shifts = shift_table.ShiftTable(work.site.calendar, start_s=start_s)
        self.promised = self._promised(start_s)
        self.shifts.reach(self._one_by_one(start_s), more=1)
        clock, shift = self.shifts.clock_finish, self.shifts.shift_finish
        self.finishing = [
            clock if item.calendar == schedule.CLOCK else shift for item in self.items
        ]

    def _crew_of(self, item: schedule.Item) -> int:
        """Which crew it takes: nobody stands beside what runs by the clock."""
        takes = item.calendar != schedule.CLOCK and item.who in self.crews
        return self.crews.index(item.who) if takes else 0

    def _turns(self, path_s: list[float]) -> list[int]:
        """Who goes first among equals: who has the longest likely path of work behind."""
        order = sorted([(-path, at) for at, path in enumerate(path_s)])
        turn = [0] * len(order)
        for count, (_, at) in enumerate(order):
            turn[at] = count
        return turn

    def _promised(self, start_s: int) -> list[list[int]]:
        dates = [item.not_finished_before_s - start_s for item in self.items]
        self.shifts.reach(max(dates, default=0.0), more=self.promises.late_shifts)
        return [self.promises.dates(date, ends=self.shifts.ends) for date in dates]

    def _one_by_one(self, start_s: int) -> float:
        """No run lasts longer than all items after each other, from the latest promise on."""
        calendar = self.shifts.calendar
        at_s = float(start_s + max([max(dates, default=0) for dates in self.promised], default=0))
        for item in self.items:
            high_s = item.duration_s[schedule.HIGH]
            if item.calendar == schedule.CLOCK:
                at_s = calendar.next_open(at_s) + high_s
            else:
                at_s = calendar.finish(calendar.next_open(at_s), work_s=high_s)
        return at_s - start_s

    def run(self, drawn: draws.Draws) -> int:
        """When the site is ready in one run, in seconds from the start."""
        crew, feeds, promised, finishing = self.crew, self.feeds, self.promised, self.finishing
        hours = drawn.hours(self.shapes)
        unmet = list(self.unmet)
        ready = [0] * len(unmet)
        # When each hand of each crew is free, and when the first of them is.
        hands = [[0] * count for count in self.hands]
        free = [0] * len(hands)
        waiting = list(self.first)
        end = 0
        while waiting:
            at = waiting.pop() if len(waiting) == 1 else self._next(waiting, ready, free)
            own = crew[at]
            finish = max(ready[at], free[own])
            if hours[at] > 0:
                finish = finishing[at](finish, hours[at])
            if own > 0:
                hands[own][hands[own].index(free[own])] = finish
                free[own] = min(hands[own])
            if promised[at]:
                finish = max(finish, self.promises.holds(promised[at], share=drawn.share()))
            if finish > end and self.is_needed[at]:
                end = finish
            for later in feeds[at]:
                ready[later] = max(ready[later], finish)
                unmet[later] -= 1
                if unmet[later] == 0:
                    waiting.append(later)
        return end

    def _next(self, waiting: list[int], ready: list[int], free: list[int]) -> int:
        """Take out the one that can start first, among equals the one whose turn it is."""
        crew, turn = self.crew, self.turn
        best = -1
        earliest = 0
        for at in waiting:
            start = max(ready[at], free[crew[at]])
            if best < 0 or start < earliest or (start == earliest and turn[at] < turn[best]):
                best = at
                earliest = start
        waiting.remove(best)
        return best
