"""Counting against worked examples printed in rules, and against another calendar routine."""

from datetime import date, timedelta

import numpy as np
import pytest

from compliance.base.calendars import DayCalendar, build_every_day
from compliance.base.holidays import (
    build_federal_calendar,
    build_postal_calendar,
    federal_closures,
)
from compliance.engine.schedule import Act, MonthsAhead, Wait

SPAN = date(2005, 1, 1), date(2031, 12, 31)
EVERY = build_every_day("every day", *SPAN)
FEDERAL = build_federal_calendar(*SPAN)
POSTAL = build_postal_calendar(*SPAN)


def ordinal(text: str) -> int:
    return date.fromisoformat(text).toordinal()


def iso(day: int) -> str:
    return date.fromordinal(day).isoformat()


def run_on(event: str, days: int, office: DayCalendar = FEDERAL) -> str:
    """Count calendar days after the event; a last day on a closed day runs on."""
    return iso(Act(calendar=office).forward(EVERY.forward(ordinal(event), days)))


@pytest.mark.parametrize(
    ("event", "days", "expected"),
    [
        # Source: committee note of 2009 to the appellate twin of Fed. R. Civ. P. 6(a)(5): Saturday
        # 1 September 2007 runs on to Tuesday 4 September, past Labor Day. Event day computed.
        ("2007-08-22", 10, "2007-09-04"),
        # Source: note to 6(a)(1), 2009: 14 days from a Monday is a Monday.
        ("2008-04-07", 14, "2008-04-21"),
        # Source: a newspaper law column on a state statute on statutes, set-up as printed, end
        # computed: the 30th day is Saturday 3 September 2016.
        ("2016-08-04", 30, "2016-09-06"),
        # Source: 90 FR 52883: published 24 November 2025, effective 30 days later.
        ("2025-11-24", 30, "2025-12-24"),
        # Source: 89 FR 80767: published 4 October 2024, effective 60 days later.
        ("2024-10-04", 60, "2024-12-03"),
        # Source: 86 FR 50932 (14 CFR 11.89): published 13 September 2021, 20 days to comment end on
        # Sunday 3 October; the notice prints Monday 4 October.
        ("2021-09-13", 20, "2021-10-04"),
        # Source: 85 FR 68760: published 30 October 2020, effective 60 days later.
        ("2020-10-30", 60, "2020-12-29"),
        # Computed from Fed. R. Civ. P. 6(a)(1): New Year 2028 is a Saturday.
        ("2027-12-02", 30, "2028-01-03"),
    ],
)
def test_period_after_an_event_runs_on_to_an_open_day(event: str, days: int, expected: str) -> None:
    assert run_on(event, days) == expected


def test_period_after_an_event_runs_on_past_a_state_holiday() -> None:
    # Source: Fed. R. Civ. P. 6(a)(6)(C); the dates are from memory of the committee note.
    office = build_federal_calendar(*SPAN, closed=[date(2008, 4, 21)])

    assert run_on("2008-04-07", 14, office) == "2008-04-22"


def test_period_before_an_event_moves_earlier() -> None:
    # Source: committee note of 2009 to the appellate twin of 6(a)(5): ten days before, landing on
    # Saturday 1 September 2007, is Friday 31 August.
    latest = Act(calendar=FEDERAL).backward(EVERY.backward(ordinal("2007-09-11"), 10))

    assert iso(latest) == "2007-08-31"


@pytest.mark.parametrize(
    ("arrive_by", "days", "drop_off"),
    [
        # Source: computed from a conservative reading: count back only Monday to Saturday mail
        # days; a Sunday holiday closes Monday, a Saturday one stays (DMM 608.3.2, past practice).
        ("2026-05-29", 5, "2026-05-22"),  # skips Sunday and Memorial Day
        ("2026-07-08", 5, "2026-07-01"),  # skips Saturday 4 July and Sunday; Friday counts
        ("2027-03-01", 5, "2027-02-23"),
        ("2026-12-31", 5, "2026-12-24"),  # skips Christmas and Sunday
    ],
)
def test_latest_counter_drop_off(arrive_by: str, days: int, drop_off: str) -> None:
    transit = Wait(calendar=POSTAL, days=days)
    counter = Act(calendar=POSTAL)

    latest = counter.backward(transit.backward(ordinal(arrive_by)))

    assert iso(latest) == drop_off
    assert transit.forward(latest) <= ordinal(arrive_by)
    assert transit.forward(counter.forward(latest + 1)) > ordinal(arrive_by)


@pytest.mark.parametrize(
    ("start", "months", "end_of_month", "expected"),
    [
        # Source: NMSA 12-2A-7 (uniform construction act): short months end on their last day.
        ("2027-01-31", 1, False, "2027-02-28"),
        ("2028-01-31", 1, False, "2028-02-29"),
        ("2027-01-31", 2, False, "2027-03-31"),  # once from the start, not month by month
        # Computed: 24 calendar months, through the end of the month.
        ("2025-02-10", 24, True, "2027-02-28"),
        ("2026-02-28", 24, True, "2028-02-29"),
        ("2026-11-25", 1, True, "2026-12-31"),
        ("2026-12-25", 0, True, "2026-12-31"),
    ],
)
def test_months_ahead(start: str, months: int, end_of_month: bool, expected: str) -> None:
    move = MonthsAhead(months=months, end_of_month=end_of_month)

    assert iso(move.forward(ordinal(start))) == expected


@pytest.mark.parametrize(("year", "expected"), [(2026, "2027-03-01"), (2027, "2028-02-29")])
def test_sixty_days_after_new_years_eve(year: int, expected: str) -> None:
    # Computed: 60 calendar days after 31 December, common and leap year.
    assert iso(EVERY.forward(ordinal(f"{year}-12-31"), 60)) == expected


def test_open_starts_count_as_numpy_does() -> None:
    # Source: numpy.busday_offset with roll forward, and roll backward for the way back.
    first, last = date(2026, 1, 1), date(2028, 12, 31)
    off = [np.datetime64(one.day) for one in federal_closures(*SPAN)]
    days = [first + timedelta(days=n) for n in range((last - first).days)]
    open_days = [day for day in days if FEDERAL.is_open(day.toordinal())]

    for n in (1, 2, 5, 23):
        ahead = np.busday_offset(open_days, n, roll="forward", holidays=off)
        back = np.busday_offset(days, -n, roll="backward", holidays=off)

        assert [iso(FEDERAL.forward(day.toordinal(), n)) for day in open_days] == [
            str(day) for day in ahead
        ]
        assert [
            iso(FEDERAL.on_or_before(FEDERAL.backward(day.toordinal(), n))) for day in days
        ] == [str(day) for day in back]


def test_closed_start_differs_from_numpy() -> None:
    # Source: measured: from Saturday 7 March 2026 numpy rolls to Monday and then counts one more;
    # in our words Monday is the first counted day after Saturday.
    off = [np.datetime64(one.day) for one in federal_closures(*SPAN)]

    theirs = np.busday_offset("2026-03-07", 1, roll="forward", holidays=off)

    assert str(theirs) == "2026-03-10"
    assert iso(FEDERAL.forward(ordinal("2026-03-07"), 1)) == "2026-03-09"


def test_application_of_a_foreign_civil_aircraft_fifteen_days_before() -> None:
    """14 CFR 375.43(c), text of 2003: 15 days before 3 May 2027; day computed by hand."""
    assert iso(EVERY.backward(ordinal("2027-05-03"), 15)) == "2027-04-18"
