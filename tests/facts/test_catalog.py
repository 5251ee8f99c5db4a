"""Every fact a rule may name can be read from an operation, and says what kind of value it has."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from compliance.facts.catalog import FACTS, Fact, FactType, FactValue, Subject, say_value
from compliance.facts.model import (
    Acquired,
    Address,
    Aircraft,
    EntityType,
    Job,
    MailService,
    ManagedBy,
    Material,
    Operation,
    Pilot,
)

READ: dict[str, FactValue] = {
    "operation.entity": "llc",
    "operation.managed_by": "members",
    "operation.home_state": "NE",
    "operation.mail_service": "courier",
    "operation.mail_at_po_box": True,
    "aircraft.takeoff_weight_lb": Decimal("117.5"),
    "aircraft.acquired": "used-us",
    "aircraft.n_number_wanted": True,
    "job.state": "SD",
    "job.in_home_state": False,
    "job.for_hire": True,
    "job.restricted_use": True,
    "job.material": "fertilizer",
    "job.controlled_airspace": False,
    "job.outside_blanket_area": True,
    "job.congested_area": False,
}


@pytest.fixture(name="subject")
def make_subject() -> Subject:
    aircraft = Aircraft(
        id="tg46",
        maker="Tallgrass Rotorworks",
        model="TG-46",
        serial="0046",
        takeoff_weight_lb=Decimal("117.5"),
        acquired=Acquired.USED_US,
        n_number_wanted=True,
    )
    job = Job(
        id="cover-crop",
        first_day=date(2027, 8, 2),
        last_day=date(2027, 9, 30),
        state="SD",
        for_hire=True,
        restricted_use=True,
        material=Material.FERTILIZER,
        aircraft=("tg46",),
        pilots=("wren",),
        outside_blanket_area=True,
    )
    operation = Operation(
        id="sandbur",
        legal_name="Sandbur Flats Aerial LLC",
        entity=EntityType.LLC,
        managed_by=ManagedBy.MEMBERS,
        mailing_address=Address(lines=("P.O. Box 9", "Burrell Crossing, NE")),
        physical_address=None,
        contact_name="Wren Castellow",
        contact_phone="",
        contact_email="",
        home_state="NE",
        mail_service=MailService.COURIER,
    )
    pilot = Pilot(id="wren", name="Wren Castellow")
    return Subject(operation=operation, job=job, aircraft=aircraft, pilot=pilot)


def test_every_fact_is_read_from_its_place(subject: Subject) -> None:
    assert {name: fact.read(subject) for name, fact in FACTS.items()} == READ


@pytest.mark.parametrize("fact", FACTS.values(), ids=FACTS)
def test_value_of_a_fact_has_the_type_it_announces(fact: Fact, subject: Subject) -> None:
    value = fact.read(subject)

    types = {FactType.NUMBER: Decimal, FactType.FLAG: bool, FactType.CHOICE: str}
    assert type(value) is types[fact.type]
    assert (value in fact.choices) == (fact.type is FactType.CHOICE)
    assert bool(fact.unit) == (fact.type is FactType.NUMBER)


@pytest.mark.parametrize("fact", FACTS.values(), ids=FACTS)
def test_fact_is_known_by_its_own_name_and_has_words(fact: Fact) -> None:
    assert FACTS[fact.name] is fact
    assert fact.name.partition(".")[0] in {"operation", "aircraft", "job"}
    assert fact.words == fact.words.strip() != ""


def test_no_two_facts_have_the_same_words() -> None:
    assert len({fact.words for fact in FACTS.values()}) == len(FACTS)


@pytest.mark.parametrize(
    ("name", "kinds"),
    [
        ("operation.entity", EntityType),
        ("operation.mail_service", MailService),
        ("aircraft.acquired", Acquired),
        ("job.material", Material),
    ],
)
def test_choices_are_every_word_an_operation_file_can_hold(
    name: str, kinds: type[EntityType | MailService | Acquired | Material]
) -> None:
    assert FACTS[name].choices == tuple(kinds)


def _unmanaged(subject: Subject) -> Subject:
    operation = replace(subject.operation, entity=EntityType.INDIVIDUAL, managed_by=None)
    return replace(subject, operation=operation)


def _at_home(subject: Subject) -> Subject:
    return replace(subject, job=replace(subject.job, state="NE"))


def _on_a_road(subject: Subject) -> Subject:
    address = Address(lines=("1 Boxelder Road", "Burrell Crossing, NE"))
    return replace(subject, operation=replace(subject.operation, mailing_address=address))


@pytest.mark.parametrize(
    ("name", "change", "expected"),
    [
        ("operation.managed_by", _unmanaged, "nobody"),
        ("job.in_home_state", _at_home, True),
        ("operation.mail_at_po_box", _on_a_road, False),
    ],
)
def test_fact_follows_what_it_is_drawn_from(
    subject: Subject, name: str, change: Callable[[Subject], Subject], expected: FactValue
) -> None:
    assert FACTS[name].read(change(subject)) == expected


@pytest.mark.parametrize(
    ("value", "unit", "expected"),
    [
        (True, "", "yes"),
        (False, "lb", "no"),
        (Decimal("55.0"), "lb", "55 lb"),
        (Decimal(100), "lb", "100 lb"),
        (Decimal("54.90"), "", "54.9"),
        ("NE", "", "NE"),
    ],
)
def test_value_is_said_in_words(value: FactValue, unit: str, expected: str) -> None:
    assert say_value(value, unit) == expected
