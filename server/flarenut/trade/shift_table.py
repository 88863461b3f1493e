"""The shifts of a site as lists, to be looked up thousands of times instead of worked out.

Times are whole seconds from the start of a plan: whole numbers are quick on the phone and
alike everywhere.
"""

from . import calendars


class ShiftTable:
    """When the shifts open and end, from the start of a plan on."""

    def __init__(self, calendar: calendars.Calendar, *, start_s: int) -> None:
        self.calendar = calendar
        self.start_s = start_s
        self.day = calendar.day_of(start_s) - 1
        self.opens: list[int] = []
        self.ends: list[int] = []
        # For each day since the start, the first shift that has not ended when that day begins.
        self.first: list[int] = []

    def reach(self, at: float, *, more: int) -> None:
        """Make the lists reach to a moment, and some shifts beyond it."""
        while len(self.ends) <= more or self.ends[-1 - more] <= at:
            window = self.calendar.window(self.day)
            self.day += 1
            if window is None or window[1] <= self.start_s:
                continue
            self.opens.append(int(window[0]) - self.start_s)
            self.ends.append(int(window[1]) - self.start_s)
            while len(self.first) * calendars.DAY_S < self.ends[-1]:
                self.first.append(len(self.ends) - 1)

    # Both are called a hundred thousand times, and a phone takes as long to sort out a name of an
    # argument as to add: hence no names here.

    def clock_finish(self, at: int, work: int) -> int:
        """When a hold is finished: it runs through the night, but somebody must start it."""
        index = self.first[at // calendars.DAY_S]
        while self.ends[index] <= at:
            index += 1
        return max(at, self.opens[index]) + work

    def shift_finish(self, at: int, work: int) -> int:
        """When work is finished that stops at each shift's end, as `Calendar.finish` has it."""
        ends = self.ends
        index = self.first[at // calendars.DAY_S]
        while ends[index] <= at:
            index += 1
        at = max(at, self.opens[index])
        while work > ends[index] - at:
            work -= ends[index] - at
            index += 1
            at = self.opens[index]
        return at + work
