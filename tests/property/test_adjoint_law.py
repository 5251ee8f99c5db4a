"""The law the whole engine stands on: forward(d) <= limit exactly when d <= backward(limit).

Beyond the ends of a calendar both sides must still agree: a forward answer that is refused is after
every limit, a backward answer that is refused is before every day.
"""

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from compliance.base.calendars import DayCalendar, OutOfRangeError, build_calendar
from compliance.base.holidays import (
    build_bank_calendar,
    build_federal_calendar,
    build_postal_calendar,
)
from compliance.engine.schedule import Act, MonthsAhead, Move, Wait

FIRST = date(2026, 12, 1)
LENGTH = 60
LOW = FIRST.toordinal()
SPAN_DAYS = st.integers(min_value=LOW, max_value=LOW + LENGTH - 1)
SOME_DATES = st.lists(st.dates(FIRST, FIRST + timedelta(days=LENGTH - 1)), max_size=12)

SETTINGS = settings(deadline=None, derandomize=True, database=None, max_examples=300)


@st.composite
def calendars(draw: st.DrawFn) -> DayCalendar:
    return build_calendar(
        "random",
        FIRST,
        FIRST + timedelta(days=LENGTH - 1),
        weekdays=draw(st.frozensets(st.integers(min_value=0, max_value=6))),
        closed=draw(SOME_DATES),
        extra_open=draw(SOME_DATES),
    )


def makes_it(move: Move, day: int, limit: int) -> bool:
    try:
        return move.forward(day) <= limit
    except OutOfRangeError:
        return False


def in_time(move: Move, day: int, limit: int) -> bool:
    try:
        return day <= move.backward(limit)
    except OutOfRangeError:
        return False


@SETTINGS
@given(calendar=calendars(), days=st.integers(min_value=0, max_value=20), day=SPAN_DAYS,
       limit=SPAN_DAYS)  # fmt: skip
def test_law_of_waits(calendar: DayCalendar, days: int, day: int, limit: int) -> None:
    move = Wait(calendar=calendar, days=days)

    assert makes_it(move, day, limit) == in_time(move, day, limit)


@SETTINGS
@given(calendar=calendars(), day=SPAN_DAYS, limit=SPAN_DAYS)
def test_law_of_acts(calendar: DayCalendar, day: int, limit: int) -> None:
    move = Act(calendar=calendar)

    assert makes_it(move, day, limit) == in_time(move, day, limit)


ANY_DAY = st.integers(
    min_value=date(1999, 1, 1).toordinal(), max_value=date(2041, 12, 31).toordinal()
)


@SETTINGS
@given(
    months=st.integers(min_value=0, max_value=60),
    end_of_month=st.booleans(),
    day=ANY_DAY,
    near=st.integers(min_value=-40, max_value=40),
)
def test_law_of_months(months: int, end_of_month: bool, day: int, near: int) -> None:
    move = MonthsAhead(months=months, end_of_month=end_of_month)
    limit = move.forward(day) + near

    assert makes_it(move, day, limit) == in_time(move, day, limit)


def test_law_of_months_at_the_ends_of_months() -> None:
    # Every day against every limit across a leap February and the short months around it.
    days = range(date(2027, 12, 20).toordinal(), date(2028, 5, 5).toordinal())

    for months in (0, 1, 2):
        for end_of_month in (False, True):
            move = MonthsAhead(months=months, end_of_month=end_of_month)
            back = {limit: move.backward(limit) for limit in days}
            for day in days:
                ahead = move.forward(day)
                assert all((ahead <= limit) == (day <= back[limit]) for limit in days)


def test_law_on_the_shipped_calendars_every_day_and_limit() -> None:
    span = FIRST, date(2027, 2, 28)
    days = range(span[0].toordinal(), span[1].toordinal() + 1)

    for build in (build_federal_calendar, build_postal_calendar, build_bank_calendar):
        calendar = build(*span)
        for n in range(13):
            move = Wait(calendar=calendar, days=n)
            for limit in days:
                latest = [day for day in days if in_time(move, day, limit)]
                assert latest == [day for day in days if makes_it(move, day, limit)]


@SETTINGS
@given(calendar=calendars(), day=SPAN_DAYS, days=st.integers(min_value=0, max_value=20))
def test_count_is_what_forward_counts(calendar: DayCalendar, day: int, days: int) -> None:
    try:
        ahead = calendar.forward(day, days)
    except OutOfRangeError:
        assert calendar.count(day, calendar.last) < days
        return

    assert calendar.count(day, ahead) == days
    assert days == 0 or calendar.is_open(ahead)
