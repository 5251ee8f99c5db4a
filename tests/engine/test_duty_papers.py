"""Which paper's own terms count for a duty, and what a held paper asks for that no job needs.

The papers, their numbers and their terms are invented; the rule's 24 hours and 5 federal working
days are those of the table's rows.
"""

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty, DutyBook
from compliance.engine.duty_ground import make_ground
from compliance.engine.duty_papers import DutyPapers
from compliance.engine.duty_terms import THE_RULE
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import RulesTable

ZONE = ZoneInfo("America/Chicago")
OPERATION = Holder(kind=HolderKind.OPERATION)
AUTHORIZATION = "faa.airspace-authorization"
NOTAM = f"{AUTHORIZATION}.notam"
MONTHLY = f"{AUTHORIZATION}.monthly-report"
TWO_HOURS = OwnTerm(duty=NOTAM, document="item 7", count=2, unit="hours")
NO_REPORT = OwnTerm(duty=MONTHLY, document="no such condition", applies=False)


def paper(number: str, first: date | None, last: date | None, *terms: OwnTerm) -> HeldPaper:
    return HeldPaper(
        paper=AUTHORIZATION,
        holder=OPERATION,
        number=number,
        issued_on=first,
        valid_through=last,
        own_terms=terms,
    )


OLD = paper("OLD", date(2025, 4, 10), date(2027, 4, 10), TWO_HOURS, NO_REPORT)
NEW = paper("NEW", date(2027, 4, 11), date(2029, 4, 10))
NOW = paper("NOW", date(2025, 4, 10), date(2027, 8, 10))
NEXT = paper("NEXT", date(2027, 8, 11), date(2029, 8, 10), TWO_HOURS)


def book(
    operation: Operation,
    table: RulesTable,
    *held: HeldPaper,
    on: date,
    events: tuple[JobEvent, ...] = (),
    log: tuple[LogEntry, ...] = (),
) -> DutyBook:
    own = replace(operation, papers=held)
    return compute_duty_book(own, table, compute_verdicts(own, table), log, events, as_of=on)


def find(made: DutyBook, duty: str, occasion: str) -> DueDuty:
    (found,) = [one for one in made.due if (one.row.id, one.occasion) == (duty, occasion)]
    return found


def list_rows(made: DutyBook) -> set[str]:
    return {one.row.id for one in made.due} | {one.row.id for one in made.undated}


def list_months(made: DutyBook) -> list[str]:
    return [one.occasion for one in (*made.older, *made.due) if one.row.id == MONTHLY]


@pytest.fixture(name="june")
def fly_at_four(demo_operation: Operation) -> Operation:
    """The demo's operation with one job, from 1 to 12 June 2027, first flight at 16:00."""
    job = replace(
        demo_operation.jobs[0],
        id="june",
        first_day=date(2027, 6, 1),
        last_day=date(2027, 6, 12),
        first_flight="16:00",
    )
    return replace(demo_operation, jobs=(job,))


@pytest.mark.parametrize("held", [(NOW, NEXT), (NEXT, NOW), (OLD, NEW), (NEW, OLD)])
def test_terms_of_a_paper_not_in_force_do_not_count(
    held: tuple[HeldPaper, ...], june: Operation, table: RulesTable
) -> None:
    """The rule's 24 hours hold on 1 June under NOW and NEW, which have no terms of their own."""
    one = find(book(june, table, *held, on=date(2027, 5, 30)), NOTAM, "june@2027-06-01")

    assert one.due_at == datetime(2027, 5, 31, 16, 0, tzinfo=ZONE)
    assert one.opens_at == datetime(2027, 5, 29, 16, 0, tzinfo=ZONE)
    assert (one.term, one.beside) == (None, ())


def test_terms_begin_and_end_with_the_days_of_their_paper(
    june: Operation, table: RulesTable
) -> None:
    """Through 10 April two hours of OLD, from 11 April the rule's 24 hours."""
    job = replace(june.jobs[0], first_day=date(2027, 4, 10), last_day=date(2027, 4, 11))
    own = replace(june, jobs=(job, replace(job, id="next", first_day=date(2027, 4, 11))))
    made = book(own, table, OLD, NEW, on=date(2027, 4, 1))

    last = find(made, NOTAM, "june@2027-04-10")
    first = find(made, NOTAM, "next@2027-04-11")

    assert last.due_at == datetime(2027, 4, 10, 14, 0, tzinfo=ZONE)
    assert last.term == TWO_HOURS
    assert first.due_at == datetime(2027, 4, 10, 16, 0, tzinfo=ZONE)
    assert first.term is None


