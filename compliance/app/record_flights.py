"""Records and the log of flights: choose a flight, log the one of a record, tie the two."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date

from sqlmodel import Session

from compliance.app.duties import Told, keep_event
from compliance.app.record_list import list_standing
from compliance.base.problems import NotFoundError, RefusedError
from compliance.engine.flight_records import find_flights_of, match_flights
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import Operation
from compliance.facts.records import Application
from compliance.facts.zones import Unclear, parse_moment


def tie_record(
    record: Application,
    flights: tuple[JobEvent, ...],
    named: int | None,
    old: Application | None,
) -> tuple[int, ...]:
    """Give the flights a record is kept with: the one named, those it overlaps, or those before."""
    if named is not None:
        return (named,)
    found = match_flights(record, flights)
    if not found and old is not None and (old.job, old.on) == (record.job, record.on):
        return find_flights_of(replace(record, flights=old.flights), flights)
    return found


def choose_flight(flights: Iterable[JobEvent], number: int) -> JobEvent:
    """Give a flight by its number.

    Raises:
        NotFoundError: No flight that stands has it.
    """
    found = next((one for one in flights if one.number == number), None)
    if found is None:
        raise NotFoundError(
            f"there is no flight {number} in the log",
            hint="mailby show lists flights with their numbers",
        )
    return found


def say_known(
    session: Session,
    operation: Operation,
    record: Application,
    flights: tuple[JobEvent, ...],
    named: int | None,
) -> Iterator[str]:
    """Say that a flight named for a new record has one of that day already, complete or not.

    Two fields of one flight are two records, so it is no fault. Days are those of the place.
    """
    if named is None or record.version > 1:
        return
    that_day = list_standing(session, operation, record.job, record.on)
    known = [
        one.number
        for one in that_day
        if one.number != record.number and named in find_flights_of(one, flights)
    ]
    if not known:
        return
    numbered = (
        f"record {known[0]}" if len(known) == 1 else f"records {' and '.join(map(str, known))}"
    )
    which = "that one" if len(known) == 1 else "one of those"
    yield (
        f"flight {named} has {numbered} already; if this is the same work, correct {which} "
        f'instead: `mailby record {record.job} --correct {known[0]} --because "why"`'
    )


def log_flight(
    session: Session, operation: Operation, record: Application, today: date
) -> JobEvent:
    """Log the flight that a record tells of.

    Raises:
        RefusedError: The record has no times, or the time zone of its place is not known.
        DataProblemsError: The flight cannot have been so.
    """
    if not record.start or not record.end:
        raise RefusedError(
            "the flight cannot be logged from a record without its start and its end",
            hint="write both times into the record, or leave --log-flight out",
        )
    zone = record.zone
    for clock in (record.start, record.end):
        found = parse_moment(f"{record.on} {clock}", zone) if zone else None
        if isinstance(found, Unclear):
            raise RefusedError(
                f"the flight cannot be logged from the record: {found.sentence}",
                hint=f"log it by itself first: mailby log flew {record.job} --from, --to; there "
                f"{found.hint}",
            )
    told = Told(
        kind=JobEventKind.FLEW,
        job=record.job,
        start=f"{record.on} {record.start}",
        end=record.end,
        aircraft=record.aircraft,
        pilot=record.pilot,
        product=record.products[0].name if len(record.products) == 1 else "",
        re_entry_hours=int(record.find("re-entry")) if record.find("re-entry") else None,
        anyway=record.anyway,
        label_read=True,
    )
    return keep_event(session, operation.id, told, today, None)
