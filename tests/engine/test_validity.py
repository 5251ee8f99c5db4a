"""Last days in force and renewal days; the source stands beside each check."""

from datetime import date

import pytest

from compliance.engine.validity import (
    compute_mark,
    compute_renewal_opens,
    compute_renewed_through,
    compute_valid_through,
    day_of_year,
    settle_by_name,
)
from compliance.rules.validity_model import Mark, NameDay, Renewal, Validity, ValidityKind

MONTHS = Validity(kind=ValidityKind.MONTHS, months=36)
TO_MONTH_END = Validity(kind=ValidityKind.MONTHS_TO_MONTH_END, months=24)
FROM_EXPIRY = Validity(kind=ValidityKind.MONTHS, months=36, renewal_from_expiry=True)
THIRD_YEAR = Validity(kind=ValidityKind.FIXED_DAY, month_day="12-31", years=3)
ISSUE_YEAR_PLUS_3 = Validity(
    kind=ValidityKind.FIXED_DAY, month_day="04-15", years=3, after_issue_year=True
)
FEBRUARY_END = Validity(kind=ValidityKind.FIXED_DAY, month_day="02-end", years=1)
PRINTED = Validity(kind=ValidityKind.FROM_DOCUMENT)
OPEN_ENDED = Validity(kind=ValidityKind.OPEN_ENDED)


@pytest.mark.parametrize(
    ("validity", "issued_on", "through"),
    [
        # 14 CFR 48.100(c): three years to the same day; a day the year lacks is that month's last.
        (MONTHS, date(2027, 3, 12), date(2030, 3, 12)),
        (MONTHS, date(2028, 2, 29), date(2031, 2, 28)),
        # 14 CFR 107.65: 24 calendar months end with the month, from its first as from its last day.
        (TO_MONTH_END, date(2026, 2, 1), date(2028, 2, 29)),
        (TO_MONTH_END, date(2026, 2, 28), date(2028, 2, 29)),
        (TO_MONTH_END, date(2027, 1, 31), date(2029, 1, 31)),
        # 415 ILCS 60/10: three calendar years with the year of issue as the first.
        (THIRD_YEAR, date(2025, 4, 10), date(2027, 12, 31)),
        (THIRD_YEAR, date(2025, 12, 31), date(2027, 12, 31)),
        # Neb. Rev. Stat. 2-2642: 15 April following the third year of issue.
        (ISSUE_YEAR_PLUS_3, date(2024, 2, 1), date(2027, 4, 15)),
        (ISSUE_YEAR_PLUS_3, date(2024, 5, 20), date(2027, 4, 15)),
        # The first coming of the day, on or after issue; common practice, no source.
        (FEBRUARY_END, date(2027, 2, 28), date(2027, 2, 28)),
        (FEBRUARY_END, date(2027, 3, 1), date(2028, 2, 29)),
        (PRINTED, date(2027, 3, 1), None),
        (OPEN_ENDED, date(2027, 3, 1), None),
    ],
)
def test_valid_through_from_issue(
    validity: Validity, issued_on: date, through: date | None
) -> None:
    assert compute_valid_through(validity, issued_on) == through


@pytest.mark.parametrize(
    ("validity", "issued_on", "previous", "through"),
    [
        # 14 CFR 48.100(c)(2): a renewal runs from the old end, so nothing is lost by being early.
        (FROM_EXPIRY, date(2027, 1, 20), date(2027, 6, 10), date(2030, 6, 10)),
        # On the last day in force it is still a renewal.
        (FROM_EXPIRY, date(2027, 6, 10), date(2027, 6, 10), date(2030, 6, 10)),
        # A day late it is an ordinary issue.
        (FROM_EXPIRY, date(2027, 6, 11), date(2027, 6, 10), date(2030, 6, 11)),
        (FROM_EXPIRY, date(2027, 6, 11), None, date(2030, 6, 11)),
        # Without that clause the months count from the renewal's own issue.
        (MONTHS, date(2027, 1, 20), date(2027, 6, 10), date(2030, 1, 20)),
        # A fixed day is counted from the day after the old end: 1 January 2028, third year 2030.
        (THIRD_YEAR, date(2027, 11, 20), date(2027, 12, 31), date(2030, 12, 31)),
        # Issued on the very last day it is still a renewal; as a first issue it would end in 2029.
        (THIRD_YEAR, date(2027, 12, 31), date(2027, 12, 31), date(2030, 12, 31)),
        # 16 April 2027 is in 2027, plus three.
        (ISSUE_YEAR_PLUS_3, date(2027, 4, 1), date(2027, 4, 15), date(2030, 4, 15)),
        (PRINTED, date(2027, 4, 1), date(2027, 4, 15), None),
    ],
)
def test_renewed_through_from_the_paper_before(
    validity: Validity, issued_on: date, previous: date | None, through: date | None
) -> None:
    assert compute_renewed_through(validity, issued_on, previous) == through


