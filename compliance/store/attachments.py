"""Attached copies: rows to plain values and back."""

from datetime import date

from sqlmodel import Session, col, func, select

from compliance.facts.attachments import Attachment, AttachmentKind
from compliance.store.refusals import refuse_unreadable
from compliance.store.tables_papers import AttachmentRow

_SAME = tuple(name for name in Attachment.__slots__ if name != "kind")


@refuse_unreadable("an attached copy")
def load_attachments(session: Session, operation_id: str) -> tuple[Attachment, ...]:
    """Load the copies attached to an operation's papers by number, detached ones included.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    query = (
        select(AttachmentRow)
        .where(AttachmentRow.operation_id == operation_id)
        .order_by(col(AttachmentRow.number))
    )
    return tuple(
        Attachment(kind=AttachmentKind(row.kind), **{name: getattr(row, name) for name in _SAME})
        for row in session.exec(query)
    )


def next_attachment_number(session: Session, operation_id: str) -> int:
    """Give the number the next copy attached to an operation's papers will have."""
    query = select(func.max(AttachmentRow.number)).where(AttachmentRow.operation_id == operation_id)
    return (session.exec(query).one() or 0) + 1


def add_attachment(session: Session, operation_id: str, attachment: Attachment) -> None:
    """Write down one more attached copy."""
    fields = {name: getattr(attachment, name) for name in _SAME}
    session.add(AttachmentRow(operation_id=operation_id, kind=attachment.kind, **fields))
    session.flush()


def mark_detached(session: Session, operation_id: str, number: int, on: date, why: str) -> None:
    """Write down that a copy no longer counts; its row stays."""
    row = session.get(AttachmentRow, (operation_id, number))
    if row is not None:
        row.detached_on, row.why_detached = on, why
        session.add(row)
        session.flush()
