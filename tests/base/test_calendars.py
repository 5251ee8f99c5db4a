"""Counting days on a calendar, by hand-made weeks that can be counted on a wall calendar."""

from datetime import date

import pytest

from compliance.base.calendars import (
    DayCalendar,
    OutOfRangeError,
    build_calendar,
    build_every_day,
    describe_day,
)

FIRST, LAST = date(2027, 1, 1), date(2027, 1, 31)  # a Friday, a Sunday
WEEKDAYS = frozenset(range(5))


def day(number: int) -> int:
    return date(2027, 1, number).toordinal()


def office(**changes: list[date]) -> DayCalendar:
    return build_calendar("office", FIRST, LAST, weekdays=WEEKDAYS, **changes)


def test_is_open_on_weekdays_only() -> None:
    calendar = office()

    assert [calendar.is_open(day(n)) for n in range(1, 9)] == [
        True, False, False, True, True, True, True, True,
    ]  # fmt: skip


def test_is_open_extra_day_beats_closed_day() -> None:
    both = [date(2027, 1, 6)]
    calendar = office(closed=[*both, date(2027, 1, 7)], extra_open=[*both, date(2027, 1, 9)])

    assert [n for n in range(4, 11) if calendar.is_open(day(n))] == [4, 5, 6, 8, 9]


def test_closed_days_outside_the_span_change_nothing() -> None:
    away = [date(2020, 1, 6), date(2030, 1, 7)]

    assert office(closed=away, extra_open=away) == office()


@pytest.mark.parametrize(("start", "expected"), [(8, 8), (9, 11), (10, 11), (11, 11)])
def test_on_or_after(start: int, expected: int) -> None:
    assert office().on_or_after(day(start)) == day(expected)


@pytest.mark.parametrize(("limit", "expected"), [(8, 8), (9, 8), (10, 8), (11, 11)])
def test_on_or_before(limit: int, expected: int) -> None:
    assert office().on_or_before(day(limit)) == day(expected)


@pytest.mark.parametrize(
    ("start", "n", "expected"),
    [
        (7, 0, 7),
        (9, 0, 9),  # nothing to count: the same day, though a Saturday
        (7, 1, 8),
        (8, 1, 11),  # Friday to Monday
        (9, 1, 11),  # from a closed day the next open day is the first counted one
        (10, 1, 11),
        (8, 5, 15),
        (8, 6, 18),
    ],
)
def test_forward(start: int, n: int, expected: int) -> None:
    assert office().forward(day(start), n) == day(expected)


@pytest.mark.parametrize(
    ("limit", "n", "expected"),
    [
        (11, 0, 11),
        (10, 0, 10),
        (11, 1, 10),  # what is handed over on Sunday has Monday as its first counted day
        (10, 1, 7),  # Sunday is no counted day, so Friday must be the counted one
        (12, 1, 11),
        (18, 6, 10),
    ],
)
def test_backward(limit: int, n: int, expected: int) -> None:
    assert office().backward(day(limit), n) == day(expected)


def test_count_leaves_out_the_first_day_and_takes_the_last() -> None:
    calendar = office()

    assert calendar.count(day(8), day(11)) == 1
    assert calendar.count(day(7), day(8)) == 1
    assert calendar.count(day(8), day(8)) == 0
    assert calendar.count(day(1), day(31)) == 20
    assert calendar.count(day(11), day(8)) == -1


def test_every_day_counts_all_days() -> None:
    calendar = build_every_day("days", FIRST, LAST)

    assert calendar.forward(day(1), 30) == day(31)
    assert calendar.backward(day(31), 30) == day(1)
    assert calendar.count(day(1), day(31)) == 30


@pytest.mark.parametrize(
    ("method", "arguments"),
    [
        ("is_open", (day(1) - 1,)),
        ("is_open", (day(31) + 1,)),
        ("on_or_after", (day(1) - 1,)),
        ("on_or_after", (day(30),)),  # open only in February
        ("on_or_before", (day(31) + 1,)),
        ("forward", (day(1) - 1, 0)),
        ("forward", (day(28), 2)),
        ("backward", (day(31) + 1, 0)),
        ("backward", (day(1), 1)),  # would be 31 December
        ("backward", (day(4), 3)),
        ("count", (day(1) - 1, day(4))),
        ("count", (day(1), day(31) + 1)),
    ],
)
def test_days_outside_are_refused(method: str, arguments: tuple[int, ...]) -> None:
    with pytest.raises(OutOfRangeError):
        getattr(office(), method)(*arguments)


def test_on_or_before_nothing_open_yet() -> None:
    calendar = build_calendar("sundays", FIRST, LAST, weekdays=frozenset({6}))

    with pytest.raises(OutOfRangeError):
        calendar.on_or_before(day(2))


def test_out_of_range_message() -> None:
    with pytest.raises(OutOfRangeError) as caught:
        office().forward(day(28), 2)

    assert str(caught.value) == (
        "2 open days after 2027-01-28 is outside the calendar 'office', "
        "which runs from 2027-01-01 to 2027-01-31"
    )


def test_negative_period_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be shorter than 0 days, got -1"):
        office().forward(day(8), -1)
    with pytest.raises(ValueError, match="cannot be shorter than 0 days, got -1"):
        office().backward(day(8), -1)


def test_build_refuses_wrong_spans_and_weekdays() -> None:
    with pytest.raises(ValueError, match="before it begins"):
        build_every_day("days", LAST, FIRST)
    with pytest.raises(ValueError, match="weekdays are 0 to 6"):
        build_calendar("days", FIRST, LAST, weekdays=frozenset({7}))


def test_describe_day_without_a_date() -> None:
    assert describe_day(0) == "day number 0"
    assert describe_day(day(1)) == "2027-01-01"
