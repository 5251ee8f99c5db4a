"""The federal holidays by arithmetic, and who is closed on them: offices, mail and banks."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from compliance.base.calendars import DayCalendar, build_calendar

EARLIEST_YEAR = 1986
"""The first year of the King holiday; before it the list was another one."""

JUNETEENTH_YEAR = 2021
"""Public Law 117-17 was signed on 17 June 2021 and applied to that year's day."""

MONDAY, THURSDAY, SATURDAY, SUNDAY = 0, 3, 5, 6
OFFICE_DAYS = frozenset(range(5))
MAIL_DAYS = frozenset(range(6))

_FIXED = (
    (1, 1, "New Year's Day"),
    (6, 19, "Juneteenth National Independence Day"),
    (7, 4, "Independence Day"),
    (11, 11, "Veterans Day"),
    (12, 25, "Christmas Day"),
)
# Month, weekday, which one of the month; -1 is the last one.
_FLOATING = (
    (1, MONDAY, 3, "Birthday of Martin Luther King, Jr."),
    (2, MONDAY, 3, "Washington's Birthday"),
    (5, MONDAY, -1, "Memorial Day"),
    (9, MONDAY, 1, "Labor Day"),
    (10, MONDAY, 2, "Columbus Day"),
    (11, THURSDAY, 4, "Thanksgiving Day"),
)


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Holiday:
    """A day and the name of the holiday that makes it one."""

    day: date
    name: str


def federal_holidays(year: int) -> tuple[Holiday, ...]:
    """List the legal public holidays of a year on the days the statute names.

    Shape: in date order; eleven a year from 2021, ten before. Days may be Saturdays or Sundays.

    Raises:
        ValueError: *year* is before 1986, when the list was another one.

    Source: 5 USC 6103(a). Inauguration Day (6103(c)) binds the Washington area only and is left
    out.

    >>> [str(holiday.day) for holiday in federal_holidays(2027)][:3]
    ['2027-01-01', '2027-01-18', '2027-02-15']
    """
    if year < EARLIEST_YEAR:
        raise ValueError(f"federal holidays are known from {EARLIEST_YEAR} on, got {year}")
    fixed = (
        Holiday(day=date(year, month, day), name=name)
        for month, day, name in _FIXED
        if month != 6 or year >= JUNETEENTH_YEAR  # noqa: PLR2004 - June has one fixed holiday
    )
    floating = (
        Holiday(day=_nth_weekday(year, month, weekday, nth), name=name)
        for month, weekday, nth, name in _FLOATING
    )
    return tuple(sorted((*fixed, *floating)))


def federal_closures(first: date, last: date) -> tuple[Holiday, ...]:
    """List the weekdays on which federal offices are shut for a holiday.

    Shape: in date order. A Saturday holiday is kept on the Friday before, a Sunday one on the
    Monday after; the name then ends in ", observed". 1 January on a Saturday falls back into
    the old year.

    Units: *first* and *last* are both inside.

    Raises:
        ValueError: *first* is before 1986.

    Source: 5 USC 6103(b) for Saturdays; Executive Order 11582 of 11 February 1971 for Sundays.
    """
    return _closures(first, last, {SATURDAY: -1, SUNDAY: 1})


def postal_closures(first: date, last: date) -> tuple[Holiday, ...]:
    """List the days without regular mail for a holiday, on a Monday to Saturday week.

    Shape: in date order. A Saturday holiday stays on the Saturday and the Friday is a mail day; a
    Sunday one closes the Monday.

    Units: *first* and *last* are both inside.

    Raises:
        ValueError: *first* is before 1986.

    Source: Domestic Mail Manual 608.3.2 for Sundays; the Saturday rule is past practice (3 July
    2020 was a normal mail day), no rule text seen.
    """
    return _closures(first, last, {SUNDAY: 1})


def bank_closures(first: date, last: date) -> tuple[Holiday, ...]:
    """List the days on which Federal Reserve Banks, and so most banks, keep a holiday.

    Shape: in date order. A Saturday holiday stays on the Saturday and the Friday is open; a Sunday
    one closes the Monday.

    Units: *first* and *last* are both inside.

    Raises:
        ValueError: *first* is before 1986.

    Source: Federal Reserve statistical release K.8, holiday schedule 2026-2030.
    """
    return _closures(first, last, {SUNDAY: 1})


def build_federal_calendar(
    first: date, last: date, *, closed: Iterable[date] = (), extra_open: Iterable[date] = ()
) -> DayCalendar:
    """Build the calendar of federal office days: Monday to Friday less holidays and in-lieu days.

    Units: *closed* adds one-off closures (an executive order), *extra_open* takes a day back.

    Raises:
        ValueError: *first* is before 1986 or *last* before *first*.
    """
    days = [holiday.day for holiday in federal_closures(first, last)]
    return build_calendar(
        "federal business days",
        first,
        last,
        weekdays=OFFICE_DAYS,
        closed=[*days, *closed],
        extra_open=extra_open,
    )


def build_postal_calendar(
    first: date, last: date, *, closed: Iterable[date] = (), extra_open: Iterable[date] = ()
) -> DayCalendar:
    """Build the calendar of mail days: Monday to Saturday less the days without mail.

    Units: *closed* adds one-off closures, *extra_open* takes a day back.

    Raises:
        ValueError: *first* is before 1986 or *last* before *first*.
    """
    days = [holiday.day for holiday in postal_closures(first, last)]
    return build_calendar(
        "postal days",
        first,
        last,
        weekdays=MAIL_DAYS,
        closed=[*days, *closed],
        extra_open=extra_open,
    )


def build_bank_calendar(
    first: date, last: date, *, closed: Iterable[date] = (), extra_open: Iterable[date] = ()
) -> DayCalendar:
    """Build the calendar of bank days: Monday to Friday less bank holidays.

    Units: *closed* adds one-off closures, *extra_open* takes a day back.

    Raises:
        ValueError: *first* is before 1986 or *last* before *first*.
    """
    days = [holiday.day for holiday in bank_closures(first, last)]
    return build_calendar(
        "bank days",
        first,
        last,
        weekdays=OFFICE_DAYS,
        closed=[*days, *closed],
        extra_open=extra_open,
    )


def _closures(first: date, last: date, moves: dict[int, int]) -> tuple[Holiday, ...]:
    # One year past the end: a Saturday New Year is kept on 31 December of the year before.
    found = (
        _observed(holiday, moves)
        for year in range(first.year, last.year + 2)
        for holiday in federal_holidays(year)
    )
    return tuple(sorted(holiday for holiday in found if first <= holiday.day <= last))


def _observed(holiday: Holiday, moves: dict[int, int]) -> Holiday:
    shift = moves.get(holiday.day.weekday(), 0)
    if shift == 0:
        return holiday
    return Holiday(day=holiday.day + timedelta(days=shift), name=f"{holiday.name}, observed")


def _nth_weekday(year: int, month: int, weekday: int, nth: int) -> date:
    if nth > 0:
        start = date(year, month, 1)
        return start + timedelta(days=(weekday - start.weekday()) % 7 + 7 * (nth - 1))
    end = date(year, month + 1, 1) - timedelta(days=1)
    return end - timedelta(days=(end.weekday() - weekday) % 7)
