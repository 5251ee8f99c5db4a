"""Flights and their records: from the database to what they settle among the duties."""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from compliance.engine.duties_model import DutyBook
from compliance.facts.events import JobEvent, find_flights
from compliance.facts.model import Operation
from compliance.rules.model import RulesTable
from compliance.store.reading import Readable

if TYPE_CHECKING:
    from compliance.facts.records import Application


def settle_records(
    session: Readable,
    operation: Operation,
    table: RulesTable,
    events: tuple[JobEvent, ...],
    book: DutyBook,
    *,
    as_of: date,
) -> DutyBook:
    """Settle the duties to write a record by the records kept, as they stood on a day.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    flights = tuple(one for one in find_flights(events) if one.on <= as_of)
    if not flights:
        return book
    # On a morning before the first flight none of it is needed, and loading it takes a while.
    from compliance.engine.flight_records import FlightLog, settle_by_records  # noqa: PLC0415
    from compliance.engine.records import RecordRules  # noqa: PLC0415
    from compliance.facts.records import find_standing  # noqa: PLC0415
    from compliance.store.applications import (  # noqa: PLC0415
        Wanted,
        load_disposed,
        load_records,
        load_versions,
    )

    # A record is of the day of its flight, or of the next one when it went on past midnight.
    first = min(one.on for one in flights) - timedelta(days=1)
    numbers = {one.number for one in load_records(session, operation.id, Wanted(first=first))}
    kept = load_versions(session, operation.id, numbers)
    gone = load_disposed(session, operation.id)
    log = FlightLog(
        rules=RecordRules(table=table, operation=operation),
        flights=flights,
        versions=tuple(
            found for one in group_versions(kept) if (found := find_standing(one, as_of))
        ),
        gone=tuple((flight, one.number, one.on) for one in gone for flight in one.flights),
    )
    return settle_by_records(book, log)


def group_versions(records: Iterable["Application"]) -> tuple[tuple["Application", ...], ...]:
    """Give the versions of each record together, the one that stands last."""
    found: dict[int, list[Application]] = {}
    for one in records:
        found.setdefault(one.number, []).append(one)
    return tuple(
        tuple(sorted(versions, key=lambda one: one.version)) for versions in found.values()
    )
