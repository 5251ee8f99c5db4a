"""An operation and its log to YAML text that reads back as the same values."""

from compliance.base.yaml_text import Tree, render_yaml
from compliance.facts.checks import FORMAT
from compliance.facts.events import JobEvent
from compliance.facts.events_parse import list_events
from compliance.facts.log import LogEntry
from compliance.facts.model import (
    Aircraft,
    Closure,
    HeldPaper,
    HolderKind,
    Job,
    Material,
    Operation,
)
from compliance.facts.own_terms import OwnTerm
from compliance.facts.parse_parts import OPERATION_WORD
from compliance.facts.places import Place, say_hours, say_spans
from compliance.facts.products import Product

_Section = dict[str, Tree]


def render_operation(operation: Operation) -> str:
    """Write an operation as a facts file.

    Shape: parses to an equal operation, if this one came from a facts file; equal operations give
    equal text. Values that are empty or usual are left out; comments of an older file are lost.
    """
    tree: _Section = {
        "mailby_file": int(FORMAT),
        "operation": _head(operation),
        "aircraft": [_aircraft(machine) for machine in operation.aircraft],
        "pilots": [{"id": pilot.id, "name": pilot.name} for pilot in operation.pilots],
        "jobs": [_job(job) for job in operation.jobs],
        "papers": [_paper(held) for held in operation.papers],
        "closures": [_closure(closure) for closure in operation.closures],
        "notary_days": operation.notary_days,
        "post_office_days": operation.post_office_days,
    }
    if operation.products:
        tree["products"] = [_product(product) for product in operation.products]
    if operation.places:
        tree["places"] = [_place(place) for place in operation.places]
    return render_yaml(tree)


def render_log(log: tuple[LogEntry, ...], events: tuple[JobEvent, ...] = ()) -> str:
    """Write a log as a log file; what happened around flying is a list of its own.

    Shape: parses to equal entries and events, if these are numbered 1, 2, 3... in order.
    """
    tree: _Section = {"log": [_entry(entry) for entry in log]}
    if events:
        tree["events"] = list_events(events)
    return render_yaml(tree)


def _kept(section: dict[str, Tree | None]) -> _Section:
    """Leave out what is empty."""
    return {key: value for key, value in section.items() if value not in (None, "", False)}


def _head(operation: Operation) -> _Section:
    physical = operation.physical_address
    contact: dict[str, Tree | None] = {
        "name": operation.contact_name,
        "phone": operation.contact_phone,
        "email": operation.contact_email,
    }
    return _kept(
        {
            "id": operation.id,
            "legal_name": operation.legal_name,
            "entity": str(operation.entity),
            "managed_by": operation.managed_by and str(operation.managed_by),
            "home_state": operation.home_state,
            "mailing_address": operation.mailing_address.lines,
            "physical_address": physical.lines if physical else None,
            "contact": _kept(contact),
            "mail_service": str(operation.mail_service),
            "time_zone": operation.time_zone,
        }
    )


def _aircraft(machine: Aircraft) -> _Section:
    return _kept(
        {
            "id": machine.id,
            "maker": machine.maker,
            "model": machine.model,
            "serial": machine.serial,
            "remote_id_serial": machine.remote_id_serial,
            "takeoff_weight_lb": machine.takeoff_weight_lb,
            "acquired": str(machine.acquired),
            "registration_number": machine.registration_number,
            "n_number_wanted": machine.n_number_wanted,
        }
    )


def _job(job: Job) -> _Section:
    needed: _Section = {
        "id": job.id,
        "first_day": job.first_day,
        "last_day": job.last_day,
        "state": job.state,
        "for_hire": job.for_hire,
        "restricted_use": job.restricted_use,
    }
    usual = job.material is Material.PESTICIDE
    return needed | _kept(
        {
            "material": None if usual else str(job.material),
            "aircraft": job.aircraft,
            "pilots": job.pilots,
            "controlled_airspace": job.controlled_airspace,
            "outside_blanket_area": job.outside_blanket_area,
            "congested_area": job.congested_area,
            "note": job.note,
            "time_zone": job.time_zone,
            "first_flight": job.first_flight,
            "products": job.products or None,
        }
    )


def _product(product: Product) -> _Section:
    said = _kept(
        {
            "id": product.id,
            "name": product.name,
            "registration": product.registration,
            "active_ingredient": product.active_ingredient,
            "maker": product.maker,
            "by_air": str(product.by_air),
            "restricted_use": product.restricted_use,
        }
    )
    hours = product.re_entry_hours
    return said if hours is None else said | {"restricted_entry_hours": hours}


def _paper(held: HeldPaper) -> _Section:
    return _kept(
        {
            "paper": held.paper,
            "holder": _holder(held),
            "number": held.number,
            "issued_on": held.issued_on,
            "valid_through": held.valid_through,
            "own_terms": [_term(term) for term in held.own_terms] or None,
        }
    )


def _term(term: OwnTerm) -> _Section:
    what: _Section = {"duty": term.duty, "document": term.document}
    if not term.applies:
        return what | {"applies": False}
    kept = _kept({"opens": term.opens or None})
    return what | {"count": term.count, "unit": term.unit} | kept


def _holder(owned: HeldPaper | LogEntry) -> str:
    is_operation = owned.holder.kind is HolderKind.OPERATION
    return OPERATION_WORD if is_operation else owned.holder.ref


def _closure(closure: Closure) -> _Section:
    return _kept(
        {
            "who": closure.who,
            "first_day": closure.first_day,
            "last_day": closure.last_day,
            "why": closure.why,
        }
    )


def _place(place: Place) -> _Section:
    each = {one.day: say_spans(one.spans) for one in place.hours}
    one_for_all = len(set(each.values())) == 1 and tuple(each) == place.days
    return _kept(
        {
            "kind": str(place.kind),
            "name": place.name,
            "town": place.town,
            "days": place.days or None,
            "hours": say_hours(place) if one_for_all else each or None,
            "phone": place.phone,
        }
    )


def _entry(entry: LogEntry) -> _Section:
    return _kept(
        {
            "kind": str(entry.kind),
            "paper": entry.paper,
            "holder": _holder(entry),
            "on": entry.happened_on,
            "step": entry.step,
            "reason": entry.reason,
            "tracking": entry.tracking,
            "number": entry.paper_number,
            "issued_on": entry.issued_on,
            "valid_through": entry.valid_through,
            "withdraws": entry.withdraws,
            "blanks": entry.blanks or None,
            "still_good": entry.still_good or None,
            "expects": entry.expects,
            "service": str(entry.service) if entry.service is not None else None,
        }
    )