def test_day_of_year_at_a_months_end() -> None:
    assert day_of_year("02-end", 2028) == date(2028, 2, 29)
    assert day_of_year("02-end", 2027) == date(2027, 2, 28)
    assert day_of_year("04-15", 2027) == date(2027, 4, 15)


@pytest.mark.parametrize(
    ("renewal", "through", "opens"),
    [
        # 14 CFR 47.40(b): six months before; the end of a month goes back to the end of a month.
        (Renewal(opens_months=6), date(2034, 2, 28), date(2033, 8, 31)),
        (Renewal(opens_months=6), date(2034, 8, 31), date(2034, 2, 28)),
        (Renewal(opens_months=6), date(2034, 3, 15), date(2033, 9, 15)),
        # 14 CFR 48.100(c)(1): the six months before the month in which it ends.
        (
            Renewal(opens_months=6, opens_before_month=True),
            date(2028, 6, 10),
            date(2027, 12, 1),
        ),
        (Renewal(), date(2028, 6, 10), None),
    ],
)
def test_renewal_opens(renewal: Renewal, through: date, opens: date | None) -> None:
    assert compute_renewal_opens(renewal, through) == opens


@pytest.mark.parametrize(
    ("mark", "through", "day"),
    [
        (Mark(days=-30), date(2027, 3, 10), date(2027, 2, 8)),
        (Mark(days=1), date(2027, 12, 31), date(2028, 1, 1)),
        (Mark(days=0), date(2027, 12, 31), date(2027, 12, 31)),
        # Minn. Stat. 18B.33: the late fee begins on 1 March after a licence ended on 31 December.
        (Mark(month_day="03-01"), date(2026, 12, 31), date(2027, 3, 1)),
        # The nearest coming, before as well as after; common practice, no source.
        (Mark(month_day="12-01"), date(2027, 1, 15), date(2026, 12, 1)),
        (Mark(month_day="02-end"), date(2028, 2, 29), date(2028, 2, 29)),
    ],
)
def test_mark_near_the_last_day_in_force(mark: Mark, through: date, day: date) -> None:
    assert compute_mark(mark, through) == day


BY_NAME = Validity(
    kind=ValidityKind.FIXED_DAY,
    month_day="12-31",
    by_name=(NameDay(through="L", month_day="09-30"),),
)


@pytest.mark.parametrize(
    ("name", "month_day"),
    [
        # OAC 35:30-17-1.3: a number or A to L ends September 30, M to Z December 31.
        ("Lark Bunting Air", "09-30"),
        ("Meadow Air", "12-31"),
        ("4 Winds Air", "09-30"),
        ("Aerial Sandbur", "09-30"),
        ("Zephyr Air", "12-31"),
        # Our own readings, no source: case does not count, nor what comes before the first letter.
        ("lark bunting air", "09-30"),
        ('"Meadow" Air', "12-31"),
        ("  (Lark) Air", "09-30"),
        ("The Lark Air", "12-31"),
        # Neither letter nor digit of the alphabet: the row's own day.
        ("", "12-31"),
        ("...", "12-31"),
    ],
)
def test_business_name_decides_the_day(name: str, month_day: str) -> None:
    """The first letter or digit as written picks the fixed day."""
    settled = settle_by_name(BY_NAME, name)

    assert (settled.month_day, settled.by_name) == (month_day, ())


def test_narrower_range_of_letters_comes_first() -> None:
    """Ranges may stand in any order; the first that takes the letter counts. Own example."""
    ranges = (NameDay(through="R", month_day="06-end"), NameDay(through="H", month_day="03-end"))
    validity = Validity(kind=ValidityKind.FIXED_DAY, month_day="09-end", by_name=ranges)

    days = [settle_by_name(validity, name).month_day for name in ("1", "H", "I", "R", "S")]

    assert days == ["03-end", "03-end", "06-end", "06-end", "09-end"]


def test_validity_that_no_name_decides_stays_as_it_is() -> None:
    """A paper without ranges is the same whatever the business is called."""
    assert settle_by_name(THIRD_YEAR, "Aerial Sandbur") is THIRD_YEAR
