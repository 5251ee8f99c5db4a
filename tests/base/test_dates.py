"""Dates as people and rules write them."""

import calendar
import sqlite3
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compliance.base.dates import (
    FIRST_YEAR,
    LAST_YEAR,
    WEEKDAYS,
    add_days,
    add_months,
    month_end,
    parse_iso_date,
    say_date,
    say_days,
    say_how_to_write,
    say_weekday,
)

DAYS = st.dates(date(FIRST_YEAR, 1, 1), date(LAST_YEAR, 12, 31))


def zeller_weekday(day: date) -> int:
    """Zeller's congruence for the Gregorian calendar (Zeller 1886, from memory); 0 is Monday."""
    month, year = (day.month, day.year) if day.month > 2 else (day.month + 12, day.year - 1)
    century, rest = divmod(year, 100)
    saturday_first = (
        day.day + 13 * (month + 1) // 5 + rest + rest // 4 + century // 4 + 5 * century
    ) % 7
    return (saturday_first + 5) % 7


@given(DAYS)
def test_iso_date_round_trip(day: date) -> None:
    assert parse_iso_date(day.isoformat()) == day


@pytest.mark.parametrize(
    "text",
    [
        "2027-02-29",  # no leap year
        "2027-02-30",
        "2027-13-01",
        "2027-00-10",
        "2027-05-00",
        "2027-5-24",
        "27-05-24",
        "20270524",
        "2027-W21-1",  # ISO 8601 week date: a date, but not our form
        "2027-144",
        "2027-05-24T00:00",
        " 2027-05-24",
        "2027-05-24\n",
        "\u0662\u0660\u0662\u0667-05-24",  # Arabic-Indic digits
        "1999-12-31",
        "2080-01-01",
        "",
    ],
)
def test_iso_date_refused(text: str) -> None:
    assert parse_iso_date(text) is None


@pytest.mark.parametrize("text", ["2028-02-29", "2000-01-01", "2079-12-31"])
def test_iso_date_at_the_edges(text: str) -> None:
    assert parse_iso_date(text) == date.fromisoformat(text)


@pytest.mark.parametrize(
    ("start", "months", "expected"),
    [
        # Counted by hand; a day the month lacks becomes its last day.
        (date(2027, 1, 31), 1, date(2027, 2, 28)),
        (date(2028, 1, 31), 1, date(2028, 2, 29)),
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
        (date(2028, 2, 29), 48, date(2032, 2, 29)),
        (date(2027, 3, 12), 36, date(2030, 3, 12)),  # 14 CFR 48.100(c): three years from issue
        (date(2027, 3, 31), -1, date(2027, 2, 28)),
        (date(2027, 1, 15), -1, date(2026, 12, 15)),
        (date(2027, 8, 31), 0, date(2027, 8, 31)),
    ],
)
def test_add_months_worked(start: date, months: int, expected: date) -> None:
    assert add_months(start, months) == expected


@given(st.dates(date(2001, 1, 1), date(2078, 12, 31)), st.integers(-12, 12))
def test_add_months_agrees_with_counting_months(day: date, months: int) -> None:
    """The second opinion: number the months from year 0 and cap the day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    last = calendar.monthrange(year, month + 1)[1]

    assert add_months(day, months) == date(year, month + 1, min(day.day, last))


def test_add_months_chained_loses_days() -> None:
    """Why the docstring forbids chaining: two steps of one month are not one step of two."""
    start = date(2027, 1, 31)

    assert add_months(add_months(start, 1), 1) == date(2027, 3, 28)
    assert add_months(start, 2) == date(2027, 3, 31)


@given(DAYS)
def test_month_end_agrees_with_sqlite(day: date) -> None:
    with sqlite3.connect(":memory:") as database:
        row = database.execute(
            "select date(?, 'start of month', '+1 month', '-1 day')", (day.isoformat(),)
        ).fetchone()
    database.close()

    assert month_end(day).isoformat() == row[0]


@given(DAYS, st.integers(-400, 400))
def test_add_days_counts_calendar_days(day: date, days: int) -> None:
    assert (add_days(day, days) - day).days == days


@given(DAYS)
def test_weekday_agrees_with_zeller(day: date) -> None:
    names = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
    name = names[zeller_weekday(day)]

    assert say_weekday(day) == name
    assert say_date(day).startswith(f"{name[:3]} {day.day} ")
    assert WEEKDAYS[day.weekday()] == name[:3].lower()


def test_say_date_is_told_apart_by_year() -> None:
    said = {say_date(date(2027, 1, 1) + timedelta(days=days)) for days in range(800)}

    assert len(said) == 800


def test_say_date_in_words() -> None:
    assert say_date(date(2027, 5, 24)) == "Mon 24 May 2027"
    assert say_date(date(2028, 2, 29)) == "Tue 29 Feb 2028"


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "0 days"), (1, "1 day"), (2, "2 days"), (-1, "-1 days"), (1_234, "1,234 days")],
)
def test_say_days_takes_the_right_noun(days: int, words: str) -> None:
    assert say_days(days) == words


@pytest.mark.parametrize(
    ("text", "how"),
    [
        ("3/5/2027", ": 2027-03-05 if March is meant, 2027-05-03 if May is"),
        ("03-05-2027", ": 2027-03-05 if March is meant, 2027-05-03 if May is"),
        ("3/25/2027", ": 2027-03-25"),
        ("25.3.2027", ": 2027-03-25"),
        ("5/5/2027", ": 2027-05-05"),
        ("2/30/2027", ", for example 2027-01-12"),
        ("3/5/27", ", for example 2027-01-12"),
        ("3/5-2027", ", for example 2027-01-12"),
        ("soon", ", for example 2027-01-12"),
    ],
)
def test_say_how_to_write_guesses_nothing(text: str, how: str) -> None:
    """Where two days can be meant both are named; ISO 8601 calendar dates are the way to write."""
    assert say_how_to_write(text, "2027-01-12") == f"write year-month-day{how}"
