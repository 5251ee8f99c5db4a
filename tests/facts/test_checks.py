"""Checks between values: each just inside and just outside of what is allowed."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from compliance.base.problems import SourceRef
from compliance.base.sources import Mapping
from compliance.facts.checks import CHECKS, check_operation
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

NOWHERE = Mapping({}, SourceRef(file="typed in"))
MACHINE = Aircraft(
    id="big",
    maker="Works",
    model="Big",
    serial="B-1",
    takeoff_weight_lb=Decimal(118),
    acquired=Acquired.NEW,
    remote_id_serial="R-1",
    registration_number="N1",
)
JOB = Job(
    id="spring",
    first_day=date(2027, 5, 24),
    last_day=date(2027, 6, 30),
    state="NE",
    for_hire=True,
    restricted_use=True,
    material=Material.PESTICIDE,
    aircraft=("big",),
    pilots=("pat",),
)
PAPER = HeldPaper(
    paper="faa.remote-pilot",
    holder=Holder(kind=HolderKind.PILOT, ref="pat"),
    number="X-1",
    issued_on=date(2025, 2, 3),
    valid_through=date(2027, 2, 28),
)
CLOSURE = Closure(who="field", first_day=date(2027, 3, 8), last_day=date(2027, 3, 14))
OPERATION = Operation(
    id="farm",
    legal_name="Example Farm LLC",
    entity=EntityType.LLC,
    managed_by=ManagedBy.MEMBERS,
    mailing_address=Address(lines=("1 Example Road", "Exampleton, NE 00000")),
    physical_address=None,
    contact_name="Pat Example",
    contact_phone="402-555-0100",
    contact_email="pat@farm.example",
    home_state="NE",
    mail_service=MailService.FIRST_CLASS,
    aircraft=(MACHINE,),
    pilots=(Pilot(id="pat", name="Pat Example"),),
    jobs=(JOB,),
    papers=(PAPER,),
    closures=(CLOSURE,),
)


def codes(operation: Operation) -> list[str]:
    return [problem.code for problem in check_operation(operation, NOWHERE)]


def test_check_operation_nothing_wrong() -> None:
    assert check_operation(OPERATION, NOWHERE) == ()


def test_checks_are_explained_and_all_in_use() -> None:
    """The list is what runs; a check left out of it would never be missed."""
    names = [check.__name__ for check in CHECKS]

    assert len(set(names)) == len(names) == 13
    assert all(check.__doc__ for check in CHECKS)


def with_job(**changes: object) -> Callable[[Operation], Operation]:
    return lambda operation: replace(operation, jobs=(replace(JOB, **changes),))  # type: ignore[arg-type] # fields by name


def with_paper(**changes: object) -> Callable[[Operation], Operation]:
    return lambda operation: replace(operation, papers=(PAPER, replace(PAPER, **changes)))  # type: ignore[arg-type] # fields by name


def with_machine(**changes: object) -> Callable[[Operation], Operation]:
    return lambda operation: replace(operation, aircraft=(MACHINE, replace(MACHINE, **changes)))  # type: ignore[arg-type] # fields by name


def with_fields(**changes: object) -> Callable[[Operation], Operation]:
    return lambda operation: replace(operation, **changes)  # type: ignore[arg-type] # fields by name


def box(*lines: str) -> Address:
    return Address(lines=lines)


TOWN = "Exampleton, NE 00000"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        # who manages
        (with_fields(managed_by=None), ["F18"]),
        (with_fields(entity=EntityType.CORPORATION), ["F19"]),
        (with_fields(entity=EntityType.CORPORATION, managed_by=None), []),
        # addresses; the ways to write a box are common practice, no source
        (with_fields(mailing_address=box("PO Box 1", TOWN)), ["F17"]),
        (with_fields(mailing_address=box("P. O. BOX 1", TOWN)), ["F17"]),
        (with_fields(mailing_address=box("p.o. box 1", TOWN)), ["F17"]),
        (with_fields(mailing_address=box("1 Boxelder Road", TOWN)), []),
        (
            with_fields(
                mailing_address=box("PO Box 1", TOWN), physical_address=box("1 Road", TOWN)
            ),
            [],
        ),
        (with_fields(physical_address=box("PO Box 1", TOWN)), ["F17"]),
        (with_fields(mailing_address=box(TOWN)), ["F28"]),
        (with_fields(mailing_address=box(*["line"] * 6)), []),
        (with_fields(mailing_address=box(*["line"] * 7)), ["F28"]),
        (with_fields(mailing_address=box("x" * 80, TOWN)), []),
        (with_fields(mailing_address=box("x" * 81, TOWN)), ["F28"]),
        (with_fields(mailing_address=box("a\nb", TOWN)), ["F28"]),
        # contact
        (with_fields(contact_email=""), []),
        (with_fields(contact_email="pat@farm"), ["F22"]),
        (with_fields(contact_email="pat@@farm.example"), ["F22"]),
        (with_fields(contact_email="pat @farm.example"), ["F22"]),
        (with_fields(contact_phone="555-0100"), []),
        (with_fields(contact_phone="555-010"), ["F23"]),
        (with_fields(contact_phone="+1 (402) 555-0100 x12"), []),
        (with_fields(contact_phone="call 402-555-0100"), ["F23"]),
        # states
        (with_fields(home_state="ne"), ["F16"]),
        (with_job(state="PR"), ["F16"]),
        (with_job(state=""), []),
        # ids and references
        (with_machine(serial="B-2", remote_id_serial="", registration_number=""), ["F12"]),
        (with_fields(pilots=(Pilot(id="pat", name="P"), Pilot(id="big", name="B"))), ["F12"]),
        (with_fields(jobs=(JOB, JOB)), ["F12"]),
        (with_job(aircraft=()), ["F21"]),
        (with_job(pilots=()), ["F21"]),
        (with_job(pilots=("kit",)), ["F13"]),
        (with_job(pilots=("kit", "kit")), ["F12", "F13"]),
        (with_job(pilots=("big",)), ["F13"]),  # an aircraft is no pilot
        (with_fields(notary_days=("tue", "tue")), ["F12"]),
        (with_fields(post_office_days=("sat", "mon", "sat")), ["F12"]),
        # days; 366 days from 24 May 2027 end on 23 May 2028, as 2028 has a 29 February
        (with_job(last_day=JOB.first_day), []),
        (with_job(last_day=JOB.first_day - timedelta(days=1)), ["F14"]),
        (with_job(last_day=date(2028, 5, 23)), []),
        (with_job(last_day=date(2028, 5, 24)), ["F29"]),
        (with_fields(closures=(replace(CLOSURE, last_day=date(2026, 3, 14)),)), ["F14"]),
        # papers
        (with_paper(number="X-2", valid_through=date(2025, 2, 3)), []),
        (with_paper(number="X-2", valid_through=date(2025, 2, 2)), ["F15"]),
        (with_paper(number="X-2", valid_through=date(2029, 2, 28)), []),  # an early renewal
        (with_paper(valid_through=date(2029, 2, 28)), ["F20"]),  # the same number again
        (with_paper(number="X-2"), ["F20"]),  # the same two dates again
        (with_paper(holder=Holder(kind=HolderKind.OPERATION)), []),
        (with_paper(paper="faa.pilot-recency"), []),
        # plates
        (with_machine(id="two", remote_id_serial="", registration_number=""), ["F30"]),
        (with_machine(id="two", serial="B-2", registration_number=""), ["F30"]),
        (with_machine(id="two", serial="B-2", remote_id_serial=""), ["F30"]),
        (with_machine(id="two"), ["F30", "F30", "F30"]),
        (
            with_machine(id="two", maker="Other", remote_id_serial="", registration_number=""),
            [],
        ),  # makers number on their own
        # materials
        (with_job(material=Material.SEED), ["F31"]),
        (with_job(material=Material.FERTILIZER, restricted_use=False), []),
    ],
)
def test_check_operation_limits(
    change: Callable[[Operation], Operation], expected: list[str]
) -> None:
    assert codes(change(OPERATION)) == expected


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("Nebraska", "write NE"),
        ("ne", "write NE"),
        ("south dakota", "write SD"),
        ("PR", "write a code such as NE or SD"),
    ],
)
def test_check_states_hint(word: str, hint: str) -> None:
    assert [
        problem.hint for problem in check_operation(with_job(state=word)(OPERATION), NOWHERE)
    ] == [hint]


@pytest.mark.parametrize(
    ("word", "hint"), [("pta", "did you mean `pat`?"), ("zzz", "known here: pat")]
)
def test_check_references_hint_names_who_is_there(word: str, hint: str) -> None:
    problems = check_operation(with_job(pilots=(word,))(OPERATION), NOWHERE)

    assert [problem.hint for problem in problems] == [hint]


def test_check_references_hint_when_nobody_is_there() -> None:
    bare = replace(OPERATION, pilots=())

    assert [problem.hint for problem in check_operation(bare, NOWHERE)] == ["known here: none"]


def test_check_references_hint_without_anything_to_choose() -> None:
    bare = replace(OPERATION, aircraft=(), jobs=(replace(JOB, aircraft=()),))

    assert [problem.hint for problem in check_operation(bare, NOWHERE)] == [
        "list the aircraft under `aircraft:` at the left margin first"
    ]
