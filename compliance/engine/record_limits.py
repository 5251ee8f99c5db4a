"""What gives a time to write a record: a rule of records, or a state's duty to write it."""

from typing import TypeAlias

from compliance.engine.record_keep import holds_for_work
from compliance.facts.basis import Confidence
from compliance.facts.catalog import Subject
from compliance.rules.model import (
    DueUnit,
    DutyEvent,
    DutyKind,
    DutyRow,
    PaperRow,
    RecordRow,
    RulesTable,
)

Limit: TypeAlias = RecordRow | DutyRow

_UNITS = frozenset({DueUnit.DAYS, DueUnit.HOURS})


def find_write_duties(
    table: RulesTable, state: str, subjects: tuple[Subject, ...]
) -> tuple[DutyRow, ...]:
    """Find the duties of a state to write a record of some work, in table order.

    Shape: those that count calendar days or hours from the flight; one with a paper where that is
    needed. A duty is a state's own when its name begins with the state's code.
    """
    own = f"{state.lower()}."
    papers: dict[str, list[PaperRow]] = {}
    for paper in table.papers:
        papers.setdefault(paper.id, []).append(paper)
    return tuple(
        row
        for row in table.duties
        if row.id.startswith(own)
        and row.kind is DutyKind.WRITE_RECORD
        and DutyEvent.FLIGHT in row.events
        and row.unit in _UNITS
        and not row.before
        and any(
            holds_for_work(row, papers.get(row.paper, []) if row.paper else [], one)
            for one in subjects
        )
    )


def find_within(row: Limit) -> tuple[int | None, DueUnit]:
    """Give how long one gives to write a record, and in what unit; None without a limit."""
    if isinstance(row, DutyRow):
        return row.count, row.unit
    return row.within, row.within_unit


def is_careful(row: Limit) -> bool:
    """Tell whether its time is careful practice, because none was found in the rule."""
    return row.basis.confidence is Confidence.COMMON_PRACTICE
