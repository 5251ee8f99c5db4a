"""Operations: rows to facts and back."""

import json
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    Closure,
    EntityType,
    HeldPaper,
    Holder,
    HolderKind,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.own_terms import OwnTerm
from compliance.facts.places import DayHours, Place, PlaceKind, parse_spans
from compliance.facts.products import ByAir, Product
from compliance.store.questions import Question
from compliance.store.reading import Readable, Row, read_rows
from compliance.store.refusals import refuse_unreadable

if TYPE_CHECKING:
    from sqlmodel import Session

_OPERATION = (
    "id",
    "legal_name",
    "entity",
    "managed_by",
    "mailing_lines",
    "physical_lines",
    "contact_name",
    "contact_phone",
    "contact_email",
    "home_state",
    "mail_service",
    "notary_days",
    "post_office_days",
    "time_zone",
)
_HELD_PAPER = (
    "paper",
    "holder_kind",
    "holder_ref",
    "number",
    "issued_on",
    "valid_through",
    "own_terms",
)


def load_operation_ids(session: Readable) -> tuple[str, ...]:
    """Give the ids of all operations, sorted."""
    question = Question(table="operation", columns=("id",), order=("id",))
    return tuple(row["id"] for row in read_rows(session, question))


@refuse_unreadable("an operation")
def load_operation(session: Readable, operation_id: str) -> Operation | None:
    """Load one operation with its parts in file order, or None.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    question = Question(table="operation", columns=_OPERATION, where=(("id", "=", operation_id),))
    found = read_rows(session, question)
    if not found:
        return None
    row = found[0]
    mailing, physical = row.pop("mailing_lines"), row.pop("physical_lines")
    changed = {
        "entity": EntityType(row["entity"]),
        "managed_by": ManagedBy(row["managed_by"]) if row["managed_by"] else None,
        "mailing_address": Address(lines=_split(mailing, "\n")),
        "physical_address": Address(lines=_split(physical, "\n")) if physical else None,
        "mail_service": MailService(row["mail_service"]),
        "notary_days": _split(row["notary_days"], ","),
        "post_office_days": _split(row["post_office_days"], ","),
    }

    def load(table: str, columns: tuple[str, ...]) -> list[Row]:
        """Load the parts of one kind in file order."""
        question = Question(
            table=table,
            columns=columns,
            where=(("operation_id", "=", operation_id),),
            order=("position",),
        )
        return read_rows(session, question)

    parts = {
        "aircraft": tuple(map(_to_aircraft, load("aircraft", Aircraft.__slots__))),
        "pilots": tuple(Pilot(**part) for part in load("pilot", Pilot.__slots__)),
        "jobs": tuple(map(_to_job, load("job", Job.__slots__))),
        "papers": tuple(map(_to_held, load("held_paper", _HELD_PAPER))),
        "closures": tuple(Closure(**part) for part in load("closure", Closure.__slots__)),
        "places": tuple(map(_to_place, load("place", Place.__slots__))),
        "products": tuple(map(_to_product, load("product", Product.__slots__))),
    }
    return Operation(**row | changed | parts)


def load_calendar_namespace(session: Readable, operation_id: str) -> str:
    """Give the random namespace under which an operation's calendar ids are made."""
    question = Question(
        table="operation", columns=("calendar_namespace",), where=(("id", "=", operation_id),)
    )
    found = read_rows(session, question)
    return str(found[0]["calendar_namespace"]) if found else ""


def load_told_on(session: Readable, operation_id: str) -> date | None:
    """Give the day an operation's facts were last told otherwise than before, None if not known."""
    question = Question(table="operation", columns=("told_on",), where=(("id", "=", operation_id),))
    found = read_rows(session, question)
    told_on: date | None = found[0]["told_on"] if found else None
    return told_on


def save_operation(
    session: "Session", operation: Operation, *, namespace: str, told_on: date | None = None
) -> None:
    """Write an operation whole; parts that are gone from it are removed, its log is kept.

    *namespace* is used only for an operation that is new, *told_on*, the day it is told, only for
    one whose facts differ from those before.

    Raises:
        StoreError: What was kept before holds a value that this program does not write.
    """
    from compliance.store.operation_rows import operation_row, part_rows, remove_parts
    from compliance.store.tables_operation import OperationRow

    old = session.get(OperationRow, operation.id)
    kept = old.calendar_namespace if old is not None else namespace
    row = operation_row(operation, kept)
    is_news = told_on is not None and load_operation(session, operation.id) != operation
    row.told_on = told_on if is_news or old is None else old.told_on
    session.merge(row)
    session.flush()
    remove_parts(session, operation.id)
    session.add_all(part_rows(operation))
    session.flush()


def _split(text: str, separator: str) -> tuple[str, ...]:
    return tuple(part for part in text.split(separator) if part)


def _to_aircraft(row: Row) -> Aircraft:
    changed = {
        "takeoff_weight_lb": Decimal(row["takeoff_weight_lb"]),
        "acquired": Acquired(row["acquired"]),
    }
    return Aircraft(**row | changed)


def _to_job(row: Row) -> Job:
    lists = {name: _split(row[name], ",") for name in ("aircraft", "pilots", "products")}
    return Job(**row | lists | {"material": Material(row["material"])})


def _to_product(row: Row) -> Product:
    return Product(**row | {"by_air": ByAir(row["by_air"])})


def _to_place(row: Row) -> Place:
    hours = dict(json.loads(row["hours"])).items()
    changed = {
        "kind": PlaceKind(row["kind"]),
        "days": _split(row["days"], ","),
        "hours": tuple(_to_hours(day, text) for day, text in hours),
    }
    return Place(**row | changed)


def _to_hours(day: str, text: str) -> DayHours:
    spans = parse_spans(text)
    if spans is None:
        raise ValueError(f"{text!r} are no hours")
    return DayHours(day=day, spans=spans)


def _to_held(row: Row) -> HeldPaper:
    holder = Holder(kind=HolderKind(row.pop("holder_kind")), ref=row.pop("holder_ref"))
    own_terms = tuple(OwnTerm(**term) for term in json.loads(row["own_terms"]))
    return HeldPaper(**row | {"holder": holder, "own_terms": own_terms})
