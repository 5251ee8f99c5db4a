"""Read many records from a table: all of them, or none."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.operations import choose_operation
from compliance.app.record_twins import find_twins, mark_record, say_twin
from compliance.app.resources import read_user_text
from compliance.app.tables import load_table
from compliance.base.problems import DataProblemsError, Problem, RefusedError, SourceRef
from compliance.engine.flight_index import FlightIndex
from compliance.engine.flight_records import match_flights
from compliance.engine.record_fill import fill_record
from compliance.engine.record_limits import is_careful
from compliance.engine.record_time import find_landing
from compliance.engine.records import RecordRules, find_lacking, find_late
from compliance.facts.events import find_flights
from compliance.facts.record_book import parse_book
from compliance.facts.record_clean import clean_disposed, clean_record
from compliance.facts.record_csv import read_table
from compliance.facts.record_parse import parse_record
from compliance.facts.record_raw import FAMILY
from compliance.facts.records import Application, Disposed, RecordBook
from compliance.store.applications import (
    add_disposed,
    append_records,
    load_disposed,
    load_records,
    next_record_number,
)
from compliance.store.events import load_events
from compliance.store.records import load_log


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """What was read in: the numbers of the first and last record, and those that want looking at.

    ``undated`` are those of which the table does not say when they were first written.
    """

    first: int
    last: int
    incomplete: tuple[int, ...]
    late: tuple[int, ...]
    undated: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookImported:
    """What was read in from a file of records: new versions, those here already, what is gone.

    ``twins`` are the numbers of records left out, each with the one that is kept of the same
    application.
    """

    versions: int
    known: int
    gone: int
    twins: tuple[tuple[int, int], ...] = ()


def import_records(
    session: Session, wanted: str | None, path: str, today: date, *, job: str = ""
) -> Imported:
    """Keep every record of a table.

    Raises:
        NotFoundError: No such file or operation.
        DataProblemsError: A line cannot be so; every one that cannot is named, nothing was kept.
    """
    operation = choose_operation(session, wanted)
    raws, problems = read_table(read_user_text(path), path)
    if problems:
        raise DataProblemsError(problems)
    log = load_log(session, operation.id)
    flights = find_flights(load_events(session, operation.id))
    index = FlightIndex(flights)
    number = next_record_number(session, operation.id)
    standing = _find_standing(load_records(session, operation.id))
    known: dict[tuple[object, ...], tuple[str, int | None]] = {
        mark_record(one): (f"record {one.number}", one.number) for one in standing.values()
    }
    found: list[Problem] = []
    records: list[Application] = []
    for raw in raws:
        record, faults = parse_record(raw, operation, job, today)
        found.extend(faults)
        if record is None:
            continue
        record, _ = fill_record(record, operation, log)
        told = match_flights(record, index.list_near(record))
        record = replace(record, number=number + len(records), flights=told)
        mark = mark_record(record)
        if mark in known:
            found.append(say_twin(raw, record, *known[mark]))
        known.setdefault(mark, (raw.what, None))
        records.append(record)
    if found:
        raise DataProblemsError(tuple(found))
    append_records(session, operation.id, records)
    rules = RecordRules(table=load_table(session), operation=operation, flights=flights)
    return Imported(
        first=number,
        last=number + len(records) - 1,
        incomplete=tuple(one.number for one in records if find_lacking(one, rules.find(one))),
        late=tuple(one.number for one in records if one.written_known and _is_late(one, rules)),
        undated=tuple(one.number for one in records if not one.written_known),
    )


def _is_late(record: Application, rules: RecordRules) -> bool:
    limits = (one for one in rules.find_limits(record) if not is_careful(one))
    return bool(find_late(record, limits, record.written_on, find_landing(rules, record)))


def import_book(session: Session, wanted: str | None, path: str, today: date) -> BookImported:
    """Keep every version of a file of records, as it was written on another computer.

    What is here already is left alone, so that the same file read twice adds nothing. A record that
    tells of the same application as one of another number, here or before it in the file, is left
    out, as a table with it would be refused.

    Raises:
        NotFoundError: No such file or operation.
        RefusedError: It is of another operation.
        DataProblemsError: The file has faults, or another record has a number here; nothing was
            kept.
    """
    operation = choose_operation(session, wanted)
    book, problems = parse_book(read_user_text(path), path, today)
    if book is None:
        raise DataProblemsError(problems)
    if book.operation != operation.id:
        raise RefusedError(
            f"{path} holds records of {book.operation}, not of {operation.id}",
            hint=f"load the facts of {book.operation} first, or add --operation",
        )
    here: dict[int, list[Application]] = {}
    for one in load_records(session, operation.id):
        here.setdefault(one.number, []).append(one)
    gone_here = {one.number: one for one in load_disposed(session, operation.id)}
    new = _find_new(book, here, gone_here, path)
    append_records(session, operation.id, new.versions)
    add_disposed(session, operation.id, new.gone)
    return BookImported(
        versions=len(new.versions),
        known=new.known,
        gone=len(new.gone),
        twins=tuple(sorted(new.twins.items())),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _New:
    """What of a file is not here yet, how many versions are, and the records left out."""

    versions: tuple[Application, ...]
    gone: tuple[Disposed, ...]
    twins: dict[int, int]
    known: int


def _find_twins(
    here: dict[int, list[Application]], versions: Sequence[Application]
) -> dict[int, int]:
    """Find records with new versions that tell of the same application as another, by number.

    Not those that told of it here before: a new version of them is no new record.
    """
    standing = _find_standing(one for own in here.values() for one in own)
    before = {number: mark_record(one) for number, one in standing.items()}
    new = {one.number for one in versions}
    standing = _find_standing((*standing.values(), *versions))
    # Those that are here already go first, so that what comes in is what is left out.
    order = sorted(standing, key=lambda number: (number in new, number))
    twins = find_twins([standing[number] for number in order])
    return {
        number: other
        for number, other in twins.items()
        if number in new and before.get(number) != mark_record(standing[number])
    }


def _find_standing(versions: Iterable[Application]) -> dict[int, Application]:
    """Give the last version of each record by its number."""
    standing: dict[int, Application] = {}
    for one in sorted(versions, key=lambda one: one.version):
        standing[one.number] = one
    return standing


def _find_new(
    book: RecordBook,
    here: dict[int, list[Application]],
    gone_here: dict[int, Disposed],
    path: str,
) -> _New:
    """Find what is not here yet, without records that tell of the same as another.

    Raises:
        DataProblemsError: Something else has the same number here (W41).
    """
    known = {(one.number, one.version): one for own in here.values() for one in own}
    versions = [
        one for one in book.versions if not _is_here(one, known.get((one.number, one.version)))
    ]
    count = len(book.versions) - len(versions)
    twins = _find_twins(here, versions)
    versions = [one for one in versions if one.number not in twins]
    gone = [one for one in book.gone if not _is_gone_here(one, gone_here.get(one.number))]
    clash = {one.number for one in versions if (one.number, one.version) in known}
    clash |= {one.number for one in versions if one.number in gone_here}
    clash |= {one.number for one in gone if one.number in here or one.number in gone_here}
    if clash:
        raise DataProblemsError(
            tuple(
                Problem(
                    place=SourceRef(file=path),
                    code=f"{FAMILY}41",
                    sentence=f"record {number} of the file is not the record {number} kept here",
                    hint="read the file into a database without records, or one it began as a "
                    "copy of",
                )
                for number in sorted(clash)
            )
        )
    return _New(versions=tuple(versions), gone=tuple(gone), twins=twins, known=count)


def _is_here(one: Application, kept: Application | None) -> bool:
    """Tell whether a version is kept here, perhaps with signs that no file can hold."""
    return kept is not None and (kept == one or clean_record(kept)[0] == one)


def _is_gone_here(one: Disposed, kept: Disposed | None) -> bool:
    return kept is not None and (kept == one or clean_disposed(kept) == one)
