"""What to bring on a trip to town and who must come along, act by act."""

from collections.abc import Iterable
from dataclasses import dataclass

from compliance.engine.agenda import subject_of
from compliance.engine.check_facts import find_fee
from compliance.engine.plan_model import PaperPlan, Plan
from compliance.engine.trip_model import TownAct, Trip
from compliance.facts.log import EventKind
from compliance.facts.model import EntityType, HolderKind, ManagedBy, Operation
from compliance.facts.places import PlaceKind
from compliance.rules.model import DocumentRow, NotaryAct, RulesTable

_UNSIGNED = {
    NotaryAct.JURAT: "filled in, NOT signed: it is sworn to and signed in front of the notary",
    NotaryAct.ACKNOWLEDGMENT: "filled in, not signed yet: the notary takes the acknowledgment",
    NotaryAct.AS_PRINTED: "filled in, NOT signed: the notary does what the form prints",
}
_MANAGERS = {
    ManagedBy.MEMBERS: "a member of the company",
    ManagedBy.MANAGERS: "a manager of the company",
    ManagedBy.OFFICERS: "an officer of the company",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A line and the lines that belong to it."""

    text: str
    parts: tuple[str, ...] = ()


def list_bring(plan: Plan, trip: Trip, table: RulesTable) -> tuple[Group, ...]:
    """List what to bring on a trip, in the order of its acts, each thing once."""
    lines: list[Group] = []
    for act in trip.acts:
        if act.kind is PlaceKind.NOTARY:
            lines.extend(_for_notary(plan, act.paper))
        elif act.step.row.event is EventKind.MAILED:
            lines.extend(_for_mail(plan, act.paper, table))
        elif act.kind is PlaceKind.TEST_CENTER:
            lines.extend(_for_test(plan, act.paper))
        else:
            lines.append(Group(text=f"what {subject_of(plan, act.paper)} asks for"))
    return tuple(dict.fromkeys(lines))


def list_along(plan: Plan, trip: Trip) -> tuple[str, ...]:
    """List who must be there in person, each line once; empty when anybody can go."""
    lines: list[str] = []
    for act in trip.acts:
        lines.extend(_list_people(plan, act))
    return tuple(dict.fromkeys(lines))


def _list_people(plan: Plan, act: TownAct) -> Iterable[str]:
    paper = act.paper
    holder = paper.packet.holder
    if act.kind is PlaceKind.NOTARY:
        for row in notarized(paper):
            yield f"for the notary: {_say_signer(plan.operation, row)} (the signer of {row.title})"
    elif holder.kind is HolderKind.PILOT and act.kind is PlaceKind.TEST_CENTER:
        yield f"for the test or class: {plan.operation.say_holder(holder)}"


def notarized(paper: PaperPlan) -> tuple[DocumentRow, ...]:
    """List the documents of a packet that a notary must complete."""
    return tuple(row for row in paper.packet.documents if row.notary is not NotaryAct.NONE)


def _say_signer(operation: Operation, row: DocumentRow) -> str:
    """Say who signs before the notary; of several partners or co-owners, all who sign.

    Source: 14 CFR 47.13(d) for partners and companies, as the rules table reads it; for other
    offices it is common practice.
    """
    signer = row.signer or "whoever signs"
    if any(word in signer for word in ("bank", "seller", "insurer", "builder")):
        return signer
    if operation.entity is EntityType.INDIVIDUAL:
        return f"{operation.legal_name}, {signer}; a co-owner who signs comes too"
    if operation.entity is EntityType.PARTNERSHIP:
        return f"every partner or co-owner who signs, {signer}"
    if operation.managed_by is not None:
        return f"{_MANAGERS[operation.managed_by]}, {signer}"
    return f"an officer of the corporation, {signer}"


def _for_notary(plan: Plan, paper: PaperPlan) -> Iterable[Group]:
    for row in notarized(paper):
        text = f"{row.title} ({subject_of(plan, paper)}): {_UNSIGNED[row.notary]}"
        yield Group(text=text)
    yield Group(
        text="current photo ID of everybody who signs: driver's license, passport or state ID"
    )
    yield Group(text="money for the notary: the fee is counted for each act; ask by telephone")


def _for_mail(plan: Plan, paper: PaperPlan, table: RulesTable) -> Iterable[Group]:
    office = paper.packet.office
    to = office.title if office is not None else "the office"
    documents = [
        f"{count}: {row.title}" for row in paper.packet.documents if (count := _say_count(row))
    ]
    yield Group(
        text=f"envelope to {to}, packet {paper.id}",
        parts=(*documents, f"fee: {_say_fee(paper, to)}"),
    )
    service = f"mail.{plan.operation.mail_service}"
    proof = next((row.proof for row in table.services if row.id == service), "")
    if proof:
        yield Group(text=f"money for postage ({plan.operation.mail_service}); {proof}")


def _for_test(plan: Plan, paper: PaperPlan) -> Iterable[Group]:
    who = plan.operation.say_holder(paper.packet.holder)
    yield Group(text=f"photo ID of {who}, not expired, with the name as on the application")
    yield Group(
        text="the confirmation of the seat; telephone first for the fee and how it can be paid"
    )


def _say_count(row: DocumentRow) -> str:
    parts = []
    if row.originals:
        parts.append(f"{row.originals} original{'s' if row.originals > 1 else ''}")
    if row.copies:
        parts.append(f"{row.copies} cop{'ies' if row.copies > 1 else 'y'}")
    return " and ".join(parts)


def _say_fee(paper: PaperPlan, office: str) -> str:
    fee = find_fee(paper)
    if fee is None:
        return f"none is in the rules table; ask {office}"
    per = f" per {fee.per}" if fee.per else ""
    return f"${fee.amount_usd:.2f}{per}, {fee.method}, payable to {fee.payee}"
