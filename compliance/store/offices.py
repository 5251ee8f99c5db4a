"""Imported office times: rows to plain values and back."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from compliance.store.questions import Question
from compliance.store.reading import Readable, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class OfficeFile:
    """One file of office times that was read in; ``packets`` counts its rows."""

    number: int
    name: str
    digest: str
    imported_on: date
    packets: int


class OfficeTime(NamedTuple):
    """Packets of a file that are the same in all but their number, ``times``."""

    step: str
    sent_on: date
    reached_on: date | None
    decided_on: date | None
    outcome: str
    times: int


@refuse_unreadable("a file of office times")
def load_office_files(session: Readable) -> tuple[OfficeFile, ...]:
    """Load what is kept of the files read in, the oldest first."""
    question = Question(table="office_file", columns=OfficeFile.__slots__, order=("number",))
    return tuple(OfficeFile(**row) for row in read_rows(session, question))


@refuse_unreadable("office times")
def load_office_times(session: Readable) -> tuple[tuple[OfficeFile, tuple[OfficeTime, ...]], ...]:
    """Load every file read in with its times, the oldest first."""
    found = []
    for file in load_office_files(session):
        question = Question(
            table="office_time",
            columns=OfficeTime._fields,
            where=(("number", "=", file.number),),
            order=("position",),
        )
        found.append((file, tuple(OfficeTime(**row) for row in read_rows(session, question))))
    return tuple(found)


def next_office_file(session: "Session") -> int:
    """Give the number of the next file read in."""
    from sqlmodel import func, select

    from compliance.store.tables_offices import OfficeFileRow

    return (session.exec(select(func.max(OfficeFileRow.number))).one() or 0) + 1


def save_office_file(session: "Session", file: OfficeFile, times: Iterable[OfficeTime]) -> None:
    """Keep a file of office times."""
    from sqlmodel import insert

    from compliance.store.tables_offices import OfficeFileRow, OfficeTimeRow

    session.add(OfficeFileRow(**{name: getattr(file, name) for name in OfficeFile.__slots__}))
    session.flush()
    rows = [
        {"number": file.number, "position": at, **one._asdict()} for at, one in enumerate(times)
    ]
    if rows:
        session.connection().execute(insert(OfficeTimeRow), rows)


def delete_office_file(session: "Session", number: int) -> bool:
    """Forget a file of office times; tell whether there was one."""
    from sqlmodel import col, delete

    from compliance.store.tables_offices import OfficeFileRow, OfficeTimeRow

    found = session.get(OfficeFileRow, number)
    if found is None:
        return False
    session.exec(delete(OfficeTimeRow).where(col(OfficeTimeRow.number) == number))
    session.delete(found)
    session.flush()
    return True
