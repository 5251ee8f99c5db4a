"""What was seen of offices: gathered from every log and every file read in, never kept as truth."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import PurePath
from typing import TYPE_CHECKING

from compliance.app.resources import read_binary
from compliance.app.tables import load_table
from compliance.base.calendars import DayCalendar
from compliance.base.dates import say_date
from compliance.base.problems import (
    DataProblemsError,
    NotFoundError,
    Problem,
    RefusedError,
    SourceRef,
)
from compliance.engine.days import OperationDays
from compliance.engine.follow_up import FollowUp, compute_follow_ups
from compliance.engine.office_days import OfficeDays
from compliance.engine.office_file import Packets, parse_office_file
from compliance.engine.turnaround import (
    Observation,
    Outcome,
    Seen,
    count_seen,
    find_offices,
)
from compliance.engine.turnaround_log import find_observations
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import Operation
from compliance.rules.model import CalendarName, RulesTable, StepRow
from compliance.store.offices import (
    OfficeFile,
    OfficeTime,
    delete_office_file,
    load_office_files,
    load_office_times,
    next_office_file,
    save_office_file,
)
from compliance.store.reading import Readable
from compliance.store.records import load_log
from compliance.store.repository import load_operation, load_operation_ids

if TYPE_CHECKING:
    from sqlmodel import Session

_ROOM = timedelta(days=400)
_AHEAD = timedelta(days=2_400)


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficesSeen:
    """What was seen of offices as of a day, with the rows it is about.

    ``rows`` are the rows of today's table that wait for an office, one for each id; ``editions``
    are all of them, in force today or not.
    """

    rows: tuple[StepRow, ...]
    observations: tuple[Observation, ...]
    seen: Seen
    days: OfficeDays
    logs: tuple[tuple[LogEntry, ...], ...]
    editions: tuple[StepRow, ...]


def load_seen(
    session: Readable,
    table: RulesTable,
    as_of: date,
    *,
    instead: tuple[Operation, tuple[LogEntry, ...]] | None = None,
) -> OfficesSeen:
    """Gather what the logs of all operations and the files read in say of offices.

    What happened after *as_of* is left out. *instead* is an operation with its log to take in place
    of what is kept of it, to try a change.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    offices = find_offices(table)
    rows = {
        row.id: row for row in reversed(table.steps) if row.id in offices and row.in_force_on(as_of)
    }
    operations = list(_load_logs(session, as_of, instead))
    imported = tuple(_imported(session, table, as_of))
    first = min(
        [
            as_of,
            *(entry.happened_on for _, log in operations for entry in log),
            *(entry.issued_on for _, log in operations for entry in log if entry.issued_on),
            *(one.sent_on for one in imported),
        ]
    )
    days = OfficeDays((one for one, _ in operations), first - _ROOM, as_of + _AHEAD)
    observations = list(imported)
    for operation, log in operations:
        own = OperationDays(operation, days.first, days.last)
        observations.extend(find_observations(operation, log, table, own))
    kept = tuple(reversed(rows.values()))
    seen = count_seen(observations, days.of_rows(kept), offices, as_of)
    return OfficesSeen(
        rows=kept,
        observations=tuple(observations),
        seen=seen,
        days=days,
        logs=tuple(log for _, log in operations),
        editions=tuple(row for row in table.steps if row.id in offices),
    )


def _load_logs(
    session: Readable, as_of: date, instead: tuple[Operation, tuple[LogEntry, ...]] | None
) -> Iterator[tuple[Operation, tuple[LogEntry, ...]]]:
    """Give every operation of which anything is logged, with what stands of its log."""
    for name in load_operation_ids(session):
        tried = instead if instead is not None and instead[0].id == name else None
        known = tried[1] if tried is not None else load_log(session, name)
        log = tuple(one for one in known if one.happened_on <= as_of)
        operation = tried[0] if tried is not None else None
        if log and operation is None:
            operation = load_operation(session, name)
        if log and operation is not None:
            yield operation, find_standing(log)


def find_follow_ups(
    found: OfficesSeen, as_of: date, *, operation: str = ""
) -> tuple[FollowUp, ...]:
    """Give when to ask about each packet that is at an office, of all operations or of one."""
    wanted = tuple(one for one in found.observations if not operation or one.operation == operation)
    return compute_follow_ups(wanted, found.rows, found.seen, found.days, as_of, found.editions)


