"""Dates as people and rules write them: ISO text, months ahead, words."""

import calendar
import re
from contextlib import suppress
from datetime import date, timedelta

from dateutil.relativedelta import relativedelta

FIRST_YEAR = 2000
LAST_YEAR = 2079

_ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4})", re.ASCII)

# English whatever the locale: the papers are.
_DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def parse_iso_date(text: str) -> date | None:
    """Read ``YYYY-MM-DD``; anything else, an impossible day or a year out of range gives None.

    Example:
        >>> parse_iso_date("2027-02-30") is None
        True
    """
    if _ISO.fullmatch(text) is None:
        return None
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else None


def say_how_to_write(text: str, example: str) -> str:
    """Say how to write a day that was written in another way, without guessing which one it is.

    Example:
        >>> say_how_to_write("3/5/2027", "2027-01-12")
        'write year-month-day: 2027-03-05 if March is meant, 2027-05-03 if May is'
        >>> say_how_to_write("3/25/2027", "2027-01-12")
        'write year-month-day: 2027-03-25'
        >>> say_how_to_write("soon", "2027-01-12")
        'write year-month-day, for example 2027-01-12'
    """
    days = list_readings(text)
    if not days:
        return f"write year-month-day, for example {example}"
    if len(days) == 1:
        return f"write year-month-day: {days[0]}"
    one, other = (f"{day} if {calendar.month_name[day.month]} is" for day in days)
    return f"write year-month-day: {one} meant, {other}"


def list_readings(text: str) -> tuple[date, ...]:
    """Give the days that a date with its year last may mean: none, one or two.

    Example:
        >>> list_readings("11/26/2026"), list_readings("26.11.2026")
        ((datetime.date(2026, 11, 26),), (datetime.date(2026, 11, 26),))
        >>> len(list_readings("3/5/2027")), list_readings("soon")
        (2, ())
    """
    found = _YEAR_LAST.fullmatch(text.strip())
    days = []
    if found is not None:
        first, _, second, year = found.groups()
        for month, number in ((first, second), (second, first)):
            with suppress(ValueError):
                days.append(date(int(year), int(month), int(number)))
    return tuple(dict.fromkeys(days))


def add_months(day: date, months: int) -> date:
    """Move a date by whole months in one step from its own day number.

    Units: months; a day the target month lacks becomes that month's last day, so the move cannot
    be undone by the opposite move. Always start from the original date, never chain.

    Example:
        >>> add_months(date(2027, 1, 31), 1)
        datetime.date(2027, 2, 28)
    """
    return day + relativedelta(months=months)


def month_end(day: date) -> date:
    """Give the last day of the month that *day* is in."""
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])


def add_days(day: date, days: int) -> date:
    """Move a date by calendar days; the start is day 0."""
    return day + timedelta(days=days)


def say_date(day: date) -> str:
    """Write a date in words, the weekday first.

    Example:
        >>> say_date(date(2027, 5, 24))
        'Mon 24 May 2027'
    """
    return (
        f"{calendar.day_abbr[day.weekday()]} {day.day} {calendar.month_abbr[day.month]} {day.year}"
    )


def say_days(days: int) -> str:
    """Write a number of days with its noun.

    Example:
        >>> say_days(1), say_days(12)
        ('1 day', '12 days')
    """
    return "1 day" if days == 1 else f"{days:,} days"


def say_weekday(day: date) -> str:
    """Write the weekday's full name."""
    return _DAY_NAMES[day.weekday()]
