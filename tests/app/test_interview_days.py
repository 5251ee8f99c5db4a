"""Days and weekdays as people type them."""

from datetime import date, timedelta

import pytest

from compliance.app.interview_days import (
    parse_day,
    read_day,
    read_last_day,
    read_valid_through,
    read_weekdays,
)
from compliance.app.interview_parts import Reading


@pytest.mark.parametrize(
    "typed",
    [
        "2027-05-24",
        "5/24/2027",
        "05/24/2027",
        "May 24 2027",
        "may 24, 2027",
        "24 May 2027",
        "24  MAY  2027",
    ],
)
def test_day_in_every_form_is_the_same_day(typed: str) -> None:
    # The weekday is that of the perpetual calendar; 24 May 2027 is a Monday.
    assert read_day(typed) == Reading(value="2027-05-24", words="Mon 24 May 2027")


@pytest.mark.parametrize(
    "typed",
    [
        "24/5/2027",  # day first is not read: 5/6 would mean two days
        "5/24/27",
        "5-24-2027",
        "May 2027",
        "May 32 2027",
        "2/30/2027",
        "2/29/2027",
        "Mayday 3 2027",
        "Ma 3 2027",
        "1999-12-31",
        "1/1/2080",
        "\uff105/24/2027",  # a full-width nought
        "tomorrow",
        "",
    ],
)
def test_day_that_is_none_is_refused(typed: str) -> None:
    assert parse_day(typed) is None
    assert read_day(typed).fault == f"{typed!r} is no day of the calendar"


def test_day_of_every_month_name_is_read() -> None:
    """Against the names the C library of the test machine prints."""
    days = [date(2027, month, 3) for month in range(1, 13)]

    for form in ("%B %d %Y", "%b %d, %Y", "%d %B %Y", "%d %b. %Y", "%m/%d/%Y"):
        assert [parse_day(day.strftime(form)) for day in days] == days


@pytest.mark.parametrize(("days", "fits"), [(-1, False), (0, True), (365, True), (366, False)])
def test_last_day_at_the_limits(days: int, *, fits: bool) -> None:
    last = date(2027, 1, 1) + timedelta(days=days)

    assert (not read_last_day("2027-01-01")(last.isoformat()).fault) is fits


def test_last_day_that_is_none_is_refused() -> None:
    assert read_last_day("2027-01-01")("soon").fault == "'soon' is no day of the calendar"


def test_valid_through_may_be_open_or_the_day_of_issue() -> None:
    read = read_valid_through("2027-01-11")

    assert read("Open") == Reading(value="open", words="it does not end")
    assert read("1/11/2027") == Reading(value="2027-01-11", words="Mon 11 Jan 2027")
    assert read("1/10/2027").fault == (
        "Sun 10 Jan 2027 is before the day of issue, Mon 11 Jan 2027"
    )
    assert read_valid_through("")("1/10/2027").value == "2027-01-10"


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("tue, thu", "tue,thu"),
        ("Tuesday and Thursday", "tue,thu"),
        ("mon-fri", "mon,tue,wed,thu,fri"),
        ("Monday to Wed, sat", "mon,tue,wed,sat"),
        ("fri - mon", "fri,sat,sun,mon"),
        ("thurs tue tue", "thu,tue"),
        ("sun,", "sun"),
    ],
)
def test_weekdays_are_read(typed: str, value: str) -> None:
    assert read_weekdays(typed).value == value


@pytest.mark.parametrize("typed", ["t", "th", "mon-", "mon-wed-fri", "weekday", "-", "1"])
def test_weekdays_that_are_none_are_refused(typed: str) -> None:
    assert read_weekdays(typed).fault.endswith("is no day of the week")