def test_report_not_asked_for_by_the_old_paper_is_asked_for_by_the_new_one(
    june: Operation, table: RulesTable
) -> None:
    """In April both were in force for some days, so the stricter one counts for the month."""
    made = book(june, table, OLD, NEW, on=date(2027, 6, 1))
    april = find(made, MONTHLY, "2027-04")

    assert list_months(made)[:2] == ["2027-04", "2027-05"]
    assert april.beside == ("no such condition, which does not ask for it",)
    assert find(made, MONTHLY, "2027-05").beside == ()


def test_months_of_every_paper_are_reported(june: Operation, table: RulesTable) -> None:
    """The months of the paper before are not forgotten, nor is a gap between two filled."""
    early = paper("A", date(2026, 7, 1), date(2026, 9, 10))
    late = paper("B", date(2027, 2, 3), date(2029, 2, 2))

    made = book(june, table, early, late, on=date(2027, 3, 1))

    months = [one for one in list_months(made) if one < "2027-04"]
    assert months == ["2026-07", "2026-08", "2026-09", "2027-02", "2027-03"]


def test_of_two_papers_in_force_at_once_the_stricter_counts(
    june: Operation, table: RulesTable
) -> None:
    """36 hours are stricter than 30; of several the others are named."""
    first = OwnTerm(duty=NOTAM, document="north, item 7", count=36, unit="hours")
    second = OwnTerm(duty=NOTAM, document="south, item 2", count=30, unit="hours")
    north = paper("N", date(2026, 6, 1), date(2028, 5, 31), first)
    south = paper("S", date(2026, 6, 1), date(2028, 5, 31), second)

    for held in ((north, south), (south, north)):
        one = find(book(june, table, *held, on=date(2027, 5, 30)), NOTAM, "june@2027-06-01")
        assert one.due_at == datetime(2027, 5, 31, 4, 0, tzinfo=ZONE)
        assert (one.term, one.beside) == (first, ("south, item 2",))


@pytest.mark.parametrize(
    ("hours", "due", "term", "beside", "not_before"),
    [
        (2, datetime(2027, 5, 31, 16, 0, tzinfo=ZONE), False, ("item 7",), ""),
        (30, datetime(2027, 5, 31, 10, 0, tzinfo=ZONE), True, (), THE_RULE),
    ],
)
def test_paper_without_terms_in_force_at_once_keeps_to_the_rule(
    hours: int,
    due: datetime,
    term: bool,
    beside: tuple[str, ...],
    not_before: str,
    june: Operation,
    table: RulesTable,
) -> None:
    """Each of the two must be kept to: the earlier end, and the rule's opening 72 hours before."""
    own = replace(TWO_HOURS, count=hours)
    held = (paper("N", date(2026, 6, 1), date(2028, 5, 31), own), NOW)

    one = find(book(june, table, *held, on=date(2027, 5, 30)), NOTAM, "june@2027-06-01")

    assert (one.due_at, one.term is not None, one.beside) == (due, term, beside)
    assert (one.opens_at, one.not_before) == (datetime(2027, 5, 29, 16, 0, tzinfo=ZONE), not_before)


def window(document: str, count: int, opens: int, unit: str = "hours") -> OwnTerm:
    return OwnTerm(duty=NOTAM, document=document, count=count, unit=unit, opens=opens)


BIG, SMALL = window("big", 24, 168), window("small", 2, 48)


@pytest.mark.parametrize(
    ("terms", "opens", "due", "said"),
    [
        # Not before 48 hours of the one, through 24 hours of the other, before 1 June 16:00.
        ((BIG, SMALL), "30T16:00", "31T16:00", ("big", "small", (), ())),
        ((SMALL, BIG), "30T16:00", "31T16:00", ("big", "small", (), ())),
        # One moment is shared, and one hour more leaves none.
        ((BIG, window("edge", 2, 24)), "31T16:00", "31T16:00", ("big", "edge", (), ())),
        ((BIG, window("late", 2, 23)), "25T16:00", "31T16:00", ("big", "", (), ("late",))),
        (
            (BIG, SMALL, window("late", 2, 23)),
            "30T16:00",
            "31T16:00",
            ("big", "small", (), ("late",)),
        ),
        # A wider window and one without an opening are less strict throughout.
        (
            (window("core", 24, 48), window("wide", 2, 72), window("free", 1, 0)),
            "30T16:00",
            "31T16:00",
            ("core", "", ("wide", "free"), ()),
        ),
        # Days and hours: from the day before on, and through 24 hours before.
        (
            (BIG, window("days", 0, 1, "days")),
            "31",
            "31T16:00",
            ("big", "days", (), ()),
        ),
    ],
)
def test_window_suits_every_paper_in_force(
    terms: tuple[OwnTerm, ...],
    opens: str,
    due: str,
    said: tuple[str, str, tuple[str, ...], tuple[str, ...]],
    june: Operation,
    table: RulesTable,
) -> None:
    """The windows are invented; hours are counted back from 1 June 2027 16:00 in Chicago."""
    held = tuple(paper(one.document, date(2026, 6, 1), date(2028, 5, 31), one) for one in terms)
    one = find(book(june, table, *held, on=date(2027, 5, 20)), NOTAM, "june@2027-06-01")

    first = one.opens_at.replace(tzinfo=None) if one.opens_at is not None else one.opens_on
    assert first is not None
    assert one.due_at is not None
    assert one.term is not None
    assert first.isoformat() == f"2027-05-{opens}{':00' if 'T' in opens else ''}"
    assert one.due_at.replace(tzinfo=None).isoformat() == f"2027-05-{due}:00"
    assert (one.term.document, one.not_before, one.beside, one.apart) == said


