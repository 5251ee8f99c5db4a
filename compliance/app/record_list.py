"""Records of applications that are wanted, each with what the rules say of it; nothing is kept."""

from dataclasses import dataclass, replace
from datetime import date

from compliance.app.flight_records import group_versions
from compliance.app.operations import choose_operation
from compliance.app.tables import load_table
from compliance.base.dates import say_date
from compliance.base.problems import NotFoundError
from compliance.base.reading import suggest
from compliance.engine.record_page import RecordPage, look_at
from compliance.engine.records import RecordRules
from compliance.facts.events import find_flights
from compliance.facts.model import Operation
from compliance.facts.records import Application, Disposed
from compliance.facts.states import STATES
from compliance.rules.model import RulesTable
from compliance.store.applications import (
    Wanted,
    find_last_version,
    load_disposed,
    load_records,
    load_versions,
)
from compliance.store.events import load_events
from compliance.store.reading import Readable


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """The records wanted, by day, start and number; without a start last of their day."""

    operation: Operation
    table: RulesTable
    wanted: Wanted
    records: tuple[RecordPage, ...]
    disposed: tuple[Disposed, ...] = ()


def list_records(session: Readable, wanted: str | None, which: Wanted) -> Listed:
    """List the records wanted; a record is wanted when the version that stands is.

    Raises:
        NotFoundError: No such operation or state.
    """
    operation = choose_operation(session, wanted)
    check_state(which.state)
    table = load_table(session)
    flights = find_flights(load_events(session, operation.id))
    rules = RecordRules(table=table, operation=operation, flights=flights)
    wished = load_records(session, operation.id, which)
    standing = {one.number: one.version for one in sorted(wished, key=lambda one: one.version)}
    # Versions that do not fit the wish belong to the history of a record all the same.
    every = wished if which == Wanted() else load_versions(session, operation.id, standing)
    looked = [
        look_at(rules, versions)
        for versions in group_versions(every)
        if versions[-1].version == standing[versions[-1].number]
    ]
    return Listed(
        operation=operation,
        table=table,
        wanted=which,
        records=tuple(sorted(looked, key=lambda one: order_of(one.record))),
        disposed=load_disposed(session, operation.id),
    )


def order_of(record: Application) -> tuple[date, bool, str, int]:
    """Give the order of records: by day, start (HH:MM), number; without a start last of a day."""
    return record.on, not record.start, record.start, record.number


def list_standing(
    session: Readable, operation: Operation, job: str, day: date
) -> tuple[Application, ...]:
    """List the records of a job on a day, by number; one corrected to another day is none of it."""
    that_day = load_records(session, operation.id, Wanted(job=job, first=day, last=day))
    versions = load_versions(session, operation.id, {one.number for one in that_day})
    standing = {one.number: one for one in versions}
    return tuple(one for one in standing.values() if (one.job, one.on) == (job, day))


def check_state(state: str) -> None:
    """Refuse what is no state code.

    Raises:
        NotFoundError: There is no such state.
    """
    if state and state not in STATES:
        hint = suggest(state.upper(), STATES) or "write a code such as NE or SD"
        raise NotFoundError(f"{state!r} is no state code", hint=hint)


def find_one(session: Readable, wanted: str | None, number: int) -> Listed:
    """Give one record with its history.

    Raises:
        NotFoundError: No such operation, or no record of that number.
    """
    operation = choose_operation(session, wanted)
    gone = next((one for one in load_disposed(session, operation.id) if one.number == number), None)
    if gone is not None:
        raise NotFoundError(
            f"record {number} of {say_date(gone.on)} was thrown away on "
            f"{say_date(gone.disposed_on)}, when its time was over"
        )
    find_record(session, operation, number)
    listed = list_records(session, wanted, Wanted())
    chosen = tuple(one for one in listed.records if one.record.number == number)
    return replace(listed, records=chosen)


def find_due(listed: Listed, on: date) -> tuple[RecordPage, ...]:
    """Give the records whose time was over before a day, by the longest rule known here.

    Where `Kept.state_known` is False nobody read the state's own rule, and they are not to go yet.
    """
    return tuple(
        one for one in listed.records if one.kept.through is not None and one.kept.through < on
    )


def find_record(session: Readable, operation: Operation, number: int) -> Application:
    """Give the version of a record that stands.

    Raises:
        NotFoundError: There is no such record.
    """
    found = find_last_version(session, operation.id, number)
    if found is None:
        raise NotFoundError(
            f"there is no record {number}", hint="mailby records lists them with their numbers"
        )
    return found
