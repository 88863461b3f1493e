"""When work can be done: holds run by the clock, people by the shift, crews are few.

List scheduling: whenever a crew is free, it takes the work with the longest path of work
behind it. That is a good plan, not a proof that no better one exists.
"""

from . import calendars

CLOCK = "clock"
LOW = 0
LIKELY = 1
HIGH = 2


class Item:
    """One piece of work: a step, a repair or the proof of a repair."""

    def __init__(
        self,
        name: str,
        *,
        kind: str,
        who: str,
        calendar: str,
        duration_s: tuple[float, float, float],
        needs: list[int],
        step_id: str | None = None,
        issue_id: str | None = None,
        not_finished_before_s: float = 0.0,
        bring: list[str] | None = None,
    ) -> None:
        self.name = name
        self.kind = kind
        self.who = who
        self.calendar = calendar
        self.duration_s = duration_s
        # Positions in the list of all items; every need stands before the item.
        self.needs = needs
        self.step_id = step_id
        self.issue_id = issue_id
        # A promised date: not called finished earlier, whatever the hours say.
        self.not_finished_before_s = not_finished_before_s
        self.bring = [] if bring is None else bring


class Schedule:
    """Starts and finishes of items for one of low, likely and high durations."""

    def __init__(
        self,
        items: list[Item],
        *,
        case: int,
        calendar: calendars.Calendar,
        crew: dict[str, int],
    ) -> None:
        self.items = items
        self.case = case
        self.calendar = calendar
        self.start_s: list[float | None] = [None] * len(items)
        self.finish_s: list[float] = [0.0] * len(items)
        # What each item had to wait for: the item that ended last before it, or -1.
        self.waited_for: list[int] = [-1] * len(items)
        self.path_s = _longest_path_behind(items, case=case)
        # When each crew is free, and after which item: kept from one placing to the next.
        self._free = {who: [(0.0, -1) for _ in range(count)] for who, count in crew.items()}

    def place(self, chosen: list[int], *, from_s: float) -> None:
        """Give a start and a finish to the chosen items; what they need is chosen or placed."""
        unmet, feeds = self._links(chosen)
        free = [index for index in chosen if unmet[index] == 0]
        while free:
            index = self._next(free, from_s=from_s)
            free.remove(index)
            self._put(index, from_s=from_s)
            for later in feeds[index]:
                unmet[later] -= 1
                if unmet[later] == 0:
                    free.append(later)

    def _links(self, chosen: list[int]) -> tuple[dict[int, int], dict[int, list[int]]]:
        """How many needs each chosen item still waits for, and what each one feeds."""
        unmet: dict[int, int] = {}
        feeds: dict[int, list[int]] = {index: [] for index in chosen}
        for index in chosen:
            unmet[index] = 0
            for need in self.items[index].needs:
                if need in feeds:
                    unmet[index] += 1
                    feeds[need].append(index)
        return unmet, feeds

    def _next(self, free: list[int], *, from_s: float) -> int:
        """The first that can start; among equals the one with the most work behind it."""
        best = free[0]
        rank = (self._earliest(best, from_s=from_s)[0], -self.path_s[best], best)
        for index in free[1:]:
            other = (self._earliest(index, from_s=from_s)[0], -self.path_s[index], index)
            if other < rank:
                rank = other
                best = index
        return best

    def _earliest(self, index: int, *, from_s: float) -> tuple[float, int]:
        """When an item can start, and which item it waits for."""
        item = self.items[index]
        earliest = (from_s, -1)
        for need in item.needs:
            if self.finish_s[need] > earliest[0]:
                earliest = (self.finish_s[need], need)
        if self._takes_crew(item):
            free = min(self._free[item.who])
            if free[0] > earliest[0]:
                earliest = free
        return earliest

    def _takes_crew(self, item: Item) -> bool:
        # Nobody stands beside a hold, a vacuum pump or a crankcase heater.
        return item.calendar != CLOCK and item.who in self._free

    def _put(self, index: int, *, from_s: float) -> None:
        item = self.items[index]
        start, waited_for = self._earliest(index, from_s=from_s)
        work = item.duration_s[self.case]
        finish = start
        if work > 0.0:
            # A hold or a pump runs through the night, but somebody must be there to start it.
            start = self.calendar.next_open(start)
            finish = start + work
            if item.calendar != CLOCK:
                finish = self.calendar.finish(start, work_s=work)
        if self._takes_crew(item):
            crews = self._free[item.who]
            crews.remove(min(crews))
            crews.append((finish, index))
        self.start_s[index] = start
        self.finish_s[index] = max(finish, item.not_finished_before_s)
        self.waited_for[index] = waited_for

    def chain_to(self, last: list[int]) -> list[int]:
        """The items that decide when the last ones finish."""
        chain: list[int] = []
        for end in last:
            index = end
            while index >= 0 and index not in chain:
                chain.append(index)
                if self.finish_s[index] == self.items[index].not_finished_before_s:
                    break  # The promise decides, not what was before it.
                index = self.waited_for[index]
        return chain


def _longest_path_behind(items: list[Item], *, case: int) -> list[float]:
    path = [item.duration_s[case] for item in items]
    behind = [0.0] * len(items)
    for index in range(len(items) - 1, -1, -1):
        path[index] += behind[index]
        for need in items[index].needs:
            behind[need] = max(behind[need], path[index])
    return path
