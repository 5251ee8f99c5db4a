"""Days of duties are counted plainly; the source stands beside each check."""

from datetime import date

import pytest

from compliance.base.holidays import build_federal_calendar
from compliance.base.problems import SourceRef
from compliance.engine.duties import compute_duty_due
from compliance.facts.basis import Basis, Confidence
from compliance.rules.model import DueUnit, DutyEvent, DutyKind, DutyRow

FEDERAL = build_federal_calendar(date(2026, 1, 1), date(2029, 12, 31))
BASIS = Basis(
    citation="own example",
    edition="none",
    confidence=Confidence.COMMON_PRACTICE,
    reviewed_on=date(2026, 11, 25),
)


def make_duty(count: int, unit: DueUnit, *, before: bool = False) -> DutyRow:
    return DutyRow(
        id="own.duty",
        title="Duty",
        basis=BASIS,
        place=SourceRef(file="own.yaml"),
        paper="",
        events=(DutyEvent.OTHER,),
        kind=DutyKind.OTHER,
        trigger="the day it happened",
        before=before,
        count=count,
        unit=unit,
    )


@pytest.mark.parametrize(
    ("duty", "trigger", "due"),
    [
        # 14 CFR 47.45: 30 days after a move.
        (make_duty(30, DueUnit.DAYS), date(2027, 6, 1), date(2027, 7, 1)),
        # 7 CFR 110: 14 days; Saturday 4 July 2026 stays.
        (make_duty(14, DueUnit.DAYS), date(2026, 6, 20), date(2026, 7, 4)),
        # 14 CFR 11.63(d): 120 days before; Sunday 3 January 2027 stays.
        (make_duty(120, DueUnit.DAYS, before=True), date(2027, 5, 3), date(2027, 1, 3)),
        # Days of 0 are the day itself.
        (make_duty(0, DueUnit.DAYS, before=True), date(2027, 5, 24), date(2027, 5, 24)),
        # NMSA 12-2A-7: a day the month lacks is its last.
        (make_duty(6, DueUnit.MONTHS), date(2027, 8, 31), date(2028, 2, 29)),
        (make_duty(24, DueUnit.MONTHS, before=True), date(2028, 2, 29), date(2026, 2, 28)),
        (make_duty(7, DueUnit.DAY_OF_NEXT_MONTH), date(2027, 12, 31), date(2028, 1, 7)),
        (make_duty(31, DueUnit.DAY_OF_NEXT_MONTH), date(2027, 1, 31), date(2027, 2, 28)),
        # 5 USC 6103: 5 July 2027 is the holiday in lieu, so 1, 2, 6, 7, 8 July.
        (make_duty(5, DueUnit.BUSINESS_DAYS), date(2027, 6, 30), date(2027, 7, 8)),
        # Three whole business days that end on Tuesday 1 June 2027, past Memorial Day: 1 June,
        # 28 and 27 May; the latest day they can follow is the 26th.
        (make_duty(3, DueUnit.BUSINESS_DAYS, before=True), date(2027, 6, 1), date(2027, 5, 26)),
    ],
)
def test_duty_due(duty: DutyRow, trigger: date, due: date) -> None:
    assert compute_duty_due(duty, trigger, FEDERAL) == due


def test_duty_in_clock_hours_is_refused_for_a_day() -> None:
    duty = make_duty(24, DueUnit.HOURS)

    with pytest.raises(ValueError, match=r"^own.duty counts clock hours; a day is not exact"):
        compute_duty_due(duty, date(2027, 6, 1), FEDERAL)
