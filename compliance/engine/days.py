"""The calendars of one operation: which days count for offices, mail, banks and its own people."""

from collections.abc import Iterable
from datetime import date, timedelta

from compliance.base.calendars import DayCalendar, build_calendar, build_every_day
from compliance.base.dates import WEEKDAYS
from compliance.base.holidays import Holiday, bank_closures, federal_closures, postal_closures
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName

_ALL_WEEK = frozenset(range(7))
_MONDAY_TO_FRIDAY = frozenset(range(5))
_MONDAY_TO_SATURDAY = frozenset(range(6))


class OperationDays:
    """Build each calendar of an operation when it is first asked for.

    The horizon is inclusive on both ends; a day outside raises ``OutOfRangeError``.

    ``notary`` days are the operation's notary weekdays less bank holidays; ``post-office`` days its
    post-office weekdays less postal holidays; both also close on days nobody can leave the field.
    """

    def __init__(self, operation: Operation, first: date, last: date) -> None:
        self.operation = operation
        self.first = first
        self.last = last
        self._built: dict[CalendarName, DayCalendar] = {}

    def calendar(self, name: CalendarName) -> DayCalendar:
        """Give a calendar by name."""
        found = self._built.get(name)
        if found is None:
            found = self._built[name] = self._build(name)
        return found

    def _build(self, name: CalendarName) -> DayCalendar:
        first, last = self.first, self.last
        if name is CalendarName.EVERY_DAY:
            return build_every_day(name, first, last)
        operation = self.operation
        weekdays = _ALL_WEEK
        closed: set[date] = set()
        if name is CalendarName.FEDERAL:
            weekdays, closed = _MONDAY_TO_FRIDAY, _days(federal_closures(first, last))
        elif name is CalendarName.BANK:
            weekdays, closed = _MONDAY_TO_FRIDAY, _days(bank_closures(first, last))
        elif name is CalendarName.POSTAL:
            weekdays, closed = _MONDAY_TO_SATURDAY, _days(postal_closures(first, last))
        elif name is CalendarName.NOTARY:
            weekdays, closed = _weekdays(operation.notary_days), _days(bank_closures(first, last))
        elif name is CalendarName.POST_OFFICE:
            weekdays = _weekdays(operation.post_office_days)
            closed = _days(postal_closures(first, last)) | self._closures("postal")
        closed |= self._closures(name)
        if name in {CalendarName.NOTARY, CalendarName.POST_OFFICE}:
            closed |= self._closures("field")
        return build_calendar(name, first, last, weekdays=weekdays, closed=closed)

    def _closures(self, who: str) -> set[date]:
        days: set[date] = set()
        for closure in self.operation.closures:
            if closure.who == who:
                day = max(closure.first_day, self.first)
                while day <= min(closure.last_day, self.last):
                    days.add(day)
                    day += timedelta(days=1)
        return days


def _weekdays(names: Iterable[str]) -> frozenset[int]:
    return frozenset(WEEKDAYS.index(name) for name in names)


def _days(holidays: Iterable[Holiday]) -> set[date]:
    return {holiday.day for holiday in holidays}
