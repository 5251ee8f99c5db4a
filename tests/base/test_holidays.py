"""The shape of the holiday lists; the dates themselves are checked in tests/published."""

from datetime import date

import pytest

from compliance.base.holidays import (
    Holiday,
    bank_closures,
    build_bank_calendar,
    build_federal_calendar,
    build_postal_calendar,
    federal_closures,
    federal_holidays,
    postal_closures,
)


def test_federal_holidays_names_in_date_order() -> None:
    assert [holiday.name for holiday in federal_holidays(2027)] == [
        "New Year's Day",
        "Birthday of Martin Luther King, Jr.",
        "Washington's Birthday",
        "Memorial Day",
        "Juneteenth National Independence Day",
        "Independence Day",
        "Labor Day",
        "Columbus Day",
        "Veterans Day",
        "Thanksgiving Day",
        "Christmas Day",
    ]


def test_federal_holidays_juneteenth_from_2021() -> None:
    # Source: Public Law 117-17, 17 June 2021.
    assert len(federal_holidays(2020)) == 10
    assert len(federal_holidays(2021)) == 11


def test_federal_holidays_before_1986() -> None:
    with pytest.raises(ValueError, match="from 1986 on, got 1985"):
        federal_holidays(1985)


def test_federal_closures_both_ends_inside() -> None:
    day = date(2027, 7, 5)

    assert federal_closures(day, day) == (Holiday(day=day, name="Independence Day, observed"),)
    assert federal_closures(date(2027, 7, 6), date(2027, 9, 5)) == ()


def test_federal_closures_new_year_in_the_old_year() -> None:
    december = federal_closures(date(2027, 12, 1), date(2027, 12, 31))

    assert [str(holiday.day) for holiday in december] == ["2027-12-24", "2027-12-31"]
    assert federal_closures(date(2028, 1, 1), date(2028, 1, 10)) == ()


def test_saturday_holiday_offices_mail_and_banks_differ() -> None:
    # 4 July 2026 is a Saturday.
    span = date(2026, 7, 1), date(2026, 7, 8)
    friday, saturday = date(2026, 7, 3).toordinal(), date(2026, 7, 4).toordinal()
    calendars = [
        build(*span)
        for build in (build_federal_calendar, build_postal_calendar, build_bank_calendar)
    ]

    assert [one.is_open(friday) for one in calendars] == [False, True, True]
    assert [one.is_open(saturday) for one in calendars] == [False, False, False]
    assert postal_closures(*span) == bank_closures(*span)
    assert [holiday.day for holiday in postal_closures(*span)] == [date(2026, 7, 4)]


def test_sunday_holiday_all_close_on_monday() -> None:
    # 4 July 2027 is a Sunday.
    span = date(2027, 7, 1), date(2027, 7, 8)
    monday = date(2027, 7, 5).toordinal()

    for build in (build_federal_calendar, build_postal_calendar, build_bank_calendar):
        assert not build(*span).is_open(monday)


def test_calendars_take_closures_and_extra_days() -> None:
    # 24 December 2026 is a Thursday, 26 December a Saturday, 27 December a Sunday.
    span = date(2026, 12, 1), date(2026, 12, 31)
    eve, sunday = date(2026, 12, 24), date(2026, 12, 27)

    for build in (build_federal_calendar, build_postal_calendar, build_bank_calendar):
        plain = build(*span)
        changed = build(*span, closed=[eve], extra_open=[sunday])

        assert (plain.is_open(eve.toordinal()), plain.is_open(sunday.toordinal())) == (True, False)
        assert (changed.is_open(eve.toordinal()), changed.is_open(sunday.toordinal())) == (
            False,
            True,
        )
