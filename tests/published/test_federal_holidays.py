"""Our holiday arithmetic against printed and packaged lists."""

from datetime import date, timedelta

import holidays as other_holidays
import pytest

from compliance.base.holidays import (
    bank_closures,
    build_bank_calendar,
    build_federal_calendar,
    build_postal_calendar,
    federal_closures,
    federal_holidays,
)

# Source: 5 USC 6103(a) worked out by date arithmetic, and compared with the Federal Reserve's K.8
# schedule (2026-2030) and the St. Louis Fed's holiday lists (2024-2025) before it was written down.
# Order of the statute: New Year, King, Washington, Memorial, Juneteenth, Independence, Labor,
# Columbus, Veterans, Thanksgiving, Christmas.
ACTUAL = {
    2024: "01-01 01-15 02-19 05-27 06-19 07-04 09-02 10-14 11-11 11-28 12-25",
    2025: "01-01 01-20 02-17 05-26 06-19 07-04 09-01 10-13 11-11 11-27 12-25",
    2026: "01-01 01-19 02-16 05-25 06-19 07-04 09-07 10-12 11-11 11-26 12-25",
    2027: "01-01 01-18 02-15 05-31 06-19 07-04 09-06 10-11 11-11 11-25 12-25",
    2028: "01-01 01-17 02-21 05-29 06-19 07-04 09-04 10-09 11-11 11-23 12-25",
    2029: "01-01 01-15 02-19 05-28 06-19 07-04 09-03 10-08 11-11 11-22 12-25",
    2030: "01-01 01-21 02-18 05-27 06-19 07-04 09-02 10-14 11-11 11-28 12-25",
}
# Source: the same table, days kept on another day (5 USC 6103(b), Executive Order 11582).
MOVED = {
    date(2026, 7, 4): date(2026, 7, 3),
    date(2027, 6, 19): date(2027, 6, 18),
    date(2027, 7, 4): date(2027, 7, 5),
    date(2027, 12, 25): date(2027, 12, 24),
    date(2028, 1, 1): date(2027, 12, 31),
    date(2028, 11, 11): date(2028, 11, 10),
    date(2029, 11, 11): date(2029, 11, 12),
}


def listed(year: int) -> list[date]:
    return [date.fromisoformat(f"{year}-{text}") for text in ACTUAL[year].split()]


@pytest.mark.parametrize("year", ACTUAL)
def test_actual_days_as_listed(year: int) -> None:
    assert [holiday.day for holiday in federal_holidays(year)] == listed(year)


def test_observed_days_as_listed() -> None:
    expected = sorted(MOVED.get(day, day) for year in ACTUAL for day in listed(year))

    found = federal_closures(date(2024, 1, 1), date(2030, 12, 31))

    assert [holiday.day for holiday in found] == expected


def test_2027_has_twelve_observed_days_and_2028_ten() -> None:
    # Source: the same table; New Year 2028 is a Saturday and kept on 31 December 2027. (The K.8
    # footnote prints 31 December 2028, a slip: 1 January 2029 is a Monday.)
    counts = {
        year: len(federal_closures(date(year, 1, 1), date(year, 12, 31)))
        for year in range(2026, 2030)
    }

    assert counts == {2026: 11, 2027: 12, 2028: 10, 2029: 11}


@pytest.mark.parametrize("year", range(1990, 2051))
def test_observed_days_equal_the_holidays_package(year: int) -> None:
    # Source: the `holidays` package, country US, weekdays only.
    table = other_holidays.country_holidays("US", years=[year, year + 1])
    expected = sorted(day for day in table if day.year == year and day.weekday() < 5)

    found = federal_closures(date(year, 1, 1), date(year, 12, 31))

    assert [holiday.day for holiday in found] == expected


@pytest.mark.parametrize(
    "friday", ["2026-07-03", "2027-06-18", "2027-12-24", "2027-12-31", "2028-11-10"]
)
def test_banks_and_mail_run_on_in_lieu_fridays(friday: str) -> None:
    # Source: Federal Reserve K.8, 31 December 2025: banks are open the Friday before a Saturday
    # holiday. Mail: past practice, 3 July 2020 was a normal mail day (press of that week).
    day = date.fromisoformat(friday)
    span = day - timedelta(days=3), day + timedelta(days=3)

    assert build_bank_calendar(*span).is_open(day.toordinal())
    assert build_postal_calendar(*span).is_open(day.toordinal())
    assert not build_federal_calendar(*span).is_open(day.toordinal())


@pytest.mark.parametrize("monday", ["2027-07-05", "2029-11-12"])
def test_all_close_on_the_monday_after_a_sunday_holiday(monday: str) -> None:
    # Source: Federal Reserve K.8; Domestic Mail Manual 608.3.2; Executive Order 11582.
    day = date.fromisoformat(monday)
    span = day - timedelta(days=3), day + timedelta(days=3)

    for build in (build_bank_calendar, build_postal_calendar, build_federal_calendar):
        assert not build(*span).is_open(day.toordinal())


def test_bank_weekday_closures_2026_to_2030() -> None:
    # Source: Federal Reserve K.8, 2026-2030: every holiday, a Sunday one on Monday, none on Friday
    # for a Saturday.
    expected = sorted(
        day + timedelta(days=1) if day.weekday() == 6 else day
        for year in range(2026, 2031)
        for day in listed(year)
        if day.weekday() != 5
    )

    found = bank_closures(date(2026, 1, 1), date(2030, 12, 31))

    assert [holiday.day for holiday in found if holiday.day.weekday() != 5] == expected