def _imported(session: Readable, table: RulesTable, as_of: date) -> Iterator[Observation]:
    """Give what files say; a packet pending in one was out on the day the file was read."""
    offices = find_offices(table)
    travel = _Travel(table)
    for file, times in load_office_times(session):
        for one in times:
            began = min(
                one.reached_on or travel.arrive(one.step, one.sent_on), one.decided_on or as_of
            )
            if one.step in offices and one.sent_on <= as_of:
                decided = one.decided_on if one.decided_on and one.decided_on <= as_of else None
                yield Observation(
                    office=offices[one.step],
                    step=one.step,
                    sent_on=began,
                    decided_on=decided,
                    outcome=Outcome(one.outcome) if decided else Outcome.PENDING,
                    still_out_on=file.imported_on if one.decided_on is None else None,
                    times=one.times,
                )


class _Travel:
    """Guess the day a packet reached its office from the day it was sent, by usual mail."""

    def __init__(self, table: RulesTable) -> None:
        self._mailed = {row.paper for row in table.steps if row.mail == "out"}
        self._papers = {row.id: row.paper for row in table.steps}
        service = next(row for row in table.services if row.id == "mail.first-class")
        self._days = service.days.usual
        self._calendars: dict[int, DayCalendar] = {}
        self._known: dict[date, date] = {}

    def arrive(self, step: str, sent_on: date) -> date:
        if self._papers.get(step) not in self._mailed:
            return sent_on
        if sent_on not in self._known:
            calendar = self._calendars.get(sent_on.year)
            if calendar is None:
                first = date(sent_on.year, 1, 1)
                days = OfficeDays((), first, first + _ROOM)
                calendar = self._calendars[sent_on.year] = days.calendar(CalendarName.POSTAL)
            there = calendar.forward(sent_on.toordinal(), self._days)
            self._known[sent_on] = date.fromordinal(there)
        return self._known[sent_on]


def import_times(session: "Session", path: str, today: date) -> OfficeFile:
    """Read a CSV file of office times; all of it is kept, or nothing.

    Raises:
        NotFoundError: There is no such file.
        RefusedError: The same file was read already.
        DataProblemsError: Lines of it cannot be so; all of them are listed.
    """
    table = load_table(session)
    data = read_binary(path)
    digest = hashlib.sha256(data).hexdigest()
    for old in load_office_files(session):
        if old.digest == digest:
            raise RefusedError(
                f"{path} was read already, on {say_date(old.imported_on)}, as file {old.number}",
                hint=f"to take it back: mailby offices forget {old.number}",
            )
    found, problems = parse_office_file(_decode(data, path), path, find_offices(table), today)
    if problems:
        raise DataProblemsError(problems)
    file = OfficeFile(
        number=next_office_file(session),
        name=PurePath(path).name,
        digest=digest,
        imported_on=today,
        packets=found.total(),
    )
    times = (
        OfficeTime(**packet._asdict() | {"outcome": str(packet.outcome)}, times=count)
        for packet, count in sorted(found.items(), key=_order)
    )
    save_office_file(session, file, times)
    return file


def _order(item: tuple[Packets, int]) -> tuple[str, ...]:
    return tuple(str(part) for part in item[0])


def list_files(session: Readable) -> tuple[tuple[int, str, int, date], ...]:
    """List the files of office times that were read in: number, name, packets, day."""
    return tuple(
        (one.number, one.name, one.packets, one.imported_on) for one in load_office_files(session)
    )


def forget_times(session: "Session", number: int) -> None:
    """Take a file of office times back.

    Raises:
        NotFoundError: No file has that number.
    """
    if not delete_office_file(session, number):
        known = ", ".join(str(file.number) for file in load_office_files(session))
        raise NotFoundError(
            f"no file of office times has the number {number}", hint=f"kept are: {known or 'none'}"
        )


def _decode(data: bytes, path: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        problem = Problem(
            place=SourceRef(file=path, line=line),
            code="S002",
            sentence=f"the text is not UTF-8: byte 0x{data[error.start]:02x} cannot be read",
            hint="save the file again as CSV with the encoding UTF-8",
        )
        raise DataProblemsError((problem,)) from None
