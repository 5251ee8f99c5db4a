"""The calendars of one operation: which days count for offices, mail, banks and its own people."""

from collections.abc import Iterable
from datetime import date, timedelta
from functools import lru_cache

from compliance.base.calendars import DayCalendar, build_calendar, build_every_day
from compliance.base.dates import WEEKDAYS
from compliance.base.holidays import Holiday, bank_closures, federal_closures, postal_closures
from compliance.facts.model import Operation
from compliance.facts.places import PlaceKind, find_place_days, find_place_kind
from compliance.rules.model import CalendarName

_ALL_WEEK = frozenset(range(7))
_MONDAY_TO_FRIDAY = frozenset(range(5))
_MONDAY_TO_SATURDAY = frozenset(range(6))


class OperationDays:
    """Build each calendar of an operation when it is first asked for.

    The horizon is inclusive on both ends; a day outside raises ``OutOfRangeError``.

    ``notary`` days are the operation's notary weekdays less bank holidays; ``post-office`` days its
    post-office weekdays less postal holidays; both also close on days nobody can leave the field
    and on days nobody can drive.
    """

    def __init__(self, operation: Operation, first: date, last: date) -> None:
        self.operation = operation
        self.first = first
        self.last = last
        self._built: dict[CalendarName, DayCalendar] = {}
        self._at_place: dict[tuple[CalendarName, PlaceKind], DayCalendar] = {}

    def calendar(self, name: CalendarName) -> DayCalendar:
        """Give a calendar by name."""
        found = self._built.get(name)
        if found is None:
            found = self._built[name] = self._build(name)
        return found

    def at_place(self, name: CalendarName, done_at: str) -> DayCalendar:
        """Give the calendar of an act, which in town is also that of its place and of the vehicle.

        It is the calendar of that name unless places of the kind say their days, or there are days
        on which nobody can drive.
        """
        kind = find_place_kind(done_at)
        if kind is None or name in {CalendarName.NOTARY, CalendarName.POST_OFFICE}:
            return self.calendar(name)
        days = find_place_days(self.operation.places, kind)
        closed = self.closed_by("vehicle")
        if not days and not closed:
            return self.calendar(name)
        key = (name, kind)
        if key not in self._at_place:
            usual = self.calendar(name)
            own = _weekdays(days) if days else _ALL_WEEK
            every = (date.fromordinal(day) for day in usual.bd)
            open_days = [day for day in every if day.weekday() in own and day not in closed]
            self._at_place[key] = build_calendar(
                name, self.first, self.last, weekdays=frozenset(), extra_open=open_days
            )
        return self._at_place[key]

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
            closed = _days(postal_closures(first, last)) | self.closed_by("postal")
        closed |= self.closed_by(name)
        if name in {CalendarName.NOTARY, CalendarName.POST_OFFICE}:
            closed |= self.closed_by("field") | self.closed_by("vehicle")
        return _build_once(name, first, last, weekdays, frozenset(closed))

    def closed_by(self, who: str) -> set[date]:
        """Give the days within the horizon on which somebody is not available."""
        days: set[date] = set()
        for closure in self.operation.closures:
            if closure.who == who:
                day = max(closure.first_day, self.first)
                while day <= min(closure.last_day, self.last):
                    days.add(day)
                    day += timedelta(days=1)
        return days


# A plan with something changed asks for the same calendars over and over; they never change.
@lru_cache(maxsize=64)
def _build_once(
    name: str, first: date, last: date, weekdays: frozenset[int], closed: frozenset[date]
) -> DayCalendar:
    return build_calendar(name, first, last, weekdays=weekdays, closed=closed)


def _weekdays(names: Iterable[str]) -> frozenset[int]:
    return frozenset(WEEKDAYS.index(name) for name in names)


def _days(holidays: Iterable[Holiday]) -> set[date]:
    return {holiday.day for holiday in holidays}
