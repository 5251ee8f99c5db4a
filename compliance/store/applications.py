"""Records of applications: rows to values and back. Versions are added, never changed."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from compliance.facts.model import Material
from compliance.facts.products import ByAir
from compliance.facts.records import Application, Disposed, UsedProduct
from compliance.store.questions import Condition, Question
from compliance.store.reading import Readable, Row, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session

_AT_ONCE = 500
_COLUMNS = ("number", "version", "on", "written_on", "job", "state", "content")
_IN_CONTENT = ("for_hire", "start", "end", "zone", "aircraft", "pilot", "why", "anyway")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which records: each value narrows them, an empty one does not; days are inclusive.

    ``product`` is any part of a product's name, in letters of any size.
    """

    job: str = ""
    first: date | None = None
    last: date | None = None
    state: str = ""
    product: str = ""


@refuse_unreadable("the records of applications")
def load_records(
    session: Readable, operation_id: str, wanted: Wanted | None = None
) -> tuple[Application, ...]:
    """Load every version of the records wanted, by day of the version, number and version.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    where: list[Condition] = [("operation_id", "=", operation_id)]
    wanted = wanted or Wanted()
    if wanted.job:
        where.append(("job", "=", wanted.job))
    if wanted.first is not None:
        where.append(("on", ">=", wanted.first))
    if wanted.last is not None:
        where.append(("on", "<=", wanted.last))
    if wanted.state:
        where.append(("state", "=", wanted.state))
    if wanted.product:
        where.append(("products", "holds", wanted.product.casefold()))
    return _load(session, where, ("on", "number", "version"))


@refuse_unreadable("the records of applications")
def load_versions(
    session: Readable, operation_id: str, numbers: Iterable[int]
) -> tuple[Application, ...]:
    """Load every version of some records, by number and version.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    wanted = sorted(numbers)
    found: list[Application] = []
    # SQLite takes a limited number of values in one question.
    for begin in range(0, len(wanted), _AT_ONCE):
        some = tuple(wanted[begin : begin + _AT_ONCE])
        where: list[Condition] = [("operation_id", "=", operation_id), ("number", "in", some)]
        found.extend(_load(session, where, ("number", "version")))
    return tuple(found)


def _load(
    session: Readable, where: list[Condition], order: tuple[str, ...]
) -> tuple[Application, ...]:
    question = Question(
        table="application_record", columns=_COLUMNS, where=tuple(where), order=order
    )
    return tuple(map(_to_record, read_rows(session, question)))


def _to_record(row: Row) -> Application:
    held: dict[str, Any] = json.loads(row.pop("content"))
    return Application(
        **row,
        material=Material(held["material"]),
        said=_pairs(held["said"]),
        products=tuple(
            UsedProduct(
                name=one["name"],
                restricted_use=one["restricted_use"],
                by_air=ByAir(one["by_air"]),
                said=_pairs(one["said"]),
            )
            for one in held["products"]
        ),
        flights=tuple(held.get("flights", ())),
        written_known=held.get("written_known", True),
        **{name: held.get(name, "") for name in _IN_CONTENT},
    )


def _pairs(said: list[list[str]]) -> tuple[tuple[str, str], ...]:
    return tuple([(name, text) for name, text in said])


def find_last_version(session: Readable, operation_id: str, number: int) -> Application | None:
    """Load the version of a record that stands, or None."""
    versions = load_versions(session, operation_id, (number,))
    return versions[-1] if versions else None


def next_record_number(session: "Session", operation_id: str) -> int:
    """Give the number the next record of an operation will have; none is used twice."""
    from sqlmodel import func, select

    from compliance.store.tables_records import ApplicationRow, DisposedRow

    kept = select(func.max(ApplicationRow.number)).where(
        ApplicationRow.operation_id == operation_id
    )
    gone = select(func.max(DisposedRow.number)).where(DisposedRow.operation_id == operation_id)
    return max(session.exec(kept).one() or 0, session.exec(gone).one() or 0) + 1


def append_records(session: "Session", operation_id: str, records: Iterable[Application]) -> None:
    """Add versions of records; nothing that is there is ever changed."""
    from compliance.store.tables_records import ApplicationRow

    session.add_all(
        ApplicationRow(
            operation_id=operation_id,
            number=record.number,
            version=record.version,
            on=record.on,
            written_on=record.written_on,
            job=record.job,
            state=record.state,
            products="\n".join(one.name.casefold() for one in record.products),
            content=_write(record),
        )
        for record in records
    )
    session.flush()


def _write(record: Application) -> str:
    held: dict[str, Any] = {name: getattr(record, name) for name in _IN_CONTENT}
    held["material"] = str(record.material)
    held["said"] = record.said
    held["flights"] = record.flights
    held["written_known"] = record.written_known
    held["products"] = [
        {
            "name": one.name,
            "restricted_use": one.restricted_use,
            "by_air": str(one.by_air),
            "said": one.said,
        }
        for one in record.products
    ]
    return json.dumps(held, ensure_ascii=False)


def dispose_record(session: "Session", operation_id: str, gone: Disposed) -> None:
    """Throw every version of a record away and keep only that it was there."""
    from sqlmodel import col, delete

    from compliance.store.tables_records import ApplicationRow

    row = ApplicationRow
    session.exec(
        delete(row).where(col(row.operation_id) == operation_id, col(row.number) == gone.number)
    )
    add_disposed(session, operation_id, (gone,))


def add_disposed(session: "Session", operation_id: str, gone: Iterable[Disposed]) -> None:
    """Keep what is left of records thrown away."""
    from compliance.store.tables_records import DisposedRow

    for one in gone:
        fields = {name: getattr(one, name) for name in Disposed.__slots__}
        fields["flights"] = ",".join(map(str, one.flights))
        session.add(DisposedRow(operation_id=operation_id, **fields))
    session.flush()


@refuse_unreadable("what is left of records thrown away")
def load_disposed(session: Readable, operation_id: str) -> tuple[Disposed, ...]:
    """Load what is left of records thrown away, by number."""
    question = Question(
        table="disposed_record",
        columns=Disposed.__slots__,
        where=(("operation_id", "=", operation_id),),
        order=("number",),
    )
    return tuple(
        Disposed(**row | {"flights": tuple(map(int, filter(None, row["flights"].split(","))))})
        for row in read_rows(session, question)
    )
