"""Log files that are right; those that are wrong lie in tests/data/bad_input."""

from datetime import date
from pathlib import Path

import pytest

from compliance.facts.log import EventKind, LogEntry, find_standing
from compliance.facts.log_parse import parse_log
from compliance.facts.model import Holder, HolderKind, MailService, Operation
from compliance.facts.parse import parse_operation

DEMO = Path(__file__).parents[2] / "demo_data"


def read_demo() -> Operation:
    text = (DEMO / "sandbur_flats.yaml").read_text(encoding="utf-8")
    operation, problems = parse_operation(text, "demo")
    assert problems == ()
    assert operation is not None
    return operation


def read(text: str) -> tuple[LogEntry, ...]:
    entries, problems = parse_log(text, "log.yaml", read_demo())
    assert problems == ()
    return entries


def test_parse_log_demo_packet_came_back_once() -> None:
    """The scenario as the project describes it."""
    log = read((DEMO / "sandbur_flats_log.yaml").read_text(encoding="utf-8"))
    returned = [entry for entry in log if entry.kind is EventKind.RETURNED]

    assert [entry.number for entry in log] == [1, 2, 3, 4, 5, 6]
    assert find_standing(log) == log
    assert returned == [
        LogEntry(
            number=6,
            kind=EventKind.RETURNED,
            paper="faa.registration-n",
            holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
            happened_on=date(2027, 1, 6),
            reason="notary block: commission expiry left empty",
        )
    ]
    assert max(entry.happened_on for entry in log) < date(2027, 1, 11)  # the demo's today


def test_parse_log_demo_notary_days_are_kept() -> None:
    """The demo's notary works on Tuesdays and Thursdays only."""
    log = read((DEMO / "sandbur_flats_log.yaml").read_text(encoding="utf-8"))
    acts = [entry.happened_on for entry in log if entry.kind is EventKind.NOTARIZED]

    assert [f"{day:%a}".lower() in read_demo().notary_days for day in acts] == [True]


def test_parse_log_reads_every_field() -> None:
    log = read(
        "log:\n"
        "  - {kind: granted, paper: faa.pilot-recency, holder: wren, on: 2027-02-01,\n"
        "     number: X-1, issued_on: 2027-01-30, valid_through: 2029-01-31}\n"
        "  - {kind: done, paper: faa.exemption, on: 2027-02-02, step: answer-office, tracking: T}\n"
        "  - {kind: withdrawn, on: 2027-02-03, withdraws: 1, reason: wrong pilot}\n"
    )
    operation = Holder(kind=HolderKind.OPERATION)

    assert log == (
        LogEntry(
            number=1,
            kind=EventKind.GRANTED,
            paper="faa.pilot-recency",
            holder=Holder(kind=HolderKind.PILOT, ref="wren"),
            happened_on=date(2027, 2, 1),
            paper_number="X-1",
            issued_on=date(2027, 1, 30),
            valid_through=date(2029, 1, 31),
        ),
        LogEntry(
            number=2,
            kind=EventKind.DONE,
            paper="faa.exemption",
            holder=operation,
            happened_on=date(2027, 2, 2),
            step="answer-office",
            tracking="T",
        ),
        LogEntry(
            number=3,
            kind=EventKind.WITHDRAWN,
            paper="",
            holder=operation,
            happened_on=date(2027, 2, 3),
            reason="wrong pilot",
            withdraws=1,
        ),
    )


RETURN = "  - {kind: returned, paper: faa.exemption, on: 2027-01-02, reason: r, "


def test_parse_log_reads_the_blanks_at_fault_of_a_return() -> None:
    """And the steps that need not be done again."""
    log = read(f"log:\n{RETURN}blanks: [form/stamp, form/signed-on], still_good: [sign]}}\n")

    assert (log[0].blanks, log[0].still_good) == (("form/stamp", "form/signed-on"), ("sign",))


