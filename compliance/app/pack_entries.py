"""Log entries about papers that only a pack of the user's own has."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlmodel import Session

from compliance.rules.model import PaperRow, Row
from compliance.store.records import load_log
from compliance.store.repository import load_operation_ids


@dataclass(frozen=True, slots=True, kw_only=True)
class Orphaned:
    """Log entries of one operation that no paper is left for: how many, and which papers."""

    operation: str
    count: int
    papers: tuple[str, ...]

    def __str__(self) -> str:
        """Say which entries they are."""
        entries = "1 entry" if self.count == 1 else f"{self.count} entries"
        return f"the log of {self.operation} has {entries} of {', '.join(self.papers)}"


def list_own_papers(rows: Iterable[Row]) -> frozenset[str]:
    """List the papers of a pack that take the place of none of the table's."""
    return frozenset(row.id for row in rows if isinstance(row, PaperRow) and not row.replaces)


def find_orphaned(session: Session, papers: frozenset[str]) -> tuple[Orphaned, ...]:
    """Find the log entries about papers that are to go, withdrawn ones included.

    Shape: one for each operation that has any, by its id.
    """
    found = []
    for operation in sorted(load_operation_ids(session)) if papers else ():
        named = [entry.paper for entry in load_log(session, operation) if entry.paper in papers]
        if named:
            unlike = tuple(dict.fromkeys(named))
            found.append(Orphaned(operation=operation, count=len(named), papers=unlike))
    return tuple(found)


def say_orphaned(orphaned: Iterable[Orphaned]) -> str:
    """Say which entries they are, of every operation."""
    return "; ".join(map(str, orphaned))
