"""Corrections of records: what is asked again before one is kept, and what it leaves behind."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from compliance.app.flight_records import group_versions
from compliance.app.typed import clean_typed
from compliance.base.dates import say_date
from compliance.base.problems import RefusedError
from compliance.engine.flight_records import (
    FlightLog,
    FlightPages,
    covers,
    find_flights_of,
    find_records_of_flights,
)
from compliance.engine.record_time import find_early
from compliance.engine.records import RecordRules
from compliance.facts.model import Operation
from compliance.facts.records import Application
from compliance.outputs.duty_words import say_spans
from compliance.store.applications import load_records, load_versions


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """Which record is corrected and why; ``anyway`` says why it is kept though it looks wrong."""

    number: int
    why: str
    anyway: str = ""


def read_correction(number: int | None, why: str, anyway: str = "") -> Correction | None:
    """Read a correction as it was typed; None when nothing is corrected.

    Raises:
        RefusedError: A correction without a reason, or a reason without a correction.
    """
    reason = clean_typed(why, "reason")
    if number is None:
        if reason:
            raise RefusedError(
                "a reason belongs to a correction", hint="add --correct with the record's number"
            )
        return None
    if not reason:
        raise RefusedError(
            "a correction needs its reason",
            hint='add --because "why", for example --because "wind was read from the wrong line"',
        )
    return Correction(number=number, why=reason, anyway=clean_typed(anyway, "reason"))


def check_old(old: Application, job: str, today: date, anyway: str) -> None:
    """Check that a correction of a job, written on a day, may follow the version that stands.

    Raises:
        RefusedError: It is dated before that version, or is of another job and nobody said why.
    """
    if today < old.written_on:
        which = f"version {old.version} of record {old.number}"
        word = "was written" if old.written_known else "was read in"
        raise RefusedError(
            f"{which} {word} on {say_date(old.written_on)}; a correction cannot be dated before "
            f"it, on {say_date(today)}",
            hint=f"give --on {old.written_on} or a later day, or leave --on out for today",
        )
    if job != old.job and not anyway:
        raise RefusedError(
            f"record {old.number} is of {old.job}, {old.state}, not of {job}",
            hint=f"to correct it: mailby record {old.job} --correct {old.number}; if the work was "
            f'of {job} after all, add --anyway "why"',
        )


def check_day(first: Application, old: Application, record: Application, anyway: str) -> None:
    """Check that a correction does not make a record older than its work.

    A record that is so already is not asked about again while its day stays.

    Raises:
        RefusedError: The work is of a later day than the first writing, and nobody said why.
    """
    if anyway or record.on == old.on or find_early((first, record)) is None:
        return
    raise RefusedError(
        f"record {old.number} was first written on {say_date(first.written_on)}; a record cannot "
        f"be written before its work, and this correction says {say_date(record.on)}",
        hint=f"for other work write a record of its own: mailby record {record.job}; if it is the "
        f'same work and that is its day, add --anyway "why"',
    )


def find_why(correction: Correction, *, is_odd: bool) -> str:
    """Give the reason as it is kept, with why it was kept though it looked wrong.

    Raises:
        RefusedError: Both together are too long.
    """
    if not is_odd:
        return correction.why
    return clean_typed(f"{correction.why} (kept anyway: {correction.anyway})", "reason")


def is_odd(first: Application, old: Application, record: Application) -> bool:
    """Tell whether a correction moves a record to another job, or before its work."""
    moved = record.on != old.on and find_early((first, record)) is not None
    return moved or record.job != old.job


def say_odd(versions: tuple[Application, ...]) -> Iterator[str]:
    """Say what is unusual about a record as the last of its versions corrects it."""
    if len(versions) == 1:
        return
    before, record = versions[-2:]
    was, now = (f"{one.job} ({one.state})" for one in (before, record))
    if was != now:
        yield f"it is moved from {was} to {now}"
    early = find_early(versions)
    if early is not None:
        yield (
            f"it was first written on {say_date(early)}, before its work as corrected; that does "
            "not make it in time"
        )


def say_bared(
    session: Session, operation: Operation, rules: RecordRules, versions: tuple[Application, ...]
) -> tuple[str, ...]:
    """Say which flights, or days of flights, have no record any more since its last version."""
    if len(versions) == 1:
        return ()
    before = versions[-2]
    told = find_flights_of(before, rules.flights)
    if not told:
        return ()
    numbers = {one.number for one in load_records(session, operation.id)}
    every = group_versions(load_versions(session, operation.id, numbers))
    held = find_records_of_flights(FlightLog(rules=rules, flights=rules.flights, versions=every))
    return tuple(
        f"flight {one.number} of {say_date(one.on)}, {one.job}, has no record {bare}now: mailby "
        f"record {one.job} --flight {one.number} writes it; if "
        f"{'nothing was flown then' if bare else 'that flight did not happen'}: mailby log "
        f"withdraw-event {one.number}{', and log it as it was' if bare else ''}"
        for one in rules.flights
        if one.number in told
        for bare in _list_bare(before, held.get(one.number))
    )


def _list_bare(before: Application, held: FlightPages | None) -> Iterator[str]:
    """Say of which hours there is no record that an earlier version told of; of all it is empty."""
    if held is None:
        yield ""
        return
    spans = tuple(one for one in held.bare if covers(before, one))
    if spans:
        yield f"of {say_spans(spans)} "
