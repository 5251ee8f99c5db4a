"""Named trips are kept by operation and number."""

from datetime import date
from pathlib import Path

import pytest

from compliance.base.problems import StoreError
from compliance.facts.model import Operation
from compliance.facts.trip_names import NamedTrip
from compliance.store.repository import save_operation
from compliance.store.session import open_session
from compliance.store.tables_calendar import TripRow
from compliance.store.trips import load_trips, save_trips

FIRST = NamedTrip(number=1, planned_on=date(2027, 1, 14), errands=("own.paper/2027/mail~1",))
SECOND = NamedTrip(number=2, planned_on=date(2027, 3, 23), errands=())


def test_save_trips_take_the_place_of_those_before(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="own")
        save_trips(session, operation.id, (FIRST, SECOND))

        assert load_trips(session, operation.id) == (FIRST, SECOND)

        save_trips(session, operation.id, (SECOND,))

        assert load_trips(session, operation.id) == (SECOND,)
        assert load_trips(session, "another") == ()


def test_load_trips_refuses_what_it_cannot_read(db: Path, operation: Operation) -> None:
    with open_session(str(db)) as session:
        save_operation(session, operation, namespace="own")
        row = TripRow(operation_id=operation.id, number=1, planned_on=date(2027, 1, 1), errands="{")
        session.add(row)
        session.flush()

        with pytest.raises(StoreError, match="the database holds a trip with a value"):
            load_trips(session, operation.id)
