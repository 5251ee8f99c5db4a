"""How many years ahead the calendar file of an operation shows renewals."""

from sqlmodel import Session

from compliance.store.tables_calendar import CalendarYearsRow


def load_calendar_years(session: Session, operation_id: str) -> int:
    """Give the number of years last asked for; 0 when none is kept."""
    row = session.get(CalendarYearsRow, operation_id)
    return row.years if row is not None else 0


def save_calendar_years(session: Session, operation_id: str, years: int) -> None:
    """Keep the number of years in place of the one before; 0 forgets it."""
    row = session.get(CalendarYearsRow, operation_id)
    if years:
        session.merge(CalendarYearsRow(operation_id=operation_id, years=years))
    elif row is not None:
        session.delete(row)
    session.flush()
