"""Which days count for whom. Holidays: 5 USC 6103; who keeps them: see ``base.holidays``."""

from collections.abc import Callable
from datetime import date, timedelta

import pytest

from compliance.base.calendars import DayCalendar, OutOfRangeError
from compliance.engine.days import OperationDays
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName

MakeOperation = Callable[..., Operation]

FIRST, LAST = date(2027, 1, 1), date(2027, 12, 31)


def closed_of(operation: Operation, name: CalendarName, first: date, last: date) -> list[str]:
    """List the closed days from first through last as month and day."""
    calendar = OperationDays(operation, FIRST, LAST).calendar(name)
    days = [first + timedelta(days=at) for at in range((last - first).days + 1)]
    return [f"{day:%m-%d}" for day in days if not calendar.is_open(day.toordinal())]


def test_every_day_counts_saturdays_and_holidays(make_operation: MakeOperation) -> None:
    closed = closed_of(make_operation(), CalendarName.EVERY_DAY, FIRST, LAST)

    assert closed == []


@pytest.mark.parametrize(
    ("name", "closed"),
    [
        # Christmas of 2027 is a Saturday: offices close on the Friday, mail and banks do not.
        (CalendarName.FEDERAL, ["12-24", "12-25", "12-26"]),
        (CalendarName.BANK, ["12-25", "12-26"]),
        (CalendarName.POSTAL, ["12-25", "12-26"]),
        (CalendarName.FIELD, []),
        (CalendarName.NOTARY, ["12-25", "12-26"]),
        (CalendarName.POST_OFFICE, ["12-25", "12-26"]),
    ],
)
def test_saturday_holiday_closes_by_calendar(
    make_operation: MakeOperation, name: CalendarName, closed: list[str]
) -> None:
    days = closed_of(make_operation(), name, date(2027, 12, 20), date(2027, 12, 27))

    assert days == closed


@pytest.mark.parametrize(
    ("name", "closed"),
    [
        # 4 July 2027 is a Sunday: everybody keeps the Monday.
        (CalendarName.FEDERAL, ["07-03", "07-04", "07-05"]),
        (CalendarName.BANK, ["07-03", "07-04", "07-05"]),
        (CalendarName.POSTAL, ["07-04", "07-05"]),
    ],
)
def test_sunday_holiday_closes_the_monday(
    make_operation: MakeOperation, name: CalendarName, closed: list[str]
) -> None:
    days = closed_of(make_operation(), name, date(2027, 7, 2), date(2027, 7, 6))

    assert days == closed


def test_notary_is_there_on_her_weekdays_when_banks_open_and_somebody_can_go(
    make_operation: MakeOperation,
) -> None:
    more = """\
notary_days: [mon, thu]
closures:
  - {who: notary, first_day: 2027-01-21, last_day: 2027-01-21}
  - {who: field, first_day: 2027-01-25, last_day: 2027-01-25}
  - {who: bank, first_day: 2027-01-28, last_day: 2027-01-28}
"""
    operation = make_operation(more=more)

    calendar = OperationDays(operation, FIRST, LAST).calendar(CalendarName.NOTARY)

    # Mondays and Thursdays from the 11th: 11, 14, 18 (King's birthday), 21, 25, 28, 1 February.
    # The day a bank closes for itself is not hers.
    opened = [date.fromordinal(day) for day in calendar.bd if day >= date(2027, 1, 11).toordinal()]
    assert opened[:4] == [
        date(2027, 1, 11),
        date(2027, 1, 14),
        date(2027, 1, 28),
        date(2027, 2, 1),
    ]


