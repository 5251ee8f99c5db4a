"""Trips the calendar has named: rows to plain values and back."""

import json

from sqlmodel import Session, col, delete, select

from compliance.facts.trip_names import NamedTrip
from compliance.store.session import refuse_unreadable
from compliance.store.tables_calendar import TripRow


@refuse_unreadable("a trip")
def load_trips(session: Session, operation_id: str) -> tuple[NamedTrip, ...]:
    """Load the trips named so far for an operation, by number.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    query = (
        select(TripRow).where(TripRow.operation_id == operation_id).order_by(col(TripRow.number))
    )
    return tuple(
        NamedTrip(
            number=row.number,
            planned_on=row.planned_on,
            errands=tuple(str(key) for key in json.loads(row.errands)),
        )
        for row in session.exec(query)
    )


def save_trips(session: Session, operation_id: str, trips: tuple[NamedTrip, ...]) -> None:
    """Write the named trips of an operation in place of those before."""
    session.exec(delete(TripRow).where(col(TripRow.operation_id) == operation_id))
    session.add_all(
        TripRow(
            operation_id=operation_id,
            number=trip.number,
            planned_on=trip.planned_on,
            errands=json.dumps(list(trip.errands)),
        )
        for trip in trips
    )
    session.flush()
