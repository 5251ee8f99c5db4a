"""Read many records from a table: all of them, or none."""

from dataclasses import dataclass, replace
from datetime import date

from sqlmodel import Session

from compliance.app.operations import choose_operation
from compliance.app.records import mark_record, say_twin
from compliance.app.resources import read_user_text
from compliance.app.tables import load_table
from compliance.base.problems import DataProblemsError, Problem
from compliance.engine.record_fill import fill_record
from compliance.engine.records import RecordRules, find_lacking, find_late
from compliance.facts.record_csv import read_table
from compliance.facts.record_parse import parse_record
from compliance.facts.records import Application
from compliance.store.applications import append_records, load_records, next_record_number
from compliance.store.records import load_log


@dataclass(frozen=True, slots=True, kw_only=True)
class Imported:
    """What was read in: the numbers of the first and last record, and how many want looking at."""

    first: int
    last: int
    incomplete: tuple[int, ...]
    late: tuple[int, ...]


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
    number = next_record_number(session, operation.id)
    standing: dict[int, Application] = {}
    for one in sorted(load_records(session, operation.id), key=lambda one: one.version):
        standing[one.number] = one
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
        record = replace(record, number=number + len(records))
        mark = mark_record(record)
        if mark in known:
            found.append(say_twin(raw, *known[mark]))
        known.setdefault(mark, (raw.what, None))
        records.append(record)
    if found:
        raise DataProblemsError(tuple(found))
    append_records(session, operation.id, records)
    rules = RecordRules(table=load_table(session), operation=operation)
    return Imported(
        first=number,
        last=number + len(records) - 1,
        incomplete=tuple(one.number for one in records if find_lacking(one, rules.find(one))),
        late=tuple(one.number for one in records if find_late(one, rules.find(one), today)),
    )
