"""The log and the user's own rule values: rows to values and back."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind, MailService
from compliance.facts.overrides import Override
from compliance.store.questions import Question
from compliance.store.reading import Readable, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session

_SAME = (
    "number",
    "happened_on",
    "paper",
    "step",
    "tracking",
    "reason",
    "paper_number",
    "issued_on",
    "valid_through",
    "withdraws",
    "expects",
)
_CHANGED = ("kind", "holder_kind", "holder_ref", "blanks", "still_good", "service")


@refuse_unreadable("a log")
def load_log(session: Readable, operation_id: str) -> tuple[LogEntry, ...]:
    """Load an operation's log in the order it was written, withdrawn entries included.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(
        table="log",
        columns=(*_SAME, *_CHANGED),
        where=(("operation_id", "=", operation_id),),
        order=("number",),
    )
    return tuple(
        LogEntry(
            kind=EventKind(row["kind"]),
            holder=Holder(kind=HolderKind(row["holder_kind"]), ref=row["holder_ref"]),
            blanks=_split(row["blanks"]),
            still_good=_split(row["still_good"]),
            service=MailService(row["service"]) if row["service"] else None,
            **{name: row[name] for name in _SAME},
        )
        for row in read_rows(session, question)
    )


def _split(text: str) -> tuple[str, ...]:
    return tuple(text.split(",")) if text else ()


def next_log_number(session: "Session", operation_id: str) -> int:
    """Give the number the next entry of an operation's log will have."""
    from sqlmodel import func, select

    from compliance.store.tables_log import LogRow

    query = select(func.max(LogRow.number)).where(LogRow.operation_id == operation_id)
    return (session.exec(query).one() or 0) + 1


def append_log(session: "Session", operation_id: str, entries: Iterable[LogEntry]) -> None:
    """Add entries to an operation's log; nothing that was said in it is ever changed."""
    from compliance.store.tables_log import LogRow

    for entry in entries:
        session.add(
            LogRow(
                operation_id=operation_id,
                kind=entry.kind,
                holder_kind=entry.holder.kind,
                holder_ref=entry.holder.ref,
                blanks=",".join(entry.blanks),
                still_good=",".join(entry.still_good),
                service=entry.service or "",
                **{name: getattr(entry, name) for name in _SAME},
            )
        )
        session.flush()


def hold_services(
    session: "Session", operation_id: str, service: MailService, papers: Iterable[str]
) -> None:
    """Write how the mailings of some papers went, into entries that do not say it."""
    from sqlmodel import col, update

    from compliance.store.tables_log import LogRow

    session.exec(
        update(LogRow)
        .where(
            col(LogRow.operation_id) == operation_id,
            col(LogRow.kind) == EventKind.MAILED,
            col(LogRow.service) == "",
            col(LogRow.paper).in_(tuple(papers)),
        )
        .values(service=service)
    )


@refuse_unreadable("a value of your own")
def load_overrides(session: Readable) -> tuple[Override, ...]:
    """Load the user's own values by row and field.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(table="override", columns=Override.__slots__, order=("row", "field"))
    return tuple(Override(**row) for row in read_rows(session, question))


def save_override(session: "Session", override: Override) -> None:
    """Keep a value of the user's in place of an earlier one for the same row and field."""
    from compliance.store.tables_rules import OverrideRow

    fields = {name: getattr(override, name) for name in Override.__slots__}
    session.merge(OverrideRow(**fields))
    session.flush()


def delete_override(session: "Session", row: str, field: str) -> bool:
    """Forget a value of the user's; tell whether there was one."""
    from compliance.store.tables_rules import OverrideRow

    found = session.get(OverrideRow, (row, field))
    if found is None:
        return False
    session.delete(found)
    session.flush()
    return True
