"""What the table knows state by state, how sure it is and as of when."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from compliance.facts.basis import Confidence
from compliance.facts.states import STATES
from compliance.rules.checks_parts import find_alternatives
from compliance.rules.model import (
    DocumentRow,
    DutyRow,
    GapAbout,
    GapRow,
    OfficeRow,
    PaperRow,
    RecordRow,
    Row,
    RulesTable,
    StepRow,
)

FEDERAL = ""
"""The state of what holds everywhere."""

# Rows are not marked as being about insurance; these words of ids and titles find them.
_INSURANCE = ("insur", "bond", "financial responsibility")


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """What is known of one state, or of what holds everywhere when ``state`` is empty.

    Only rows in force on the day or later, each id once. ``insurance`` are rows of any kind that
    speak of insurance or a bond; they stand under their own kind too. ``sure`` counts all rows but
    the gaps by confidence. ``reviewed`` is the earliest and the latest day of review, None without
    rows.
    """

    state: str
    papers: tuple[PaperRow, ...]
    duties: tuple[DutyRow, ...]
    records: tuple[RecordRow, ...]
    insurance: tuple[Row, ...]
    gaps: tuple[GapRow, ...]
    sure: tuple[tuple[Confidence, int], ...]
    reviewed: tuple[date, date] | None

    @property
    def has_rules(self) -> bool:
        """Tell whether the table has any rule, not only gaps."""
        return bool(self.sure)


def find_states(row: Row) -> tuple[str, ...]:
    """Give the states a row is for: named, at the front of its id, or in its condition.

    Shape: empty for what holds everywhere.
    """
    if isinstance(row, GapRow | RecordRow):
        return (row.state,) if row.state else ()
    front = row.id.partition(".")[0].upper()
    if front in STATES:
        return (front,)
    named = {
        str(value)
        for alternative in find_alternatives(row.when)
        for test in alternative
        if test.fact == "job.state" and test.comparison == "is"
        for value in test.values
    }
    return tuple(sorted(named))


def compute_coverage(table: RulesTable, as_of: date) -> tuple[Coverage, ...]:
    """Compute what the table knows: what holds everywhere first, then every state by its code.

    Shape: all states of ``facts.states`` are there, those without a row too.
    """
    by_state: dict[str, list[Row]] = {FEDERAL: [], **{code: [] for code in sorted(STATES)}}
    papers = {paper.id: find_states(paper) for paper in table.papers}
    for row in table.rows:
        if row.applies_until is not None and row.applies_until < as_of:
            continue
        paper = row.paper if isinstance(row, StepRow | DocumentRow | DutyRow) else ""
        for state in papers.get(paper) or find_states(row) or (FEDERAL,):
            by_state[state].append(row)
    return tuple(_cover(state, rows) for state, rows in by_state.items())


def _cover(state: str, rows: list[Row]) -> Coverage:
    once = list({(type(row), row.id): row for row in rows}.values())
    rules = [row for row in once if not isinstance(row, GapRow)]
    counts = Counter(row.basis.confidence for row in rules)
    days = [row.basis.reviewed_on for row in once]
    return Coverage(
        state=state,
        papers=tuple(row for row in once if isinstance(row, PaperRow)),
        duties=tuple(row for row in once if isinstance(row, DutyRow)),
        records=tuple(row for row in once if isinstance(row, RecordRow)),
        insurance=tuple(row for row in once if _speaks_of_insurance(row)),
        gaps=tuple(row for row in once if isinstance(row, GapRow)),
        sure=tuple((name, counts[name]) for name in Confidence if counts[name]),
        reviewed=(min(days), max(days)) if days else None,
    )


def _speaks_of_insurance(row: Row) -> bool:
    if isinstance(row, OfficeRow | StepRow):
        return False
    words = f"{row.id} {row.title}".lower()
    if isinstance(row, GapRow):
        return row.about is GapAbout.INSURANCE
    return any(word in words for word in _INSURANCE)
