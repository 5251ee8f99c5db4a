"""Which days count, and counting them forward and back by table look-up.

A day is its proleptic Gregorian ordinal (``date.toordinal()``), so the engine adds and compares
plain integers.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import accumulate

EVERY_WEEKDAY = frozenset(range(7))


class OutOfRangeError(ValueError):
    """A day lies outside the days a calendar knows about; it is refused, never clipped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCalendar:
    """Hold the days that count between *first* and *last*.

    Shape: made by `build_calendar`. ``bd`` lists the open days in order; ``cum[i]`` is how many of
    them lie before day ``first + i``. ``rbd`` and ``rcum`` are the same seen from the far end:
    ``rcum[j]`` open days lie after day ``last - j``; ``eves`` are the days before those of ``rbd``,
    as far as they are in the calendar. The mirror is there so that running off the early end is
    an index error and not a silent count from the back of a tuple.

    Units: every day is an ordinal; *first* and *last* are both inside the calendar.

    The law, for every day d, limit and n: ``forward(d, n) <= limit`` exactly when
    ``d <= backward(limit, n)``. Proof for n >= 1, with C(x) = open days up to and with x:
    ``forward(d, n)`` is the (C(d) + n)-th open day, and the k-th open day is on or before *limit*
    exactly when k <= C(limit). So the left side says C(d) <= C(limit) - n. C never falls and steps
    up on open days only, so the latest such d is the day before open day number C(limit) - n + 1,
    which is what ``backward`` returns. For n = 0 both sides read d <= limit.
    """

    name: str
    first: int
    last: int
    bd: tuple[int, ...] = field(repr=False)
    cum: tuple[int, ...] = field(repr=False, compare=False)
    rbd: tuple[int, ...] = field(repr=False, compare=False)
    rcum: tuple[int, ...] = field(repr=False, compare=False)
    eves: tuple[int, ...] = field(repr=False, compare=False)

    def is_open(self, day: int) -> bool:
        """Tell whether *day* counts.

        Raises:
            OutOfRangeError: *day* is outside the calendar.
        """
        at = self._offset(day)
        return self.cum[at + 1] > self.cum[at]

    def on_or_after(self, day: int) -> int:
        """Find the first open day that is not before *day*.

        Raises:
            OutOfRangeError: *day* or the answer is outside the calendar.
        """
        at = self.cum[self._offset(day)]
        if at >= len(self.bd):
            raise self._beyond("the next open day after", day)
        return self.bd[at]

    def on_or_before(self, day: int) -> int:
        """Find the last open day that is not after *day*.

        Raises:
            OutOfRangeError: *day* or the answer is outside the calendar.
        """
        at = self.cum[self._offset(day) + 1] - 1
        if at < 0:
            raise self._beyond("the open day before", day)
        return self.bd[at]

    def forward(self, day: int, n: int) -> int:
        """Find the *n*-th open day after *day*.

        Units: open days of this calendar. *day* itself is never counted, open or closed; n = 0
        gives *day* back, even a closed one.

        Raises:
            OutOfRangeError: *day* or the answer is outside the calendar.
            ValueError: *n* is negative.

        >>> office = build_calendar(
        ...     "weekdays", date(2027, 1, 1), date(2027, 1, 31), weekdays=frozenset(range(5))
        ... )
        >>> date.fromordinal(office.forward(date(2027, 1, 9).toordinal(), 1)).isoformat()
        '2027-01-11'
        """
        at = self.cum[self._offset(day) + 1] + _refuse_negative(n) - 1
        if n == 0:
            return day
        if at >= len(self.bd):
            raise self._beyond(f"{n} open days after", day)
        return self.bd[at]

    def backward(self, limit: int, n: int) -> int:
        """Find the latest day, open or closed, from which `forward` by *n* is not after *limit*.

        Units: open days of this calendar. From a Monday back one office day is the Sunday: what is
        handed over on Sunday still has Monday as its first counted day.

        Raises:
            OutOfRangeError: *limit* or the answer is outside the calendar.
            ValueError: *n* is negative.

        >>> office = build_calendar(
        ...     "weekdays", date(2027, 1, 1), date(2027, 1, 31), weekdays=frozenset(range(5))
        ... )
        >>> date.fromordinal(office.backward(date(2027, 1, 11).toordinal(), 1)).isoformat()
        '2027-01-10'
        """
        at = self.cum[self._offset(limit) + 1] - _refuse_negative(n)
        if n == 0:
            return limit
        if at < 0 or self.bd[at] == self.first:
            raise self._beyond(f"{n} open days before", limit)
        return self.bd[at] - 1

    def count(self, after: int, through: int) -> int:
        """Count the open days after *after* and up to *through*.

        Units: *after* is not counted, *through* is. Negative when *through* is the earlier day.

        Raises:
            OutOfRangeError: a day is outside the calendar.
        """
        return self.cum[self._offset(through) + 1] - self.cum[self._offset(after) + 1]

    def _offset(self, day: int) -> int:
        if self.first <= day <= self.last:
            return day - self.first
        raise self._beyond("the day", day)

    def _beyond(self, what: str, day: int) -> OutOfRangeError:
        first, last = describe_day(self.first), describe_day(self.last)
        return OutOfRangeError(
            f"{what} {describe_day(day)} is outside the calendar {self.name!r}, "
            f"which runs from {first} to {last}"
        )


def describe_day(day: int) -> str:
    """Write a day ordinal as an ISO date, or as a bare number when no date has that ordinal."""
    if 1 <= day <= date.max.toordinal():
        return date.fromordinal(day).isoformat()
    return f"day number {day}"


def build_calendar(
    name: str,
    first: date,
    last: date,
    *,
    weekdays: frozenset[int],
    closed: Iterable[date] = (),
    extra_open: Iterable[date] = (),
) -> DayCalendar:
    """Build the calendar of the given weekdays, less the closed days, plus the extra open ones.

    Units: *first* and *last* are both inside. Weekdays are numbered as by ``date.weekday()``,
    Monday 0 to Sunday 6. A day both closed and extra open is open. Closed or extra days outside
    the span change nothing.

    Raises:
        ValueError: *last* is before *first*, or a weekday number is not 0 to 6.
    """
    if last < first:
        raise ValueError(f"calendar {name!r} ends on {last} before it begins on {first}")
    if not weekdays <= EVERY_WEEKDAY:
        raise ValueError(f"calendar {name!r}: weekdays are 0 to 6, got {sorted(weekdays)}")
    shut = {day.toordinal() for day in closed}
    extra = {day.toordinal() for day in extra_open}
    low, high = first.toordinal(), last.toordinal()
    flags = [
        day in extra or ((day - 1) % 7 in weekdays and day not in shut)
        for day in range(low, high + 1)
    ]
    days = tuple(day for day, is_open in zip(range(low, high + 1), flags, strict=True) if is_open)
    return DayCalendar(
        name=name,
        first=low,
        last=high,
        bd=days,
        cum=tuple(_running(flags)),
        rbd=days[::-1],
        rcum=tuple(_running(flags[:0:-1])),
        eves=tuple(day - 1 for day in reversed(days) if day > low),
    )


def build_every_day(name: str, first: date, last: date) -> DayCalendar:
    """Build the calendar on which every day counts, for periods in calendar days.

    Raises:
        ValueError: *last* is before *first*.
    """
    return build_calendar(name, first, last, weekdays=EVERY_WEEKDAY)


def _running(flags: list[bool]) -> Iterator[int]:
    return accumulate(flags, initial=0)


def _refuse_negative(n: int) -> int:
    if n < 0:
        raise ValueError(f"a period cannot be shorter than 0 days, got {n}")
    return n
