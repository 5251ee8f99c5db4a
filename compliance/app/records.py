"""Records of applications: keep one, correct one, list, and throw away what need not be kept."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.flight_remarks import list_product_remarks, say_papers_then
from compliance.app.operations import choose_operation
from compliance.app.record_corrections import (
    Correction,
    check_day,
    check_old,
    find_why,
    is_odd,
    say_bared,
    say_odd,
)
from compliance.app.record_flights import choose_flight, log_flight, say_known, tie_record
from compliance.app.record_list import find_record, list_records, list_standing
from compliance.app.record_twins import find_twin, say_twin
from compliance.app.tables import load_table
from compliance.app.typed import clean_typed
from compliance.base.dates import say_date
from compliance.base.problems import DataProblemsError, NotFoundError, RefusedError
from compliance.engine.flight_records import find_flights_of, match_flights
from compliance.engine.record_fill import fill_record
from compliance.engine.record_keep import Kept
from compliance.engine.record_page import RecordPage, look_at
from compliance.engine.records import RecordRules
from compliance.facts.events import JobEvent, find_flights
from compliance.facts.model import Operation
from compliance.facts.record_flights import (
    check_flight,
    fill_from_flight,
    find_other_day,
    say_second_day,
)
from compliance.facts.record_parse import parse_record
from compliance.facts.record_raw import Cell, RawRecord
from compliance.facts.records import Application, Disposed
from compliance.facts.states import STATES
from compliance.outputs.records_words import say_against_label
from compliance.store.applications import (
    Wanted,
    append_records,
    dispose_record,
    load_versions,
    next_record_number,
)
from compliance.store.events import load_events
from compliance.store.records import load_log


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A record that was kept, what was filled in, and what is unusual about it.

    ``logged`` is the number of the flight that was logged with it, None without one; ``still`` says
    what is to be done next.
    """

    page: RecordPage
    filled: tuple[str, ...]
    remarks: tuple[str, ...]
    logged: int | None = None
    still: tuple[str, ...] = ()


def keep_record(
    session: Session,
    wanted: str | None,
    raw: RawRecord,
    today: date,
    *,
    job: str = "",
    correction: Correction | None = None,
) -> Written:
    """Keep a record, or a new version of one; versions before it stay.

    It is tied to the flight it names, or to those in the log that its times overlap.

    Raises:
        NotFoundError: No such operation, or no record or flight of that number.
        RefusedError: The correction does not follow what stands, or looks wrong without a reason.
        DataProblemsError: The record cannot be so; nothing was kept.
    """
    operation = choose_operation(session, wanted)
    flights = find_flights(load_events(session, operation.id))
    record = _read(raw, operation, flights, job, today)
    record, filled = fill_record(record, operation, load_log(session, operation.id))
    old = None if correction is None else find_record(session, operation, correction.number)
    record = _number(session, operation, record, old, correction)
    logged = None
    if raw.log_flight and not match_flights(record, flights):
        logged = log_flight(session, operation, record, today)
        flights = (*flights, logged)
    record = replace(record, flights=tie_record(record, flights, raw.flight, old))
    _refuse_same(record, list_standing(session, operation, record.job, record.on), raw)
    append_records(session, operation.id, (record,))
    rules = RecordRules(table=load_table(session), operation=operation, flights=flights)
    versions = load_versions(session, operation.id, (record.number,))
    page = look_at(rules, versions)
    return Written(
        page=page,
        filled=filled,
        remarks=(
            *say_odd(versions),
            *say_known(session, operation, record, flights, raw.flight),
            *find_remarks(record, operation),
            *say_papers_then(operation, rules.table, load_log(session, operation.id), record),
        ),
        logged=logged.number if logged is not None else None,
        still=(
            *say_bared(session, operation, rules, versions),
            *_say_second_days(session, operation, record, flights),
        ),
    )


def _number(
    session: Session,
    operation: Operation,
    record: Application,
    old: Application | None,
    correction: Correction | None,
) -> Application:
    """Give a record the next number, or make it the version after the one that stands.

    Raises:
        RefusedError: It cannot follow that one, or looks wrong without a reason.
    """
    if old is None or correction is None:
        return replace(record, number=next_record_number(session, operation.id))
    first = load_versions(session, operation.id, (old.number,))[0]
    check_old(old, record.job, record.written_on, correction.anyway)
    check_day(first, old, record, correction.anyway)
    why = find_why(correction, is_odd=is_odd(first, old, record))
    return replace(record, number=old.number, version=old.version + 1, why=why)


