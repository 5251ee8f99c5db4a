"""How long a record is kept when duties to keep ask for more than the rules of records."""

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.record_keep import Kept
from compliance.engine.record_page import look_at
from compliance.engine.records import RecordRules
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import HeldPaper, Job, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.facts.products import ByAir
from compliance.facts.records import Application, UsedProduct
from compliance.rules.model import DutyKind, RulesTable
from tests.kit_records import PLAIN

CHICAGO = ZoneInfo("America/Chicago")
USED = UsedProduct(name="Thistle-Out 4", restricted_use=True, by_air=ByAir.YES)


def move(operation: Operation, state: str, *, for_hire: bool = True) -> Operation:
    """Give the operation with one job only, in a state."""
    job = operation.jobs[0]
    moved: Job = replace(job, state=state, for_hire=for_hire, restricted_use=True)
    return replace(operation, jobs=(moved,))


def write(operation: Operation, on: date, **more: object) -> Application:
    """Give the record of the operation's only job."""
    job = operation.jobs[0]
    bare = replace(
        PLAIN,
        job=job.id,
        state=job.state,
        for_hire=job.for_hire,
        aircraft=job.aircraft[0],
        pilot=job.pilots[0],
        start="",
        end="",
        products=(USED,),
        on=on,
        written_on=on,
    )
    return replace(bare, **more)  # type: ignore[arg-type] # fields by name


def fly(operation: Operation, start: datetime, end: datetime, number: int = 1) -> JobEvent:
    """Give a logged flight of the operation's only job."""
    job = operation.jobs[0]
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=start.date(),
        job=job.id,
        start=start,
        end=end,
        aircraft=job.aircraft[0],
        pilot=job.pilots[0],
        re_entry_hours=48,
    )


def keep(table: RulesTable, operation: Operation, record: Application, *flights: JobEvent) -> Kept:
    """Say until when a record is kept."""
    rules = RecordRules(table=table, operation=operation, flights=flights)
    return look_at(rules, (record,)).kept


@pytest.mark.parametrize(
    ("state", "row", "through", "known"),
    [
        ("KS", "ks.business.statement-keep", date(2031, 3, 12), False),
        ("CO", "co.commercial-business.record-keep", date(2031, 3, 12), False),
        ("SD", "sd.record.commercial", date(2031, 3, 12), True),
        ("OK", "ok.business.record-keep", date(2030, 3, 12), False),
    ],
)
def test_duty_that_asks_for_longer_wins(
    table: RulesTable, demo_operation: Operation, state: str, row: str, through: date, known: bool
) -> None:
    """Sources: ARSD 12:56:07:03 (36 months); those of KS, CO and OK are in the table from memory.

    A time from memory holds a record back, but does not let it go.
    """
    operation = move(demo_operation, state)

    kept = keep(table, operation, write(operation, date(2028, 3, 12)))

    found = kept.row.id if kept.row is not None else ""
    assert (found, kept.through, kept.state_known) == (row, through, known)


@pytest.mark.parametrize("for_hire", [True, False])
def test_no_record_may_go_before_the_last_day_of_any_duty_to_keep(
    table: RulesTable, demo_operation: Operation, for_hire: bool
) -> None:
    """In every state of the table, for a flight past midnight whose interval ends days later."""
    start = datetime(2028, 3, 31, 22, 30, tzinfo=CHICAGO)
    end = datetime(2028, 4, 1, 0, 40, tzinfo=CHICAGO)
    compared = 0
    for state in sorted(table.states):
        operation = move(demo_operation, state, for_hire=for_hire)
        flight = fly(operation, start, end)
        book = compute_duty_book(
            operation,
            table,
            compute_verdicts(operation, table),
            (),
            (flight,),
            as_of=date(2028, 4, 2),
        )
        due = [
            one
            for one in book.due
            if one.row.kind is DutyKind.KEEP_RECORD and one.occasion == "flight-1"
        ]
        for day in (start.date(), end.date()):
            kept = keep(table, operation, write(operation, day), flight)
            early = [one.id for one in due if kept.through is None or kept.through < one.due_on]
            assert early == []
            compared += len(due)
    assert compared > 100


def test_own_document_lengthens_and_never_shortens(
    table: RulesTable, demo_operation: Operation
) -> None:
    """A held paper with a time of its own for a duty to keep, longer or shorter than the rule."""
    operation = move(demo_operation, "SD")
    record = write(operation, date(2028, 3, 12))
    found = {}
    for months in (60, 1):
        term = OwnTerm(
            duty="sd.commercial-applicator.record-keep",
            document="invented letter",
            count=months,
            unit="months",
        )
        paper: HeldPaper = replace(operation.papers[0], own_terms=(term,))
        own = replace(operation, papers=(paper, *operation.papers[1:]))
        found[months] = keep(table, own, record).through

    assert found == {60: date(2033, 3, 12), 1: date(2031, 3, 12)}


@pytest.mark.parametrize(
    ("day", "through"),
    [
        (date(2028, 3, 9), date(2031, 3, 9)),
        (date(2028, 3, 10), date(2033, 3, 10)),
        (date(2028, 3, 12), date(2033, 3, 12)),
        (date(2028, 3, 13), date(2031, 3, 13)),
    ],
)
def test_longer_time_counts_for_work_on_the_days_of_its_paper(
    day: date, through: date, table: RulesTable, demo_operation: Operation
) -> None:
    """60 months of a letter in force from 10 to 12 March; else the three years of the rule."""
    operation = move(demo_operation, "SD")
    term = OwnTerm(
        duty="sd.commercial-applicator.record-keep",
        document="invented letter",
        count=60,
        unit="months",
    )
    paper = replace(
        operation.papers[0],
        issued_on=date(2028, 3, 10),
        valid_through=date(2028, 3, 12),
        own_terms=(term,),
    )
    own = replace(operation, papers=(paper,))

    assert keep(table, own, write(operation, day)).through == through


def test_flight_of_other_work_changes_nothing(table: RulesTable, demo_operation: Operation) -> None:
    """A flight of another day, job or machine is no flight of the record."""
    operation = move(demo_operation, "SD")
    record = write(operation, date(2028, 3, 12), aircraft="other")
    late = fly(
        operation,
        datetime(2028, 3, 12, 23, 0, tzinfo=CHICAGO),
        datetime(2028, 3, 13, 1, 0, tzinfo=CHICAGO),
    )

    assert keep(table, operation, record, late).through == date(2031, 3, 12)
    same = replace(record, aircraft=late.aircraft)
    assert keep(table, operation, same, late).through == date(2031, 3, 13)
    assert keep(table, operation, same, replace(late, job="other")).through == date(2031, 3, 12)


def test_machine_that_was_sold_does_not_free_its_records(
    table: RulesTable, demo_operation: Operation
) -> None:
    """A record names a machine and a pilot that are in the file no more."""
    operation = move(demo_operation, "KS")
    record = write(operation, date(2028, 3, 12), aircraft="sold", pilot="left")

    assert keep(table, operation, record).through == date(2031, 3, 12)