GRANT_REPORT = "faa.exemption.monthly-report"


@pytest.mark.parametrize(
    ("grant", "spoken", "asked"),
    [
        # In force on every day of July, or on every one on which the grant is.
        ((None, "2028-03-31"), [("2026-03-01", "2027-07-31")], None),
        ((None, "2027-07-02"), [("2026-03-01", "2027-07-02")], None),
        (("2027-07-20", "2028-03-31"), [("2027-07-20", "2027-08-31")], None),
        ((None, "2028-03-31"), [("2026-03-01", "2027-07-15"), ("2027-07-16", "2028-01-01")], None),
        # A single day is left out: the first, the last, one between.
        ((None, "2028-03-31"), [("2027-07-02", "2028-01-01")], True),
        ((None, "2028-03-31"), [("2026-03-01", "2027-07-30")], True),
        ((None, "2028-03-31"), [("2026-03-01", "2027-07-15"), ("2027-07-17", "2028-01-01")], True),
        # Not in force in July at all.
        ((None, "2028-03-31"), [("2026-03-01", "2027-06-30")], False),
    ],
)
def test_another_kind_of_paper_silences_a_month_on_all_its_days_only(
    grant: tuple[str | None, str],
    spoken: list[tuple[str, str]],
    asked: bool | None,
    june: Operation,
    table: RulesTable,
) -> None:
    """None: no report of July; else whether the paper that does not ask for it is named."""
    none = OwnTerm(duty=GRANT_REPORT, document="of the grant", applies=False)
    begins, ends = grant
    exemption = replace(
        paper("E", date.fromisoformat(begins) if begins else None, date.fromisoformat(ends)),
        paper="faa.exemption",
    )
    held = [
        paper(f"P{at}", date.fromisoformat(first), date.fromisoformat(last), none)
        for at, (first, last) in enumerate(spoken)
    ]

    made = book(june, table, exemption, *held, on=date(2027, 6, 1))

    july = [one.beside for one in made.due if one.id == f"{GRANT_REPORT}/2027-07"]
    named = ("of the grant, which does not ask for it",)
    assert july == ([] if asked is None else [named if asked else ()])


def test_grant_that_the_file_has_too_is_one_paper(june: Operation, table: RulesTable) -> None:
    """Its terms count, also when the log has the grant without its number."""
    held = paper("N", date(2026, 6, 1), date(2028, 5, 31), TWO_HOURS)
    grant = LogEntry(
        number=1,
        kind=EventKind.GRANTED,
        paper=AUTHORIZATION,
        holder=OPERATION,
        happened_on=date(2026, 6, 4),
        issued_on=date(2026, 6, 1),
        valid_through=date(2028, 5, 31),
    )
    for logged in (grant, replace(grant, issued_on=None, valid_through=None)):
        made = book(june, table, held, on=date(2027, 5, 30), log=(logged,))
        assert find(made, NOTAM, "june@2027-06-01").term == TWO_HOURS


def test_renewal_under_the_same_number_has_no_terms_of_the_paper_before(
    june: Operation, table: RulesTable
) -> None:
    held = paper("N", date(2025, 6, 1), date(2027, 5, 31), TWO_HOURS)
    grant = LogEntry(
        number=1,
        kind=EventKind.GRANTED,
        paper=AUTHORIZATION,
        holder=OPERATION,
        happened_on=date(2027, 5, 1),
        paper_number="N",
        issued_on=date(2027, 6, 1),
        valid_through=date(2029, 5, 31),
    )

    made = book(june, table, held, on=date(2027, 5, 30), log=(grant,))

    assert find(made, NOTAM, "june@2027-06-01").term is None


def make_light(operation: Operation) -> Operation:
    """Give the operation with its light machine alone, so that no job needs the authorization."""
    job = replace(operation.jobs[0], aircraft=("tg18",))
    light = tuple(one for one in operation.aircraft if one.id == "tg18")
    return replace(operation, aircraft=light, jobs=(job,))


