"""Facts to rows and back; the only module that knows both."""

import json
from collections.abc import Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import TypeVar

from sqlmodel import Session, SQLModel, col, delete, select

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
from compliance.facts.places import DayHours, Place, PlaceKind, parse_spans, say_spans
from compliance.facts.products import ByAir, Product
from compliance.store.session import refuse_unreadable
from compliance.store.tables_operation import (
    AircraftRow,
    ClosureRow,
    HeldPaperRow,
    JobRow,
    OperationRow,
    PilotRow,
    PlaceRow,
    ProductRow,
)

_Part = TypeVar(
    "_Part", AircraftRow, PilotRow, JobRow, HeldPaperRow, ClosureRow, PlaceRow, ProductRow
)
_PARTS: tuple[type[SQLModel], ...] = (
    AircraftRow,
    PilotRow,
    JobRow,
    HeldPaperRow,
    ClosureRow,
    PlaceRow,
    ProductRow,
)


def load_operation_ids(session: Session) -> tuple[str, ...]:
    """Give the ids of all operations, sorted."""
    return tuple(session.exec(select(OperationRow.id).order_by(col(OperationRow.id))))


@refuse_unreadable("an operation")
def load_operation(session: Session, operation_id: str) -> Operation | None:
    """Load one operation with its parts in file order, or None.

    Raises:
        StoreError: A value in the database is none that this program writes.
    """
    row = session.get(OperationRow, operation_id)
    if row is None:
        return None
    return Operation(
        id=row.id,
        legal_name=row.legal_name,
        entity=EntityType(row.entity),
        managed_by=ManagedBy(row.managed_by) if row.managed_by else None,
        mailing_address=Address(lines=_split(row.mailing_lines, "\n")),
        physical_address=(
            Address(lines=_split(row.physical_lines, "\n")) if row.physical_lines else None
        ),
        contact_name=row.contact_name,
        contact_phone=row.contact_phone,
        contact_email=row.contact_email,
        home_state=row.home_state,
        mail_service=MailService(row.mail_service),
        aircraft=tuple(map(_to_aircraft, _load(session, AircraftRow, operation_id))),
        pilots=tuple(
            Pilot(id=part.id, name=part.name) for part in _load(session, PilotRow, operation_id)
        ),
        jobs=tuple(map(_to_job, _load(session, JobRow, operation_id))),
        papers=tuple(map(_to_held, _load(session, HeldPaperRow, operation_id))),
        closures=tuple(
            Closure(who=part.who, first_day=part.first_day, last_day=part.last_day, why=part.why)
            for part in _load(session, ClosureRow, operation_id)
        ),
        notary_days=_split(row.notary_days, ","),
        post_office_days=_split(row.post_office_days, ","),
        places=tuple(map(_to_place, _load(session, PlaceRow, operation_id))),
        time_zone=row.time_zone,
        products=tuple(map(_to_product, _load(session, ProductRow, operation_id))),
    )


def load_calendar_namespace(session: Session, operation_id: str) -> str:
    """Give the random namespace under which an operation's calendar ids are made."""
    row = session.get(OperationRow, operation_id)
    return row.calendar_namespace if row is not None else ""


def save_operation(session: Session, operation: Operation, *, namespace: str) -> None:
    """Write an operation whole; parts that are gone from it are removed, its log is kept.

    *namespace* is used only for an operation that is new.
    """
    old = session.get(OperationRow, operation.id)
    physical = operation.physical_address
    row = OperationRow(
        id=operation.id,
        legal_name=operation.legal_name,
        entity=operation.entity,
        managed_by=operation.managed_by,
        mailing_lines="\n".join(operation.mailing_address.lines),
        physical_lines="\n".join(physical.lines) if physical is not None else None,
        contact_name=operation.contact_name,
        contact_phone=operation.contact_phone,
        contact_email=operation.contact_email,
        home_state=operation.home_state,
        mail_service=operation.mail_service,
        notary_days=",".join(operation.notary_days),
        post_office_days=",".join(operation.post_office_days),
        calendar_namespace=old.calendar_namespace if old is not None else namespace,
        time_zone=operation.time_zone,
    )
    session.merge(row)
    session.flush()
    for table in _PARTS:
        session.exec(delete(table).where(table.operation_id == operation.id))  # type: ignore[attr-defined]
    session.flush()
    session.add_all(_part_rows(operation))
    session.flush()