def test_counter_closes_with_the_mail_the_field_and_its_own_hours(
    make_operation: MakeOperation,
) -> None:
    more = """\
post_office_days: [mon, tue, wed, thu, fri]
closures:
  - {who: postal, first_day: 2027-01-12, last_day: 2027-01-12}
  - {who: post-office, first_day: 2027-01-13, last_day: 2027-01-13}
  - {who: field, first_day: 2027-01-14, last_day: 2027-01-14}
"""
    operation = make_operation(more=more)

    counter = closed_of(operation, CalendarName.POST_OFFICE, date(2027, 1, 11), date(2027, 1, 18))
    mail = closed_of(operation, CalendarName.POSTAL, date(2027, 1, 11), date(2027, 1, 18))
    field = closed_of(operation, CalendarName.FIELD, date(2027, 1, 11), date(2027, 1, 18))

    assert counter == ["01-12", "01-13", "01-14", "01-16", "01-17", "01-18"]
    assert mail == ["01-12", "01-17", "01-18"]
    assert field == ["01-14"]


def test_vehicle_away_closes_what_is_in_town_and_nothing_else(
    make_operation: MakeOperation,
) -> None:
    more = "closures:\n  - {who: vehicle, first_day: 2027-01-12, last_day: 2027-01-13}\n"
    days = OperationDays(make_operation(more=more), date(2027, 1, 11), date(2027, 1, 14))
    field = CalendarName.FIELD

    def closed(calendar: DayCalendar) -> list[int]:
        days = [date(2027, 1, day) for day in range(11, 15)]
        return [day.day for day in days if not calendar.is_open(day.toordinal())]

    notary = days.calendar(CalendarName.NOTARY)
    counter = days.calendar(CalendarName.POST_OFFICE)
    assert (closed(notary), closed(counter)) == ([12, 13], [12, 13])
    assert closed(days.at_place(field, "test center")) == [12, 13]
    assert closed(days.at_place(field, "town hall")) == [12, 13]
    assert closed(days.at_place(field, "farm")) == []
    assert closed(days.at_place(CalendarName.FEDERAL, "online")) == []
    assert closed(days.calendar(CalendarName.EVERY_DAY)) == []


def test_place_says_the_days_of_its_kind(make_operation: MakeOperation) -> None:
    """A test center open on Wednesdays only; other kinds keep their calendar."""
    more = "places:\n  - {kind: test-center, name: Invented College, days: [wed]}\n"
    days = OperationDays(make_operation(more=more), date(2027, 1, 11), date(2027, 1, 24))
    field = CalendarName.FIELD

    center = days.at_place(field, "class or test center")

    assert [date.fromordinal(day).day for day in center.bd] == [13, 20]
    assert days.at_place(field, "test center") is center
    assert days.at_place(field, "town hall") is days.calendar(field)


def test_without_places_and_vehicle_days_calendars_are_as_they_were(
    make_operation: MakeOperation,
) -> None:
    days = OperationDays(make_operation(), FIRST, LAST)

    for name in CalendarName:
        assert days.at_place(name, "test center") is days.calendar(name)


def test_federal_closing_by_order_closes_only_offices(make_operation: MakeOperation) -> None:
    more = "closures:\n  - {who: federal, first_day: 2027-06-10, last_day: 2027-06-11}\n"
    operation = make_operation(more=more)

    offices = closed_of(operation, CalendarName.FEDERAL, date(2027, 6, 9), date(2027, 6, 11))
    banks = closed_of(operation, CalendarName.BANK, date(2027, 6, 9), date(2027, 6, 11))

    assert (offices, banks) == (["06-10", "06-11"], [])


def test_closure_longer_than_the_horizon_is_cut(make_operation: MakeOperation) -> None:
    more = "closures:\n  - {who: field, first_day: 2026-12-01, last_day: 2027-01-03}\n"
    operation = make_operation(more=more)

    days = OperationDays(operation, date(2027, 1, 1), date(2027, 1, 2))
    cut = days.calendar(CalendarName.FIELD)

    assert cut.bd == ()
    with pytest.raises(OutOfRangeError):
        cut.on_or_after(date(2027, 1, 1).toordinal())


def test_calendar_is_built_once(make_operation: MakeOperation) -> None:
    days = OperationDays(make_operation(), FIRST, LAST)

    assert days.calendar(CalendarName.NOTARY) is days.calendar(CalendarName.NOTARY)