def test_paper_that_no_job_needs_is_reported_while_it_is_in_force(
    june: Operation, table: RulesTable
) -> None:
    """Its monthly report goes on, marked; the notice before a flight of another machine does not.

    5 federal working days after 31 May 2027, Memorial Day (5 USC 6103): 7 June.
    """
    made = book(make_light(june), table, NOW, on=date(2027, 6, 1))
    may = find(made, MONTHLY, "2027-05")

    assert (may.due_on, may.needed) == (date(2027, 6, 7), False)
    assert may.about == "the month of May 2027, flights or none (held, no job needs it)"
    assert NOTAM not in list_rows(made)
    assert f"{AUTHORIZATION}.accident-report" not in {one.row.id for one in made.undated}


def test_paper_that_ran_out_and_no_job_needs_starts_no_clock(
    june: Operation, table: RulesTable
) -> None:
    """Months in force stay due; nothing that happens later is told for it."""
    gone = replace(NOW, valid_through=date(2027, 3, 10))
    made = book(make_light(june), table, gone, on=date(2027, 6, 1))

    assert list_months(made)[-1] == "2027-03"
    assert {row for row in list_rows(made) if row.startswith(AUTHORIZATION)} == {MONTHLY}


@pytest.mark.parametrize(("day", "told"), [(date(2027, 3, 10), True), (date(2027, 3, 11), False)])
def test_move_is_told_for_a_licence_held_that_no_job_needs(
    day: date, told: bool, june: Operation, table: RulesTable
) -> None:
    """On its last day in force, not on the day after; the row counts 30 days."""
    licence = HeldPaper(
        paper="tx.commercial-applicator",
        holder=Holder(kind=HolderKind.PILOT, ref="odile"),
        issued_on=date(2026, 3, 11),
        valid_through=date(2027, 3, 10),
    )
    move = JobEvent(number=1, kind=JobEventKind.MOVED, on=day, pilot="odile")

    made = book(june, table, licence, on=day, events=(move,))

    due = [one for one in made.due if one.row.id == "tx.commercial-applicator.address-change"]
    assert [(one.holder.ref, one.needed) for one in due] == ([("odile", False)] if told else [])


def test_conditions_on_the_machine_and_the_operation_hold_without_a_job(
    june: Operation, table: RulesTable
) -> None:
    """Only from a P.O. box is a move of the place told apart from that of the address."""
    held = HeldPaper(
        paper="faa.registration-n",
        holder=Holder(kind=HolderKind.AIRCRAFT, ref="tg46"),
        issued_on=date(2026, 3, 1),
        valid_through=date(2033, 3, 31),
    )
    job = replace(june.jobs[0], aircraft=("tg18",))
    asked = {}
    for lines in (("P.O. Box 0", "Burrell Crossing, NE 00000"), ("1 Invented Road", "NE 00000")):
        address = replace(june.mailing_address, lines=lines)
        own = replace(june, jobs=(job,), mailing_address=address)
        made = book(own, table, held, on=date(2027, 6, 1))
        asked[lines[0]] = {one.row.id for one in made.undated if not one.needed}

    assert "faa.registration-n.location-change" in asked["P.O. Box 0"]
    assert "faa.registration-n.location-change" not in asked["1 Invented Road"]
    assert "faa.registration-n.address-change" in asked["1 Invented Road"]


def test_paper_kept_alive_by_its_renewal_is_in_force(
    demo_operation: Operation, table: RulesTable
) -> None:
    """The row says that a renewal filed in time keeps the permit until it is decided."""
    (row,) = (one for one in table.papers if one.id == "ms.pilot")
    assert row.renewal is not None
    assert row.renewal.carries_over
    holder = Holder(kind=HolderKind.PILOT, ref="odile")
    held = HeldPaper(
        paper=row.id,
        holder=holder,
        issued_on=date(2025, 1, 2),
        valid_through=date(2027, 1, 31),
    )
    filed = tuple(
        LogEntry(number=at, kind=kind, paper=row.id, holder=holder, happened_on=date(2026, 6, 1))
        for at, kind in enumerate((EventKind.MAILED, EventKind.RECEIVED), 1)
    )
    own = replace(demo_operation, papers=(held,))

    def papers_after(log: tuple[LogEntry, ...]) -> DutyPapers:
        return make_ground(own, table, (), log, (), date(2027, 3, 1)).papers

    day = date(2027, 2, 1)
    assert not papers_after(()).is_in_force(row.id, holder, day, day)
    assert papers_after(filed).is_in_force(row.id, holder, day, day)
