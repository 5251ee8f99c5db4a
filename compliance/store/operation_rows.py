"""Facts of an operation to the rows of its tables."""

import json
from dataclasses import asdict

from sqlmodel import Session, SQLModel, delete

from compliance.facts.model import Aircraft, Closure, Job, Operation
from compliance.facts.places import Place, say_spans
from compliance.facts.products import Product
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

_PARTS: tuple[type[SQLModel], ...] = (
    AircraftRow,
    PilotRow,
    JobRow,
    HeldPaperRow,
    ClosureRow,
    PlaceRow,
    ProductRow,
)


def operation_row(operation: Operation, namespace: str) -> OperationRow:
    """Give the row of an operation without its parts."""
    physical = operation.physical_address
    return OperationRow(
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
        calendar_namespace=namespace,
        time_zone=operation.time_zone,
    )


def remove_parts(session: Session, operation_id: str) -> None:
    """Remove what an operation consists of; the operation itself and its log stay."""
    for table in _PARTS:
        session.exec(delete(table).where(table.operation_id == operation_id))  # type: ignore[attr-defined]
    session.flush()


def part_rows(operation: Operation) -> list[SQLModel]:
    """Give the rows of what an operation consists of, each kind in its order."""
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
