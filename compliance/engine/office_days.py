"""The calendars on which offices' days are counted, for several operations at once."""

from collections.abc import Iterable
from datetime import date, timedelta

from compliance.base.calendars import DayCalendar, build_calendar
from compliance.base.holidays import bank_closures, federal_closures, postal_closures
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName, StepRow

_WEEKDAYS = {
    CalendarName.FEDERAL: (range(5), federal_closures),
    CalendarName.BANK: (range(5), bank_closures),
    CalendarName.POSTAL: (range(6), postal_closures),
}


class OfficeDays:
    """Build the calendars of offices when they are first asked for; both ends inclusive.

    Days on which an operation says that an office is closed count for none. What depends on one
    operation, such as its notary's days, is no office's: every day counts there.
    """

    def __init__(self, operations: Iterable[Operation], first: date, last: date) -> None:
        self.first, self.last = first, last
        self._closures = tuple(
            closure for operation in operations for closure in operation.closures
        )
        self._built: dict[CalendarName, DayCalendar] = {}

    def calendar(self, name: CalendarName) -> DayCalendar:
        """Give a calendar by name."""
        if name not in self._built:
            self._built[name] = self._build(name)
        return self._built[name]

    def of_rows(self, rows: Iterable[StepRow]) -> dict[str, DayCalendar]:
        """Give the calendar of each step row, by its id."""
        return {row.id: self.calendar(row.calendar) for row in rows}

    def _build(self, name: CalendarName) -> DayCalendar:
        weekdays, holidays = _WEEKDAYS.get(name, (range(7), None))
        closed = {one.day for one in holidays(self.first, self.last)} if holidays else set()
        for closure in self._closures:
            if closure.who == name and holidays is not None:
                days = (min(closure.last_day, self.last) - closure.first_day).days
                closed |= {closure.first_day + timedelta(days=at) for at in range(days + 1)}
        return build_calendar(
            name, self.first, self.last, weekdays=frozenset(weekdays), closed=closed
        )
