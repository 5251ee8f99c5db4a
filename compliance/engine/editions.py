"""Editions of the rows of one packet: which of them is in force on a day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from compliance.rules.editions import find_hole, find_on, is_partial, nearest
from compliance.rules.model import DocumentRow, OfficeRow, PaperRow, Row, StepRow


@dataclass(frozen=True, slots=True, kw_only=True)
class Editions:
    """Every edition of the rows one packet may have.

    ``steps`` and ``documents`` are those that fit its use and conditions, ``every`` the steps of
    the paper whatever their conditions. ``opens`` and ``ends`` are the first and last day of the
    paper's own row, None when it has none: work for a paper that is to be needed is done before
    its row begins to apply, so days outside count as the nearest day inside.
    """

    steps: tuple[StepRow, ...]
    documents: tuple[DocumentRow, ...]
    offices: tuple[OfficeRow, ...]
    papers: tuple[PaperRow, ...]
    every: tuple[StepRow, ...]
    opens: date | None
    ends: date | None

    def within(self, day: date) -> date:
        """Give the day itself, or the nearest one on which the paper's row applies."""
        day = max(day, self.opens) if self.opens is not None else day
        return min(day, self.ends) if self.ends is not None else day

    def begins(self, row: Row) -> date | None:
        """Give the day from which an edition counts, None when it has counted since its paper."""
        first = row.applies_from
        return None if first is None or first == self.opens else first

    def steps_on(self, day: date) -> tuple[StepRow, ...]:
        """Give the steps in force on a day."""
        return tuple(row for row in self.steps if row.in_force_on(self.within(day)))

    def documents_on(self, day: date) -> tuple[DocumentRow, ...]:
        """Give the documents in force on a day; in a hole between editions, the nearest."""
        at = self.within(day)
        found = []
        for name in dict.fromkeys(row.id for row in self.documents):
            same = [row for row in self.documents if row.id == name]
            row = find_on(same, at)
            if row is None and find_hole(same, at) is not None:
                row = nearest(same, at)
            if row is not None:
                found.append(row)
        return tuple(found)

    def office_on(self, day: date) -> OfficeRow | None:
        """Give the office's row in force on a day, else the nearest."""
        return nearest(self.offices, day) if self.offices else None

    def paper_on(self, day: date) -> PaperRow:
        """Give the paper's row in force on a day, else the nearest."""
        return nearest(self.papers, day)

    def has_several(self, row: Row) -> bool:
        """Tell whether a row of the packet has another edition, or does not count from the start.

        An edition that is all the time in force with its paper is the only one.
        """
        kinds: tuple[Sequence[Row], ...] = (self.every, self.documents, self.offices, self.papers)
        same = sum(one.id == row.id for rows in kinds for one in rows)
        if isinstance(row, PaperRow | OfficeRow):
            return same > 1
        return same > 1 or is_partial(row, self.opens, self.ends)
