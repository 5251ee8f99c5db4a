"""The facts that a rule's conditions may name, each with its type and where it is read."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from compliance.facts.model import (
    Acquired,
    Aircraft,
    EntityType,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)
from compliance.facts.states import STATES


@dataclass(frozen=True, slots=True, kw_only=True)
class Subject:
    """One combination that a condition is asked about: an operation, a job, a machine, a person."""

    operation: Operation
    job: Job
    aircraft: Aircraft
    pilot: Pilot


class FactType(StrEnum):
    """What kind of value a fact has."""

    NUMBER = "number"
    FLAG = "yes or no"
    CHOICE = "one of a list"


FactValue = Decimal | bool | str


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: its dotted name, its type, plain words for it, and how it is read."""

    name: str
    type: FactType
    words: str
    read: Callable[[Subject], FactValue]
    choices: tuple[str, ...] = ()
    unit: str = ""


def _number(name: str, words: str, unit: str, read: Callable[[Subject], Decimal]) -> Fact:
    return Fact(name, FactType.NUMBER, words, read, unit=unit)


def _flag(name: str, words: str, read: Callable[[Subject], bool]) -> Fact:
    return Fact(name, FactType.FLAG, words, read)


def _choice(
    name: str, words: str, choices: tuple[str, ...], read: Callable[[Subject], str]
) -> Fact:
    return Fact(name, FactType.CHOICE, words, read, choices=choices)


_FACTS = (
    _choice(
        "operation.entity",
        "legal form of the operation",
        tuple(EntityType),
        lambda subject: str(subject.operation.entity),
    ),
    _choice(
        "operation.managed_by",
        "who manages the company",
        ("nobody", *ManagedBy),
        lambda subject: str(subject.operation.managed_by or "nobody"),
    ),
    _choice(
        "operation.home_state",
        "home state of the operation",
        tuple(STATES),
        lambda subject: subject.operation.home_state,
    ),
    _choice(
        "operation.mail_service",
        "how packets are sent",
        tuple(MailService),
        lambda subject: str(subject.operation.mail_service),
    ),
    _flag(
        "operation.mail_at_po_box",
        "mail address is a P.O. box",
        lambda subject: subject.operation.mailing_address.is_po_box,
    ),
    _number(
        "aircraft.takeoff_weight_lb",
        "take-off weight with full tank and batteries",
        "lb",
        lambda subject: subject.aircraft.takeoff_weight_lb,
    ),
    _choice(
        "aircraft.acquired",
        "how the aircraft was acquired",
        tuple(Acquired),
        lambda subject: str(subject.aircraft.acquired),
    ),
    _flag(
        "aircraft.n_number_wanted",
        "owner chose N-number registration for a small aircraft",
        lambda subject: subject.aircraft.n_number_wanted,
    ),
    _choice(
        "job.state",
        "state the job is in",
        tuple(STATES),
        lambda subject: subject.job.state,
    ),
    _flag(
        "job.in_home_state",
        "job lies in the operation's home state",
        lambda subject: subject.job.state == subject.operation.home_state,
    ),
    _flag("job.for_hire", "job is for hire", lambda subject: subject.job.for_hire),
    _flag(
        "job.restricted_use",
        "job uses a restricted-use product",
        lambda subject: subject.job.restricted_use,
    ),
    _choice(
        "job.material",
        "what the job dispenses",
        tuple(Material),
        lambda subject: str(subject.job.material),
    ),
    _flag(
        "job.controlled_airspace",
        "job lies in controlled airspace",
        lambda subject: subject.job.controlled_airspace,
    ),
    _flag(
        "job.outside_blanket_area",
        "job lies outside the blanket authorization",
        lambda subject: subject.job.outside_blanket_area,
    ),
    _flag(
        "job.congested_area",
        "job lies over a congested area",
        lambda subject: subject.job.congested_area,
    ),
)

FACTS: dict[str, Fact] = {fact.name: fact for fact in _FACTS}


def say_value(value: FactValue, unit: str = "") -> str:
    """Write a fact's value in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{value.normalize():f} {unit}".rstrip()
    return str(value)