@pytest.mark.parametrize(
    ("part", "problem"),
    [
        ("blanks: [stamp]", "`blanks` of entry 1 has 'stamp'"),
        ("blanks: [a/b/c]", "`blanks` of entry 1 has 'a/b/c'"),
        ("blanks: [Form/stamp]", "`blanks` of entry 1 has 'Form/stamp'"),
        ("still_good: [Sign it]", "`still_good` of entry 1 has 'Sign it'"),
        ('blanks: ["a,b/c"]', "`blanks` of entry 1 has 'a,b/c'"),
    ],
)
def test_parse_log_malformed_names_of_a_return(part: str, problem: str) -> None:
    """A comma in a name would fall apart in the database."""
    _, problems = parse_log(f"log:\n{RETURN}{part}}}\n", "x", read_demo())

    assert [(one.code, one.sentence) for one in problems] == [("L11", problem)]


def test_parse_log_reads_what_an_office_said() -> None:
    """With the day it named."""
    (entry,) = read(
        "log:\n  - {kind: heard, paper: faa.exemption, on: 2027-01-02, reason: in the pile,\n"
        "     expects: 2027-02-12}\n"
    )

    assert (entry.kind, entry.reason, entry.expects) == (
        EventKind.HEARD,
        "in the pile",
        date(2027, 2, 12),
    )


def test_parse_log_heard_says_what_and_no_other_entry_names_a_day() -> None:
    _, problems = parse_log(
        "log:\n"
        "  - {kind: heard, paper: faa.exemption, on: 2027-01-02}\n"
        "  - {kind: mailed, paper: faa.exemption, on: 2027-01-02, expects: 2027-02-12}\n",
        "x",
        read_demo(),
    )

    assert [str(problem) for problem in problems] == [
        "x:2:5: L03 entry 1 lacks `reason`\n  hint: add a line `reason: ...`",
        (
            "x:3:67: L42 `expects` of entry 2 belongs to what an office said, but `kind` is "
            "mailed\n"
            "  hint: move the line to an entry with `kind: heard`"
        ),
    ]


def test_parse_log_reads_how_a_mailing_went() -> None:
    """One that says nothing went by the service of the facts."""
    log = read(
        "log:\n"
        "  - {kind: mailed, paper: faa.exemption, on: 2027-01-02, service: express}\n"
        "  - {kind: mailed, paper: faa.exemption, on: 2027-01-03}\n"
    )

    assert [entry.service for entry in log] == [MailService.EXPRESS, None]


def test_parse_log_service_is_a_known_one_and_of_a_mailing() -> None:
    _, problems = parse_log(
        "log:\n"
        "  - {kind: mailed, paper: faa.exemption, on: 2027-01-02, service: pigeon}\n"
        "  - {kind: received, paper: faa.exemption, on: 2027-01-02, service: express}\n",
        "x",
        read_demo(),
    )

    assert [str(problem) for problem in problems] == [
        (
            "x:2:67: L05 `service` of entry 1 is 'pigeon'; allowed: first-class, priority, "
            "express, courier"
        ),
        (
            "x:3:69: L46 `service` of entry 2 belongs to a mailing, but `kind` is received\n"
            "  hint: move the line to an entry with `kind: mailed`"
        ),
    ]


def test_parse_log_empty_list() -> None:
    assert read("log: []\n") == ()


def test_parse_log_without_text_or_list() -> None:
    assert [problem.code for problem in parse_log("", "x", read_demo())[1]] == ["S004"]
    assert [problem.code for problem in parse_log("{}", "x", read_demo())[1]] == ["L03"]
    assert [problem.code for problem in parse_log("- a", "x", read_demo())[1]] == ["L01"]


def test_parse_log_gives_no_entries_when_one_is_wrong() -> None:
    text = (
        "log:\n"
        "  - {kind: mailed, paper: faa.exemption, on: 2027-01-02}\n"
        "  - {kind: mailed, paper: faa.exemption}\n"
    )
    entries, problems = parse_log(text, "x", read_demo())

    assert entries == ()
    assert [problem.code for problem in problems] == ["L03"]


def test_parse_log_withdrawal_needs_its_target() -> None:
    _, problems = parse_log("log:\n  - {kind: withdrawn, on: 2027-01-02}\n", "x", read_demo())

    assert [str(problem).splitlines()[0] for problem in problems] == [
        "x:2:5: L03 entry 1 lacks `withdraws`"
    ]
