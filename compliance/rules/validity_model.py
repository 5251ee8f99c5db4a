"""How long a paper is in force and when it may be renewed, as a row says it."""

from dataclasses import dataclass
from enum import StrEnum


class ValidityKind(StrEnum):
    """How a paper's last day in force follows from its issue.

    ``months``: the same day some months on; ``months-to-month-end``: the last day of that month;
    ``fixed-day``: the n-th coming of a day of the year; ``from-document``: printed on the paper;
    ``open-ended``: until surrendered, suspended or revoked.
    """

    MONTHS = "months"
    MONTHS_TO_MONTH_END = "months-to-month-end"
    FIXED_DAY = "fixed-day"
    FROM_DOCUMENT = "from-document"
    OPEN_ENDED = "open-ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class NameDay:
    """A fixed day for business names that begin with a digit or a letter up to ``through``."""

    through: str
    month_day: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Validity:
    """The rule for a paper's last day in force.

    ``years`` of a fixed day: 1 = the first such day on or after issue, 2 = one year later.
    ``after_issue_year`` counts the fixed day in issue year + years instead.
    ``renewal_from_expiry``: a renewed paper runs its months from the last day of the one before,
    not from its own issue.
    ``by_name``: other fixed days by the first letter of the business name; ``month_day`` is for
    the names none of them takes.
    """

    kind: ValidityKind
    months: int = 0
    month_day: str = ""
    years: int = 1
    after_issue_year: bool = False
    renewal_from_expiry: bool = False
    by_name: tuple[NameDay, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A day told by a rule: a day of the year, or days counted from a paper's last valid day.

    ``month_day`` is ``MM-DD`` or ``MM-end``; without it ``days`` counts calendar days, negative
    before the last valid day and positive after it.
    """

    month_day: str = ""
    days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Renewal:
    """When a paper may and must be renewed.

    ``opens_months`` months before the last valid day, 0 when no opening day is known;
    ``opens_before_month``: counted back from the first day of the month it ends in (14 CFR
    48.100(c)(1)). ``carries_over``: a renewal filed in time keeps the old paper alive until the
    office decides.
    """

    opens_months: int = 0
    opens_before_month: bool = False
    renew_by: Mark | None = None
    late_fee_from: Mark | None = None
    reexam_from: Mark | None = None
    carries_over: bool = False
