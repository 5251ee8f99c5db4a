"""Which days a calendar does not count between two days, and why, in words."""

from collections.abc import Iterator
from datetime import date, timedelta

from compliance.base.dates import WEEKDAYS, say_date, say_days, say_weekday
from compliance.base.holidays import bank_closures, federal_closures, postal_closures
from compliance.engine.days import OperationDays
from compliance.facts.model import Closure, Operation
from compliance.facts.places import find_place_kind
from compliance.rules.model import CalendarName

_MARGIN = timedelta(days=400)
# Closed days named one by one; more are counted.
_NAMED = 6
_AWAY = ("field", "vehicle")
# Whose closures close a calendar, beside the one of its own name; see `OperationDays`.
_CLOSED_BY = {
    CalendarName.NOTARY: _AWAY,
    CalendarName.POST_OFFICE: (CalendarName.POSTAL, *_AWAY),
}
_WORDS = {
    "field": "nobody can leave the field",
    "vehicle": "nobody can drive",
    "notary": "the notary is away",
    "post-office": "the post office is closed",
    "federal": "federal offices are closed",
    "postal": "no mail is carried",
    "bank": "banks are closed",
}
_HOLIDAYS = {
    CalendarName.FEDERAL: federal_closures,
    CalendarName.BANK: bank_closures,
    CalendarName.NOTARY: bank_closures,
    CalendarName.POSTAL: postal_closures,
    CalendarName.POST_OFFICE: postal_closures,
}


def closed_days(
    operation: Operation, name: CalendarName, after: date, through: date
) -> tuple[date, ...]:
    """List the days of (after, through] that a calendar does not count."""
    calendar = OperationDays(operation, after - _MARGIN, through + _MARGIN).calendar(name)
    span = range(after.toordinal() + 1, through.toordinal() + 1)
    return tuple(date.fromordinal(day) for day in span if not calendar.is_open(day))


def say_closed(operation: Operation, name: CalendarName, passed: tuple[date, ...]) -> str:
    """Say which days of a span were not counted: the weekly ones by name, the others by date."""
    if not passed:
        return ""
    weekly = _weekly_closed(operation, name)
    days = dict.fromkeys(say_weekday(day) for day in passed if day.weekday() in weekly)
    other = [day for day in passed if day.weekday() not in weekly]
    parts = [f"{', '.join(f'{day}s' for day in days)}"] if days else []
    parts.extend(say_date(day) for day in other[:_NAMED])
    if len(other) > _NAMED:
        parts.append(f"{len(other) - _NAMED} more")
    return f" ({say_days(len(passed))} not counted: {', '.join(parts)})"


def _weekly_closed(operation: Operation, name: CalendarName) -> frozenset[int]:
    """Give the weekdays a calendar never counts."""
    open_names = {
        CalendarName.FEDERAL: WEEKDAYS[:5],
        CalendarName.BANK: WEEKDAYS[:5],
        CalendarName.POSTAL: WEEKDAYS[:6],
        CalendarName.NOTARY: operation.notary_days,
        CalendarName.POST_OFFICE: operation.post_office_days,
    }.get(name, WEEKDAYS)
    return frozenset(at for at, day in enumerate(WEEKDAYS) if day not in open_names)


def list_reasons(
    operation: Operation, name: CalendarName, done_at: str, after: date, through: date
) -> tuple[str, ...]:
    """List what else than the weekday keeps an act from the days of (after, through].

    Shape: closures, each with its days, both inclusive; then the holidays on which the place would
    be open else.
    """
    first = after + timedelta(days=1)
    who = {str(name), *_CLOSED_BY.get(name, ())}
    if find_place_kind(done_at) is not None:
        who.add("vehicle")
    closures = [
        one
        for one in operation.closures
        if one.who in who and one.last_day >= first and one.first_day <= through
    ]
    return (*map(_say_closure, closures), *_say_holidays(operation, name, first, through))


def _say_closure(one: Closure) -> str:
    span = say_date(one.first_day)
    if one.last_day > one.first_day:
        span += f" to {say_date(one.last_day)}"
    return f"{one.why or _WORDS[one.who]}, {span}"


def _say_holidays(
    operation: Operation, name: CalendarName, first: date, through: date
) -> Iterator[str]:
    find, weekly = _HOLIDAYS.get(name), _weekly_closed(operation, name)
    for one in find(first, through) if find is not None else ():
        if one.day.weekday() not in weekly:
            yield f"{one.name}, {say_date(one.day)}"
