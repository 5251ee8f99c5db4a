"""The last day to rely on for a filing; open days come from numpy and the package ``holidays``.

14 CFR 11.63(d) asks for an extension 120 days before an exemption ends; the days are counted with
``datetime``. That online filings of a weekend are not relied on is common practice, no source.
"""

from dataclasses import replace
from datetime import date, timedelta

import holidays
import numpy as np
import pytest

from compliance.engine.filing_day import find_file_by_of, move_off_closed
from compliance.engine.in_force import find_missed_renewal
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind
from compliance.rules.model import CalendarName, RulesTable

THROUGH = date(2028, 1, 31)
LIMIT = THROUGH - timedelta(days=120)
US_DAYS = holidays.country_holidays("US", years=range(2026, 2030))
FEDERAL = np.busdaycalendar(holidays=sorted(map(np.datetime64, US_DAYS)))


@pytest.mark.parametrize("shift", range(0, 800, 3))
def test_federal_day_is_the_open_one_on_or_before(shift: int) -> None:
    day = date(2027, 1, 11) + timedelta(days=shift)

    expected = np.busday_offset(np.datetime64(day), 0, "backward", busdaycal=FEDERAL)

    assert move_off_closed(CalendarName.FEDERAL, day) == expected.astype(object)


@pytest.mark.parametrize(
    ("calendar", "day", "moved"),
    [
        (CalendarName.FEDERAL, date(2027, 10, 11), date(2027, 10, 8)),
        (CalendarName.POSTAL, date(2027, 10, 11), date(2027, 10, 9)),
        (CalendarName.EVERY_DAY, date(2027, 10, 3), date(2027, 10, 3)),
        (CalendarName.POST_OFFICE, date(2027, 10, 3), date(2027, 10, 3)),
    ],
)
def test_day_moves_by_the_calendar_of_the_step(
    calendar: CalendarName, day: date, moved: date
) -> None:
    """Columbus Day is 11 October 2027 (5 USC 6103); the Saturday before it has mail."""
    assert move_off_closed(calendar, day) == moved


@pytest.mark.parametrize(
    ("on", "filed", "missed"),
    [
        (date(2027, 10, 1), None, None),
        (date(2027, 10, 2), None, date(2027, 10, 1)),
        (date(2027, 10, 4), date(2027, 10, 1), None),
        # The rule's own day is the Sunday: what was filed on it was filed in time.
        (date(2027, 10, 4), date(2027, 10, 3), None),
        (date(2027, 10, 5), date(2027, 10, 4), date(2027, 10, 1)),
    ],
)
def test_late_only_after_the_day_to_rely_on(
    on: date, filed: date | None, missed: date | None, table: RulesTable
) -> None:
    (paper,) = [one for one in table.papers if one.id == "faa.exemption"]
    office = next(one for one in table.offices if one.id == paper.office)
    log = [
        LogEntry(
            number=at,
            kind=kind,
            paper=paper.id,
            holder=Holder(kind=HolderKind.OPERATION),
            happened_on=filed,
        )
        for at, kind in enumerate((EventKind.MAILED, EventKind.RECEIVED), 1)
        if filed is not None
    ]

    assert date(2027, 10, 3) == LIMIT
    assert find_missed_renewal(paper, office, log, THROUGH, on, table.steps) == missed


@pytest.mark.parametrize(
    ("through", "day"),
    [(THROUGH, date(2027, 10, 1)), (date(2028, 2, 1), date(2027, 10, 4))],
)
def test_day_of_a_paper_that_no_packet_renews(through: date, day: date, table: RulesTable) -> None:
    """120 days before 1 February 2028 is a Monday and stays."""
    (paper,) = [one for one in table.papers if one.id == "faa.exemption"]

    assert find_file_by_of(paper, through, table) == day
    assert find_file_by_of(replace(paper, renewal=None), through, table) is None