def _part_rows(operation: Operation) -> list[SQLModel]:
    key = operation.id
    rows: list[SQLModel] = []
    for at, machine in enumerate(operation.aircraft):
        fields = {name: getattr(machine, name) for name in Aircraft.__slots__}
        fields["takeoff_weight_lb"] = str(machine.takeoff_weight_lb)
        rows.append(AircraftRow(operation_id=key, position=at, **fields))
    rows.extend(
        PilotRow(operation_id=key, position=at, id=pilot.id, name=pilot.name)
        for at, pilot in enumerate(operation.pilots)
    )
    for at, job in enumerate(operation.jobs):
        fields = {name: getattr(job, name) for name in Job.__slots__}
        fields |= {"aircraft": ",".join(job.aircraft), "pilots": ",".join(job.pilots)}
        fields["products"] = ",".join(job.products)
        rows.append(JobRow(operation_id=key, position=at, **fields))
    rows.extend(
        HeldPaperRow(
            operation_id=key,
            position=at,
            paper=held.paper,
            holder_kind=held.holder.kind,
            holder_ref=held.holder.ref,
            number=held.number,
            issued_on=held.issued_on,
            valid_through=held.valid_through,
            own_terms=json.dumps([asdict(term) for term in held.own_terms]),
        )
        for at, held in enumerate(operation.papers)
    )
    for at, closure in enumerate(operation.closures):
        fields = {name: getattr(closure, name) for name in Closure.__slots__}
        rows.append(ClosureRow(operation_id=key, position=at, **fields))
    for at, place in enumerate(operation.places):
        fields = {name: getattr(place, name) for name in Place.__slots__}
        hours = {one.day: say_spans(one.spans) for one in place.hours}
        fields |= {"days": ",".join(place.days), "hours": json.dumps(hours)}
        rows.append(PlaceRow(operation_id=key, position=at, **fields))
    for at, product in enumerate(operation.products):
        fields = {name: getattr(product, name) for name in Product.__slots__}
        rows.append(ProductRow(operation_id=key, position=at, **fields))
    return rows


def _load(session: Session, table: type[_Part], operation_id: str) -> Sequence[_Part]:
    """Load the parts of one operation in file order."""
    # The parts share these two columns without a common base class, which would be a table too.
    owner, position = col(table.operation_id), col(table.position)
    return session.exec(select(table).where(owner == operation_id).order_by(position)).all()


def _split(text: str, separator: str) -> tuple[str, ...]:
    return tuple(part for part in text.split(separator) if part)


def _to_aircraft(row: AircraftRow) -> Aircraft:
    return Aircraft(
        id=row.id,
        maker=row.maker,
        model=row.model,
        serial=row.serial,
        takeoff_weight_lb=Decimal(row.takeoff_weight_lb),
        acquired=Acquired(row.acquired),
        remote_id_serial=row.remote_id_serial,
        registration_number=row.registration_number,
        n_number_wanted=row.n_number_wanted,
    )


def _to_job(row: JobRow) -> Job:
    return Job(
        id=row.id,
        first_day=row.first_day,
        last_day=row.last_day,
        state=row.state,
        for_hire=row.for_hire,
        restricted_use=row.restricted_use,
        material=Material(row.material),
        aircraft=_split(row.aircraft, ","),
        pilots=_split(row.pilots, ","),
        controlled_airspace=row.controlled_airspace,
        outside_blanket_area=row.outside_blanket_area,
        congested_area=row.congested_area,
        note=row.note,
        time_zone=row.time_zone,
        first_flight=row.first_flight,
        products=_split(row.products, ","),
    )


def _to_product(row: ProductRow) -> Product:
    fields = {name: getattr(row, name) for name in Product.__slots__}
    return Product(**fields | {"by_air": ByAir(row.by_air)})


def _to_place(row: PlaceRow) -> Place:
    return Place(
        kind=PlaceKind(row.kind),
        name=row.name,
        town=row.town,
        days=_split(row.days, ","),
        hours=tuple(_to_hours(day, text) for day, text in dict(json.loads(row.hours)).items()),
        phone=row.phone,
    )


def _to_hours(day: str, text: str) -> DayHours:
    spans = parse_spans(text)
    if spans is None:
        raise ValueError(f"{text!r} are no hours")
    return DayHours(day=day, spans=spans)


def _to_held(row: HeldPaperRow) -> HeldPaper:
    return HeldPaper(
        paper=row.paper,
        holder=Holder(kind=HolderKind(row.holder_kind), ref=row.holder_ref),
        number=row.number,
        issued_on=row.issued_on,
        valid_through=row.valid_through,
        own_terms=tuple(OwnTerm(**term) for term in json.loads(row.own_terms)),
    )
