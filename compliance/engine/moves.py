"""What a step is: how it moves through the days, what it waits for, how fresh it must be."""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from compliance.base.calendars import DayCalendar, OutOfRangeError, describe_day
from compliance.base.problems import RefusedError

MONTHS = 12


class CycleFoundError(RefusedError):
    """Tasks wait for one another in a ring; *cycle* names them, first and last the same."""

    def __init__(self, cycle: tuple[str, ...]) -> None:
        self.cycle = cycle
        super().__init__(f"these steps wait for one another: {' -> '.join(cycle)}")


class InfeasibleError(RefusedError):
    """No days satisfy every rule; *task_id* is the task the last rule was about."""

    def __init__(self, message: str, task_id: str) -> None:
        self.task_id = task_id
        super().__init__(message)


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something done on one day on which its place is open."""

    calendar: DayCalendar

    def forward(self, day: int) -> int:
        """Find the first open day on or after *day*."""
        return self.calendar.on_or_after(day)

    def backward(self, limit: int) -> int:
        """Find the last open day on or before *limit*."""
        return self.calendar.on_or_before(limit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Something that takes *days* counted days; the day it starts from is not counted.

    Raises:
        ValueError: *days* is negative.
    """

    calendar: DayCalendar
    days: int

    def __post_init__(self) -> None:
        if self.days < 0:
            raise ValueError(f"a wait cannot take fewer than 0 days, got {self.days}")

    def forward(self, day: int) -> int:
        """Find the day the wait is over when it starts from *day*."""
        return self.calendar.forward(day, self.days)

    def backward(self, limit: int) -> int:
        """Find the latest day to start from so that the wait is over by *limit*."""
        return self.calendar.backward(limit, self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthsAhead:
    """The same day *months* later, or the last day of that month.

    Units: calendar months, added once to the starting day. A day the later month lacks becomes its
    last day: 31 January and one month is 28 February.

    Raises:
        ValueError: *months* is negative.

    Source: Uniform Statute and Rule Construction Act as enacted in NMSA 12-2A-7, for short months.
    """

    months: int
    end_of_month: bool

    def __post_init__(self) -> None:
        if self.months < 0:
            raise ValueError(f"a period cannot be shorter than 0 months, got {self.months}")

    def forward(self, day: int) -> int:
        """Find the day that many months after *day*.

        Raises:
            OutOfRangeError: *day* or the answer is outside the years 1 to 9999.
        """
        start = _to_date(day)
        year, month = _shift_month(start.year, start.month, self.months)
        length = monthrange(year, month)[1]
        in_month = length if self.end_of_month else min(start.day, length)
        return date(year, month, in_month).toordinal()

    def backward(self, limit: int) -> int:
        """Find the latest day from which `forward` is not after *limit*.

        Units: from the last day of a month every day of the earlier month still makes it, so the
        answer is that month's last day. From another day it is the same day number, or with
        *end_of_month* the last day of the month before the earlier month.

        Raises:
            OutOfRangeError: *limit* or the answer is outside the years 1 to 9999.
        """
        end = _to_date(limit)
        at_month_end = end.day == monthrange(end.year, end.month)[1]
        early = self.end_of_month and not at_month_end
        year, month = _shift_month(end.year, end.month, -self.months - (1 if early else 0))
        length = monthrange(year, month)[1]
        in_month = length if at_month_end or early else min(end.day, length)
        return date(year, month, in_month).toordinal()


Move: TypeAlias = Act | Wait | MonthsAhead


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One step: how it moves through the days and what must be finished before it.

    Units: days are ordinals. *not_before* is the first day it may start from, *not_after* the last
    day it may be finished, *done_on* the day it really was finished.
    """

    id: str
    move: Move
    after: tuple[str, ...] = ()
    not_before: int | None = None
    not_after: int | None = None
    done_on: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """A freshness rule: *then* is finished at most *at_most_days* after *first* is.

    Units: calendar days; 0 means the same day. It sets no order: that is what `Task.after` is for.

    Raises:
        ValueError: *at_most_days* is negative.
    """

    first: str
    then: str
    at_most_days: int

    def __post_init__(self) -> None:
        if self.at_most_days < 0:
            raise ValueError(f"a gap cannot be shorter than 0 days, got {self.at_most_days}")


def _shift_month(year: int, month: int, months: int) -> tuple[int, int]:
    moved_year, moved_month = divmod(year * MONTHS + month - 1 + months, MONTHS)
    if not date.min.year <= moved_year <= date.max.year:
        raise OutOfRangeError(f"{months} months from {year}-{month:02} is outside the calendar")
    return moved_year, moved_month + 1


def _to_date(day: int) -> date:
    if not 1 <= day <= date.max.toordinal():
        raise OutOfRangeError(f"{describe_day(day)} is outside the years 1 to 9999")
    return date.fromordinal(day)