def _read(
    raw: RawRecord, operation: Operation, flights: tuple[JobEvent, ...], job: str, today: date
) -> Application:
    """Read a record; one that names its flight takes from there what it leaves out.

    Raises:
        NotFoundError: No flight of that number.
        DataProblemsError: The record cannot be so.
    """
    flight = None if raw.flight is None else choose_flight(flights, raw.flight)
    if flight is not None:
        raw = fill_from_flight(raw, flight, operation)
    record, problems = parse_record(raw, operation, job, today)
    if record is not None and flight is not None:
        problems = check_flight(raw, record, flight)
    if record is None or problems:
        raise DataProblemsError(problems)
    return record


def _say_second_days(
    session: Session, operation: Operation, record: Application, flights: tuple[JobEvent, ...]
) -> tuple[str, ...]:
    """Say how the records of the other days of flights past midnight are written."""
    said = []
    for flight in flights:
        day = find_other_day(flight, record)
        if flight.number in record.flights and day is not None:
            kept = list_standing(session, operation, flight.job, day)
            if not any(flight.number in one.flights for one in kept):
                said.append(say_second_day(flight, day))
    return tuple(said)


def _refuse_same(record: Application, others: tuple[Application, ...], raw: RawRecord) -> None:
    twin = find_twin(record, others)
    if twin is not None:
        raise DataProblemsError((say_twin(raw, record, f"record {twin.number}", twin.number),))


def find_remarks(record: Application, operation: Operation) -> tuple[str, ...]:
    """Say what is unusual about a record: it is kept all the same, since it may be the truth."""
    job = next((one for one in operation.jobs if one.id == record.job), None)
    said: list[str] = []
    if job is None:
        return ()
    if not job.first_day <= record.on <= job.last_day:
        span = f"{say_date(job.first_day)} to {say_date(job.last_day)}"
        said.append(f"{say_date(record.on)} is outside the days of {job.id}, {span}")
    if record.aircraft and record.aircraft not in job.aircraft:
        said.append(f"{job.id} does not list the aircraft {record.aircraft}")
    if record.pilot and record.pilot not in job.pilots:
        said.append(f"{job.id} does not list the pilot {record.pilot}")
    if record.restricted_use and not job.restricted_use:
        said.append(
            f"{job.id} says `restricted_use: no`, but a restricted-use product was applied; other "
            "licenses may have been needed"
        )
    said.extend(list_product_remarks(operation, job, [one.name for one in record.products]))
    said.extend(say_against_label(record))
    return tuple(said)


def add_reason(raw: RawRecord, anyway: str) -> RawRecord:
    """Give a record as it was written with the reason typed beside it, if there is one."""
    if not anyway:
        return raw
    return replace(raw, cells={**raw.cells, "anyway": Cell(text=anyway, place=raw.place)})


def dispose_records(
    session: Session, wanted: str | None, numbers: Iterable[int], on: date, anyway: str
) -> tuple[Disposed, ...]:
    """Throw records away whose time is over; all of those named, or none.

    Raises:
        NotFoundError: No record of that number.
        RefusedError: A record must still be kept, or no rule of its state says how long and nobody
            was asked.
    """
    reason = clean_typed(anyway, "reason")
    listed = list_records(session, wanted, Wanted())
    by_number = {one.record.number: one for one in listed.records}
    flights = find_flights(load_events(session, listed.operation.id))
    gone: list[Disposed] = []
    for number in dict.fromkeys(numbers):
        if number not in by_number:
            raise NotFoundError(
                f"there is no record {number}", hint="mailby records lists them with their numbers"
            )
        gone.append(_let_go(by_number[number], on, reason, flights))
    for one in gone:
        dispose_record(session, listed.operation.id, one)
    return tuple(gone)


def _say_longest(kept: Kept) -> str:
    if kept.through is None or kept.row is None:
        return "none"
    return f"through {say_date(kept.through)}: {kept.row.title} ({kept.row.basis.citation})"


def _let_go(looked: RecordPage, on: date, reason: str, flights: tuple[JobEvent, ...]) -> Disposed:
    record, kept = looked.record, looked.kept
    if kept.through is not None and kept.row is not None and on <= kept.through:
        basis = kept.row.basis
        raise RefusedError(
            f"record {record.number} must be kept through {say_date(kept.through)}: "
            f"{kept.row.title} ({basis.citation})",
            hint="nothing was thrown away; no reason shortens that time",
        )
    if not kept.state_known and not reason:
        raise RefusedError(
            f"no rule of {STATES[record.state]} that was read says how long record "
            f"{record.number} is kept; the longest known here is {_say_longest(kept)}",
            hint='ask the state\'s pesticide office, then add --anyway "who said what"',
        )
    return Disposed(
        number=record.number,
        on=record.on,
        disposed_on=on,
        kept_through=kept.through,
        rule=kept.row.id if kept.row is not None else "",
        why=reason,
        flights=find_flights_of(record, flights),
    )
