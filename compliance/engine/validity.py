"""Last days in force and renewal days, as the rows count them."""

from dataclasses import replace
from datetime import date

from compliance.base.dates import add_days, add_months, month_end
from compliance.rules.validity_model import Mark, Renewal, Validity, ValidityKind


def compute_valid_through(validity: Validity, issued_on: date) -> date | None:
    """Compute the last day in force of a paper from its day of issue.

    Units: calendar months counted once from the day of issue; the day given is inclusive and never
    moves for a weekend or holiday.

    Shape: None when the last day is printed on the paper or the paper does not end.

    Source: for example 14 CFR 47.40(a) (month end), 48.100(c) (same day), 107.65 (month end).
    """
    if validity.kind is ValidityKind.MONTHS:
        return add_months(issued_on, validity.months)
    if validity.kind is ValidityKind.MONTHS_TO_MONTH_END:
        return month_end(add_months(issued_on.replace(day=1), validity.months))
    if validity.kind is ValidityKind.FIXED_DAY:
        if validity.after_issue_year:
            return day_of_year(validity.month_day, issued_on.year + validity.years)
        first = day_of_year(validity.month_day, issued_on.year)
        start = issued_on.year if first >= issued_on else issued_on.year + 1
        return day_of_year(validity.month_day, start + validity.years - 1)
    return None


def settle_by_name(validity: Validity, legal_name: str) -> Validity:
    """Give the validity with the fixed day that the first letter of a business name decides.

    The first letter or digit of the name counts as it is written; a digit goes with the first
    letters of the alphabet. A name without either keeps the row's own day.

    Source: OAC 35:30-17-1.3 (numbers and A to L, M to Z).
    """
    if not validity.by_name:
        return validity
    first = next((sign for sign in legal_name.upper() if sign.isascii() and sign.isalnum()), "")
    for part in sorted(validity.by_name, key=lambda one: one.through):
        if first and (first.isdigit() or first <= part.through):
            return replace(validity, month_day=part.month_day, by_name=())
    return replace(validity, by_name=())


def compute_renewed_through(
    validity: Validity, issued_on: date, previous_through: date | None
) -> date | None:
    """Compute the last day in force of a paper that renews another still in force.

    A renewal before the end gains a whole term: a fixed day of the year is counted from the day
    after the last day of the paper before, and so are months when the row says so. Without a paper
    before, or after it has run out, it is an ordinary issue.

    Source: for example 14 CFR 48.100(c)(2).
    """
    if previous_through is None or previous_through < issued_on:
        return compute_valid_through(validity, issued_on)
    if validity.kind is ValidityKind.FIXED_DAY:
        return compute_valid_through(validity, add_days(previous_through, 1))
    if validity.renewal_from_expiry:
        return compute_valid_through(validity, previous_through)
    return compute_valid_through(validity, issued_on)


def day_of_year(month_day: str, year: int) -> date:
    """Give the day ``MM-DD`` or ``MM-end`` of a year."""
    month, day = month_day.split("-")
    if day == "end":
        return month_end(date(year, int(month), 1))
    return date(year, int(month), int(day))


def compute_renewal_opens(renewal: Renewal, valid_through: date) -> date | None:
    """Compute the first day a renewal may be filed, or None when no opening day is known.

    Units: calendar months back from the last day in force, a month's end to a month's end; from the
    first day of that month when the row says so.

    Source: 14 CFR 47.40(b), 48.100(c)(1).
    """
    if renewal.opens_months == 0:
        return None
    if renewal.opens_before_month:
        return add_months(valid_through.replace(day=1), -renewal.opens_months)
    opens = add_months(valid_through, -renewal.opens_months)
    # An early filing is returned; from 28 February six months back is 31 August, not the 28th.
    return month_end(opens) if valid_through == month_end(valid_through) else opens


def compute_mark(mark: Mark, valid_through: date) -> date:
    """Compute the day a mark means for a paper with that last day in force.

    A day of the year is its coming nearest to the last day in force, so that 1 March belongs to a
    license that ends on 31 December before it.
    """
    if not mark.month_day:
        return add_days(valid_through, mark.days)
    years = (valid_through.year - 1, valid_through.year, valid_through.year + 1)
    days = [day_of_year(mark.month_day, year) for year in years]
    return min(days, key=lambda day: abs((day - valid_through).days))
