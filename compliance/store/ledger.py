"""The calendar ledger: what the calendar file last said under each id."""

from collections.abc import Mapping

from sqlmodel import Session, col, delete, select

from compliance.store.tables_calendar import LedgerRow


def load_ledger(session: Session, operation_id: str) -> dict[str, str]:
    """Load the calendar ledger of an operation: uid -> line as JSON text, by uid."""
    query = (
        select(LedgerRow).where(LedgerRow.operation_id == operation_id).order_by(col(LedgerRow.uid))
    )
    return {row.uid: row.line for row in session.exec(query)}


def save_ledger(session: Session, operation_id: str, lines: Mapping[str, str]) -> None:
    """Write the calendar ledger of an operation in place of the one before."""
    session.exec(delete(LedgerRow).where(col(LedgerRow.operation_id) == operation_id))
    session.add_all(
        LedgerRow(operation_id=operation_id, uid=uid, line=line) for uid, line in lines.items()
    )
    session.flush()
