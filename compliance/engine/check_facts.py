"""What the facts say a blank must hold, and what the packet's row says of fee and office."""

from compliance.engine.check_model import CheckContext
from compliance.engine.plan_model import PaperPlan
from compliance.facts.model import Holder, Operation
from compliance.rules.model import Fee, StepUse

REGISTRY = "faa.registry"
"""The office that registers aircraft by N-number; 14 CFR part 47 speaks of its packets only."""

ONLINE = "online"
"""Said in the place of an address when a packet is filed online."""


def find_fact(context: CheckContext, name: str) -> str:
    """Give the text a blank must agree with, or an empty text when it is not known."""
    if name.startswith("paper.") and name.endswith(".number"):
        return _find_number(context, name.removeprefix("paper.").removesuffix(".number"))
    return find_holder_fact(context.operation, context.paper.packet.holder, name)


def find_holder_fact(operation: Operation, holder: Holder, name: str) -> str:
    """Give a fact about the operation or about a packet's aircraft or pilot, or an empty text."""
    machine = operation.find_aircraft(holder.ref)
    pilot = operation.find_pilot(holder.ref)
    physical = operation.physical_address
    known = {
        "operation.legal_name": operation.legal_name,
        "operation.entity": str(operation.entity),
        "operation.mailing_address": ", ".join(operation.mailing_address.lines),
        "operation.physical_address": ", ".join(physical.lines) if physical else "",
        "operation.contact_phone": operation.contact_phone,
        "operation.contact_email": operation.contact_email,
        "pilot.name": pilot.name if pilot is not None else "",
    }
    if machine is not None:
        known |= {
            "aircraft.maker": machine.maker,
            "aircraft.model": machine.model,
            "aircraft.serial": machine.serial,
            "aircraft.registration_serial": machine.registration_serial,
            "aircraft.registration_number": machine.registration_number,
            "aircraft.takeoff_weight_lb": f"{machine.takeoff_weight_lb:f} lb",
        }
    return known.get(name, "")


def _find_number(context: CheckContext, paper: str) -> str:
    """Give the number of a held paper: the packet holder's own, or the only one there is."""
    held = [one for one in context.operation.papers if one.paper == paper]
    held += [
        one.packet.held
        for one in context.others
        if one.packet.paper.id == paper and one.packet.held is not None
    ]
    own = {one.number for one in held if one.holder == context.paper.packet.holder and one.number}
    numbers = own or {one.number for one in held if one.number}
    return numbers.pop() if len(numbers) == 1 else ""


def find_fee(paper: PaperPlan) -> Fee | None:
    """Give the fee of a packet: for a renewal its own, or the first fee when none is named.

    Of several editions the one in force on the day it is sent.
    """
    row = paper.packet.fee_row
    renewing = paper.packet.use is StepUse.RENEWAL
    return (row.renewal_fee or row.fee) if renewing else row.fee


def is_registry(context: CheckContext) -> bool:
    """Tell whether the packet goes to the aircraft registry."""
    return context.paper.packet.paper.office == REGISTRY


def is_online(context: CheckContext) -> bool:
    """Tell whether the packet is filed online, so that there is no envelope.

    That is so when the office has no mailing address, or when the word ``online`` was given in the
    place of the address on the envelope.
    """
    office = context.paper.packet.office
    if office is None or not office.online:
        return False
    return not office.mail_to or context.envelope.address_on_envelope.casefold() == ONLINE


def list_people(operation: Operation) -> tuple[str, ...]:
    """Name everybody the facts name: the owner, the contact and the pilots."""
    pilots = (pilot.name for pilot in operation.pilots)
    names = (operation.legal_name, operation.contact_name, *pilots)
    return tuple(dict.fromkeys(name for name in names if name))


def list_known_texts(context: CheckContext) -> frozenset[str]:
    """Give every text of the facts that a blank of the packet may have to hold."""
    names = {
        blank.equals
        for row in context.paper.packet.documents
        if (template := context.templates.get(row.template)) is not None
        for blank in template.blanks
        if blank.equals
    }
    facts = {find_fact(context, name).strip() for name in names}
    return frozenset({*facts, *list_people(context.operation)} - {""})
