"""Imported office times: rows to plain values and back."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from sqlmodel import Session, col, delete, func, insert, select

from compliance.store.session import refuse_unreadable
from compliance.store.tables_offices import OfficeFileRow, OfficeTimeRow


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
def load_office_files(session: Session) -> tuple[OfficeFile, ...]:
    """Load what is kept of the files read in, the oldest first."""
    query = select(OfficeFileRow).order_by(col(OfficeFileRow.number))
    return tuple(
        OfficeFile(**{name: getattr(row, name) for name in OfficeFile.__slots__})
        for row in session.exec(query)
    )


@refuse_unreadable("office times")
def load_office_times(session: Session) -> tuple[tuple[OfficeFile, tuple[OfficeTime, ...]], ...]:
    """Load every file read in with its times, the oldest first."""
    columns = tuple(getattr(OfficeTimeRow, name) for name in OfficeTime._fields)
    found = []
    for file in load_office_files(session):
        query = (
            select(*columns)
            .where(col(OfficeTimeRow.number) == file.number)
            .order_by(col(OfficeTimeRow.position))
        )
        found.append((file, tuple(OfficeTime._make(row) for row in session.exec(query))))
    return tuple(found)


def next_office_file(session: Session) -> int:
    """Give the number of the next file read in."""
    return (session.exec(select(func.max(OfficeFileRow.number))).one() or 0) + 1


def save_office_file(session: Session, file: OfficeFile, times: Iterable[OfficeTime]) -> None:
    """Keep a file of office times."""
    session.add(OfficeFileRow(**{name: getattr(file, name) for name in OfficeFile.__slots__}))
    session.flush()
    rows = [
        {"number": file.number, "position": at, **one._asdict()} for at, one in enumerate(times)
    ]
    if rows:
        session.connection().execute(insert(OfficeTimeRow), rows)


def delete_office_file(session: Session, number: int) -> bool:
    """Forget a file of office times; tell whether there was one."""
    found = session.get(OfficeFileRow, number)
    if found is None:
        return False
    session.exec(delete(OfficeTimeRow).where(col(OfficeTimeRow.number) == number))
    session.delete(found)
    session.flush()
    return True
