"""Rules that nobody has looked at for too long: one line a file, wherever dates are shown."""

from collections.abc import Mapping
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.coverage import find_states
from compliance.facts.basis import REVIEW_AFTER_DAYS, Basis
from compliance.rules.model import DocumentRow, DutyRow, Row, RulesTable, StepRow


def find_old_reviews(table: RulesTable, states: tuple[str, ...], as_of: date) -> tuple[str, ...]:
    """Say once a file which rules are past the day by which they were to be looked over again.

    Only rows that can matter count: those that hold everywhere and those of *states*, in force on
    the day or later. A row is past on the day after its ``review_by``, or the 366th day after its
    last review.
    """
    papers = {paper.id: paper for paper in table.papers}
    by_file: dict[str, list[Row]] = {}
    for row in table.rows:
        ended = row.applies_until is not None and row.applies_until < as_of
        if row.basis.review_due < as_of and not ended and _matters(row, papers, states):
            by_file.setdefault(row.place.file, []).append(row)
    names = dict(table.authorities)
    return tuple(_say(file, names.get(file, ""), rows) for file, rows in by_file.items())


def _matters(row: Row, papers: Mapping[str, Row], states: tuple[str, ...]) -> bool:
    owner = papers.get(row.paper) if isinstance(row, StepRow | DocumentRow | DutyRow) else None
    named = find_states(owner if owner is not None else row)
    return not named or any(state in states for state in named)


def _say(file: str, authority: str, rows: list[Row]) -> str:
    due = min(row.basis.review_due for row in rows)
    count = "1 rule" if len(rows) == 1 else f"{len(rows)} rules"
    named = f"{authority} ({file})" if authority else file
    return (
        f"{count} of {named} should have been looked over again by {say_date(due)} and may have "
        f"changed; ask the agency before you rely on the dates"
    )


def say_review(basis: Basis, as_of: date) -> str:
    """Say since when a row is to be looked over again."""
    reviewed = say_date(basis.reviewed_on)
    if as_of - basis.reviewed_on > timedelta(days=REVIEW_AFTER_DAYS):
        return f"last reviewed {reviewed}, over a year ago"
    due = say_date(basis.review_due)
    return f"last reviewed {reviewed}, to be looked over again by {due}"
