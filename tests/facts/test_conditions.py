"""Conditions: what they ask, what they found, and what is refused."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from compliance.base.problems import Problem
from compliance.base.sources import parse_yaml
from compliance.facts.catalog import FACTS, Fact, FactType, Subject
from compliance.facts.conditions import (
    ALWAYS,
    AllOf,
    AnyOf,
    Condition,
    Finding,
    evaluate_condition,
    parse_condition,
    parse_test,
    say_test,
)
from compliance.facts.conditions import Test as FactTest
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

WEIGHT = "aircraft.takeoff_weight_lb"


@pytest.fixture(name="subject")
def make_subject() -> Subject:
    aircraft = Aircraft(
        id="tg46",
        maker="Tallgrass Rotorworks",
        model="TG-46",
        serial="0046",
        takeoff_weight_lb=Decimal(118),
        acquired=Acquired.NEW,
        n_number_wanted=False,
    )
    job = Job(
        id="pasture",
        first_day=date(2027, 5, 24),
        last_day=date(2027, 9, 30),
        state="NE",
        for_hire=True,
        restricted_use=False,
        material=Material.PESTICIDE,
        aircraft=("tg46",),
        pilots=("odile",),
    )
    operation = Operation(
        id="sandbur",
        legal_name="Sandbur Flats Aerial LLC",
        entity=EntityType.LLC,
        managed_by=ManagedBy.MEMBERS,
        mailing_address=Address(lines=("P.O. Box 9", "Burrell Crossing, NE")),
        physical_address=None,
        contact_name="Odile Ferrant",
        contact_phone="",
        contact_email="",
        home_state="NE",
        mail_service=MailService.FIRST_CLASS,
    )
    pilot = Pilot(id="odile", name="Odile Ferrant")
    return Subject(operation=operation, job=job, aircraft=aircraft, pilot=pilot)


def _read(text: str) -> tuple[Condition, list[Problem]]:
    root, faults = parse_yaml(text, "a.yaml")
    assert faults == ()
    problems: list[Problem] = []
    return parse_condition(root, "R", problems), problems


def _ask(text: str, subject: Subject) -> tuple[bool, list[str]]:
    condition, problems = _read(text)
    assert problems == []
    holds, findings = evaluate_condition(condition, subject)
    return holds, [f"{found.fact} {found.found} / {found.wanted}" for found in findings]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("job.state: NE", FactTest("job.state", "is", ("NE",))),
        ("job.state: NE, SD", FactTest("job.state", "is", ("NE", "SD"))),
        ("job.state: not NE, SD", FactTest("job.state", "not", ("NE", "SD"))),
        ("job.for_hire: yes", FactTest("job.for_hire", "is", (True,))),
        ("job.for_hire: not yes", FactTest("job.for_hire", "not", (True,))),
        (f"{WEIGHT}: at least 54.9", FactTest(WEIGHT, "at least", (Decimal("54.9"),))),
        (f"{WEIGHT}: under  55", FactTest(WEIGHT, "under", (Decimal(55),))),
        ("[]", ALWAYS),
        (
            "[job.state: NE, job.for_hire: no]",
            AllOf((FactTest("job.state", "is", ("NE",)), FactTest("job.for_hire", "is", (False,)))),
        ),
        (
            "{job.state: NE, job.for_hire: no}",
            AllOf((FactTest("job.state", "is", ("NE",)), FactTest("job.for_hire", "is", (False,)))),
        ),
        (
            "any: [job.state: NE, job.for_hire: no]",
            AnyOf((FactTest("job.state", "is", ("NE",)), FactTest("job.for_hire", "is", (False,)))),
        ),
        ("any: {job.state: NE}", AnyOf((FactTest("job.state", "is", ("NE",)),))),
    ],
)
def test_condition_is_read_as_written(text: str, expected: Condition) -> None:
    assert _read(text) == (expected, [])


def test_missing_condition_holds_for_everybody(subject: Subject) -> None:
    assert parse_condition(None, "R", []) == ALWAYS
    assert evaluate_condition(ALWAYS, subject) == (True, ())


SIZES = "write `at least N` or `under N`"
YES_NO = "allowed: yes, no"
MATERIALS = "allowed: pesticide, fertilizer, seed"


@pytest.mark.parametrize(
    ("text", "column", "sentence", "hint"),
    [
        ("job.stat: NE", 1, "R21 the condition names the unknown fact `job.stat`",
         "did you mean `job.state`?"),
        ("zzz: NE", 1, "R21 the condition names the unknown fact `zzz`",
         f"known facts: {', '.join(FACTS)}"),
        ("job.material: water", 15,
         "R22 `job.material` cannot be compared with 'water'", MATERIALS),
        ("job.material: seed, water", 15,
         "R22 `job.material` cannot be compared with 'seed, water'", MATERIALS),
        ("job.for_hire: sometimes", 15,
         "R22 `job.for_hire` cannot be compared with 'sometimes'", YES_NO),
        ("job.for_hire: at least 1", 15,
         "R22 `job.for_hire` cannot be compared with 'at least 1'", YES_NO),
        (f"{WEIGHT}: 55", 29, f"R22 `{WEIGHT}` cannot be compared with '55'", SIZES),
        (f"{WEIGHT}: not 55", 29, f"R22 `{WEIGHT}` cannot be compared with 'not 55'", SIZES),
        (f"{WEIGHT}: under heavy", 29,
         f"R22 `{WEIGHT}` cannot be compared with 'under heavy'", SIZES),
        (f"{WEIGHT}: under NaN", 29, f"R22 `{WEIGHT}` cannot be compared with 'under NaN'", SIZES),
        (f"{WEIGHT}: [under 55]", 29, f"R22 `{WEIGHT}` cannot be compared with ''", SIZES),
    ],
)  # fmt: skip
def test_fault_of_a_condition_is_named_with_its_place(
    text: str, column: int, sentence: str, hint: str
) -> None:
    _, problems = _read(text)

    expected = f"a.yaml:1:{column}: {sentence}\n  hint: {hint}"
    assert [str(problem) for problem in problems] == [expected]


def test_text_alone_is_no_condition() -> None:
    _, problems = _read("for hire")

    expected = "a.yaml:1:1: R22 a condition is `fact: value`; got 'for hire'"
    assert [str(problem) for problem in problems] == [expected]


def test_all_faults_of_a_condition_come_out_together() -> None:
    _, problems = _read("[job.stat: NE, {any: [job.hire: yes, job.state: XX]}]")

    assert [problem.code for problem in problems] == ["R21", "R21", "R22"]


@pytest.mark.parametrize(
    ("weight", "at_least", "under"),
    # 14 CFR 107.3: a small unmanned aircraft weighs less than 55 pounds on takeoff (from memory).
    [("54.9", False, True), ("55", True, False), ("55.0", True, False), ("55.1", True, False)],
)
def test_weight_at_the_limit_counts_as_reached(
    subject: Subject, weight: str, at_least: bool, under: bool
) -> None:
    aircraft = replace(subject.aircraft, takeoff_weight_lb=Decimal(weight))
    subject = replace(subject, aircraft=aircraft)
    said = f"{WEIGHT} {Decimal(weight).normalize():f} lb"

    assert _ask(f"{WEIGHT}: at least 55", subject) == (at_least, [f"{said} / at least 55 lb"])
    assert _ask(f"{WEIGHT}: under 55", subject) == (under, [f"{said} / under 55 lb"])


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("job.state: NE, SD", (True, ["job.state NE / NE or SD"])),
        ("job.state: not SD", (True, ["job.state NE / not SD"])),
        ("job.state: not NE, SD", (False, ["job.state NE / not NE or SD"])),
        ("job.for_hire: no", (False, ["job.for_hire yes / no"])),
        # All of it holds: every part was needed.
        (
            "[job.state: NE, job.for_hire: yes]",
            (True, ["job.state NE / NE", "job.for_hire yes / yes"]),
        ),
        # One part fails: only what stood against it.
        (
            "[job.state: NE, job.for_hire: no, job.material: seed]",
            (False, ["job.for_hire yes / no", "job.material pesticide / seed"]),
        ),
        # One of several holds: that one is reason enough.
        (
            f"any: [job.for_hire: no, {{{WEIGHT}: at least 55}}, job.state: NE]",
            (True, [f"{WEIGHT} 118 lb / at least 55 lb"]),
        ),
        # None of several holds: each had to fail.
        (
            "any: [job.for_hire: no, job.state: SD]",
            (False, ["job.for_hire yes / no", "job.state NE / SD"]),
        ),
        ("any: []", (False, [])),
        # A failed branch of an `any` says nothing once another holds.
        (
            "[job.state: NE, {any: [[job.for_hire: yes, job.material: seed], job.state: not SD]}]",
            (True, ["job.state NE / NE", "job.state NE / not SD"]),
        ),
    ],
)
def test_trail_holds_only_what_decided(
    subject: Subject, text: str, expected: tuple[bool, list[str]]
) -> None:
    assert _ask(text, subject) == expected


def test_shortest_sufficient_branch_of_any_is_the_reason(subject: Subject) -> None:
    """The docstring promises the shortest sufficient reason, wherever it stands."""
    text = "any: [[job.state: NE, job.for_hire: yes], job.material: pesticide]"

    assert _ask(text, subject) == (True, ["job.material pesticide / pesticide"])


@pytest.mark.parametrize(
    ("finding", "expected"),
    [
        (
            Finding("job.state", "NE", "NE", holds=True),
            "state the job is in: NE, and the rule asks for NE",
        ),
        (
            Finding("job.for_hire", "no", "yes", holds=False),
            "job is for hire: yes, but the rule asks for no",
        ),
    ],
)
def test_finding_reads_as_a_sentence(finding: Finding, expected: str) -> None:
    assert str(finding) == expected


NUMBERS = [fact for fact in FACTS.values() if fact.type is FactType.NUMBER]
OTHERS = [fact for fact in FACTS.values() if fact.type is not FactType.NUMBER]


@pytest.mark.parametrize("fact", OTHERS, ids=lambda fact: str(fact.name))
def test_what_a_test_says_reads_back_as_the_same_test(fact: Fact) -> None:
    test = parse_test(fact, ", ".join(fact.choices[:2] or ("yes", "no")))

    assert test is not None
    assert parse_test(fact, say_test(test).replace(" or ", ", ")) == test


@pytest.mark.parametrize("fact", NUMBERS, ids=lambda fact: str(fact.name))
def test_bound_is_said_with_its_unit_and_without_idle_zeros(fact: Fact) -> None:
    test = FactTest(fact.name, "under", (Decimal("55.50"),))

    assert say_test(test) == f"under 55.5 {fact.unit}"


def test_size_of_what_has_none_is_a_programmers_mistake(subject: Subject) -> None:
    with pytest.raises(TypeError, match=r"job\.state cannot be compared by size"):
        evaluate_condition(FactTest("job.state", "at least", (Decimal(5),)), subject)
