"""Log entries that a pack of the user's own is about: what becomes of them with another."""

from collections.abc import Iterable
from dataclasses import dataclass

from sqlmodel import Session

from compliance.app.log_replay import Refused, find_refused
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.packets import packet_id
from compliance.rules.model import PaperRow, Row, RulesTable
from compliance.store.records import load_log
from compliance.store.repository import load_operation, load_operation_ids

_NOT_NEEDED = "L41"


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


def refuse_lost(session: Session, papers: frozenset[str], without: str, hint: str) -> None:
    """Refuse what would leave log entries about *papers* without a paper.

    Raises:
        RefusedError: There are such entries; the sentence goes on with *without*.
    """
    orphaned = find_orphaned(session, papers)
    if orphaned:
        raise RefusedError(
            f"{say_orphaned(orphaned)}, {without} what was logged stays in the log and in "
            "`mailby history`, but no plan counts it, and an exported log with it is read in only "
            "where a pack has such a paper",
            hint=hint,
        )


def refuse_unread(
    session: Session, old: RulesTable, new: RulesTable, change: str, hint: str
) -> None:
    """Refuse another table when an exported log would not be read in under it any more.

    Only what *new* itself brings about counts: entries that *old* takes, or whose paper *old* does
    not have; and only papers that *new* has. *change* names the change, ``{entry}`` in *hint*
    stands for the number of the first entry.

    Raises:
        RefusedError: There are such entries; it names the first.
    """
    known, papers = ({row.id for row in table.papers} for table in (old, new))
    for name in sorted(load_operation_ids(session)):
        log, operation = load_log(session, name), load_operation(session, name)
        if not log or operation is None:
            continue
        refused = [one for one in find_refused(operation, new, log) if one.entry.paper in papers]
        before = (
            {one.entry.number for one in find_refused(operation, old, log)} if refused else set()
        )
        for one in refused:
            is_new = one.entry.paper not in known and one.problem.code != _NOT_NEEDED
            if is_new or (one.entry.paper in known and one.entry.number not in before):
                raise RefusedError(
                    _say_unread(name, one, change), hint=hint.format(entry=one.entry.number)
                )


def _say_unread(operation: str, one: Refused, change: str) -> str:
    entry = one.entry
    return (
        f"entry {entry.number} in the log of {operation}, {entry.kind} "
        f"{packet_id(entry.paper, entry.holder)} on {say_date(entry.happened_on)}, does not fit "
        f"{change}: {one.problem.sentence}; an exported log with it would not be read in again"
    )
