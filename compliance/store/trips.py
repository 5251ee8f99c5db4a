"""Trips the calendar has named: rows to plain values and back."""

import json
from typing import TYPE_CHECKING

from compliance.facts.trip_names import NamedTrip
from compliance.store.questions import Question
from compliance.store.reading import Readable, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session


@refuse_unreadable("a trip")
def load_trips(session: Readable, operation_id: str) -> tuple[NamedTrip, ...]:
    """Load the trips named so far for an operation, by number.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(
        table="trip",
        columns=NamedTrip.__slots__,
        where=(("operation_id", "=", operation_id),),
        order=("number",),
    )
    return tuple(
        NamedTrip(**row | {"errands": tuple(str(key) for key in json.loads(row["errands"]))})
        for row in read_rows(session, question)
    )


def save_trips(session: "Session", operation_id: str, trips: tuple[NamedTrip, ...]) -> None:
    """Write the named trips of an operation in place of those before."""
    from sqlmodel import col, delete

    from compliance.store.tables_calendar import TripRow

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
