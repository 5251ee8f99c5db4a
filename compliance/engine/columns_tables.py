"""The moves of a network as tables of small whole numbers, for passes over many rows at once."""

from collections.abc import Callable
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from compliance.base.calendars import DayCalendar, OutOfRangeError
from compliance.engine.moves import Act, MonthsAhead, Task
from compliance.engine.network_core import Network

Column: TypeAlias = npt.NDArray[np.signedinteger[Any]]
"""One number for each row; a column of one number stands for all rows."""

Places: TypeAlias = npt.NDArray[np.intp]
"""Numbers of rows, rising."""

BEFORE = 0
"""Stands for a day before the first one."""


class Tables:
    """The days of a network as numbers, and its moves as tables.

    Units: number 1 is the network's first day and *span* its last; *BEFORE* and *beyond*, one more
    than *span*, stand for days outside, and every move takes them to themselves. Numbers are 16
    bits wide when twice as many days fit, else 32.
    """

    def __init__(self, network: Network) -> None:
        self.base = network.first - 1
        self.span = network.last - network.first + 1
        self.beyond = self.span + 1
        most = np.iinfo(np.int16).max
        self.dtype = np.dtype(np.int16 if 2 * (self.beyond + 1) <= most else np.int32)
        self._counted: dict[int, tuple[Column, Column, Column]] = {}
        self._forward: dict[tuple[int, int], Column] = {}
        self._backward: dict[tuple[int, int], Column] = {}

    def number(self, days: int | npt.ArrayLike, what: str) -> Column:
        """Turn days into numbers.

        Raises:
            OutOfRangeError: a day is outside the network's days.
        """
        wide = np.atleast_1d(np.asarray(days))
        if wide.ndim != 1 or not np.issubdtype(wide.dtype, np.integer):
            raise ValueError(f"{what} must be a whole number or a column of them")
        numbers = wide.astype(np.int64) - self.base
        if numbers.size and (numbers.min() < 1 or numbers.max() > self.span):
            at = int(np.argmax((numbers < 1) | (numbers > self.span)))
            raise OutOfRangeError(
                f"{what} of row {at} (day number {int(wide[at])}) is outside the days planned for"
            )
        return numbers.astype(self.dtype)

    def count(self, counts: int | npt.ArrayLike, what: str) -> Column:
        """Take counts of days; more days than there are stand for all of them.

        Raises:
            ValueError: a count is negative.
        """
        wide = np.atleast_1d(np.asarray(counts))
        if wide.ndim != 1 or not np.issubdtype(wide.dtype, np.integer):
            raise ValueError(f"{what} must be a whole number or a column of them")
        if wide.size and wide.min() < 0:
            raise ValueError(f"{what} cannot be fewer than 0 days, got {int(wide.min())}")
        counted: Column = np.minimum(wide, self.beyond).astype(self.dtype)
        return counted

    def forward_table(self, task: Task) -> Column:
        """Give the finish for every start of a task with its own days."""
        key = _key(task)
        table = self._forward.get(key)
        if table is None:
            table = self._forward[key] = self._make_forward(task)
        return table

    def backward_table(self, task: Task) -> Column:
        """Give the latest start for every latest finish of a task with its own days."""
        key = _key(task)
        table = self._backward.get(key)
        if table is None:
            table = self._backward[key] = self._make_backward(task)
        return table

    def wait_forward(self, calendar: DayCalendar, start: Column, days: Column) -> Column:
        """Move starts on by counted days, row by row."""
        counts, opens, _ = self._count_days(calendar)
        found = opens.take(counts.take(start) + days, mode="clip")
        return found if days.min(initial=1) > 0 else np.where(days == 0, start, found)

    def wait_backward(self, calendar: DayCalendar, finish: Column, days: Column) -> Column:
        """Find the latest starts of waits of counted days, row by row."""
        counts, _, eves = self._count_days(calendar)
        found = eves.take(counts.take(finish) - days + 1, mode="clip")
        return found if days.min(initial=1) > 0 else np.where(days == 0, finish, found)

    def count_open(self, calendar: DayCalendar, after: Column, through: Column) -> Column:
        """Count the open days after one day and up to another; 0 when the other is not later."""
        counts, _, _ = self._count_days(calendar)
        found: Column = np.maximum(counts.take(through) - counts.take(after), 0)
        return found

    def _make_forward(self, task: Task) -> Column:
        move = task.move
        every = np.arange(self.beyond + 1, dtype=self.dtype)
        if isinstance(move, Act):
            counts, opens, _ = self._count_days(move.calendar)
            # The first open day on or after: one more than are open before the day.
            found = opens.take(np.concatenate((counts[:1], counts[:-1])) + 1, mode="clip")
        elif isinstance(move, MonthsAhead):
            found = self._tabulate(move.forward, self.beyond)
        else:
            found = self.wait_forward(move.calendar, every, self.count(move.days, task.id))
        found[BEFORE], found[-1] = BEFORE, self.beyond
        return found

    def _make_backward(self, task: Task) -> Column:
        move = task.move
        every = np.arange(self.beyond + 1, dtype=self.dtype)
        if isinstance(move, Act):
            counts, opens, _ = self._count_days(move.calendar)
            found = opens.take(counts, mode="clip")
        elif isinstance(move, MonthsAhead):
            found = self._tabulate(move.backward, BEFORE)
        else:
            found = self.wait_backward(move.calendar, every, self.count(move.days, task.id))
        found[BEFORE], found[-1] = BEFORE, self.beyond
        return found

    def _tabulate(self, move: Callable[[int], int], outside: int) -> Column:
        found = np.full(self.beyond + 1, outside, dtype=self.dtype)
        for number in range(1, self.beyond):
            try:
                moved = move(number + self.base) - self.base
            except OutOfRangeError:
                continue
            if 1 <= moved <= self.span:
                found[number] = moved
        return found

    def _count_days(self, calendar: DayCalendar) -> tuple[Column, Column, Column]:
        """Give the open days up to each number, the open days in order, and the days before those.

        Shape: the n-th open day stands at place n; place 0 is *BEFORE*, and behind the last one
        stands *beyond*, so that running off either end finds the mark for it.
        """
        found = self._counted.get(id(calendar))
        if found is None:
            days = np.asarray(calendar.bd, dtype=np.int64) - self.base
            days = days[(days >= 1) & (days <= self.span)]
            is_open = np.zeros(self.beyond + 1, dtype=self.dtype)
            is_open[days] = 1
            counts = np.cumsum(is_open, dtype=self.dtype)
            counts[-1] = len(days) + 1
            opens = np.concatenate(([BEFORE], days, [self.beyond])).astype(self.dtype)
            eves = np.maximum(opens - 1, BEFORE).astype(self.dtype)
            found = self._counted[id(calendar)] = (counts, opens, eves)
        return found


def _key(task: Task) -> tuple[int, int]:
    """Tell moves apart; the calendars live as long as the tables, so their ids stay their own."""
    move = task.move
    if isinstance(move, MonthsAhead):
        return -1 - int(move.end_of_month), move.months
    return id(move.calendar), -1 if isinstance(move, Act) else move.days
