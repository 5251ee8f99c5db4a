"""Duties of the demo's invented season; how each row counts is checked in tests/published."""

from dataclasses import replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

import pytest

from compliance.engine.applies import compute_verdicts
from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty, DutyBook, DutyState
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import HeldPaper, Holder, HolderKind, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import RulesTable

ZONE = ZoneInfo("America/Chicago")
OPERATION = Holder(kind=HolderKind.OPERATION)
NOTAM = "faa.airspace-authorization.notam"
MONTHLY = "faa.airspace-authorization.monthly-report"
COA = HeldPaper(
    paper="faa.airspace-authorization",
    holder=OPERATION,
    issued_on=date(2027, 3, 10),
    valid_through=date(2029, 3, 10),
)


def flight(number: int, day: int, job: str = "pasture-ne", **other: object) -> JobEvent:
    fields: dict[str, object] = {
        "start": datetime(2027, 5, day, 6, 10, tzinfo=ZONE),
        "end": datetime(2027, 5, day, 7, 45, tzinfo=ZONE),
        "aircraft": "tg46",
        "pilot": "odile",
    }
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=date(2027, 5, day),
        job=job,
        **(fields | other),  # type: ignore[arg-type] # the fields of an event
    )


def did(number: int, duty: str, occasion: str, **other: object) -> JobEvent:
    return JobEvent(
        number=number,
        kind=JobEventKind.DID,
        on=date(2027, 5, 26),
        duty=duty,
        occasion=occasion,
        **other,  # type: ignore[arg-type] # the fields of an event
    )


def book(
    operation: Operation,
    table: RulesTable,
    *events: JobEvent,
    on: date,
    log: tuple[LogEntry, ...] = (),
    now: datetime | None = None,
) -> DutyBook:
    verdicts = compute_verdicts(operation, table)
    return compute_duty_book(operation, table, verdicts, log, events, as_of=on, now=now)


def find(made: DutyBook, duty: str, occasion: str = "") -> DueDuty:
    (found,) = [one for one in made.due if one.row.id == duty and occasion in {"", one.occasion}]
    return found


def test_before_a_job_only_its_first_flight_is_known(
    demo_operation: Operation, table: RulesTable
) -> None:
    """24 to 72 hours before a start at any hour of Monday: all of Saturday is right."""
    made = book(demo_operation, table, on=date(2027, 1, 11))
    notams = [(one.id, one.opens_on, one.due_on) for one in made.due if one.row.id == NOTAM]

    assert notams == [
        (f"{NOTAM}/pasture-ne@2027-05-24", date(2027, 5, 22), date(2027, 5, 22)),
        (f"{NOTAM}/pasture-sd@2027-06-14", date(2027, 6, 12), date(2027, 6, 12)),
        (f"{NOTAM}/cover-crop@2027-08-23", date(2027, 8, 21), date(2027, 8, 21)),
    ]
    assert find(made, NOTAM, "pasture-ne@2027-05-24").any_hour
    assert find(made, NOTAM, "pasture-ne@2027-05-24").due_at is None


def test_hour_of_the_first_flight_gives_the_hours_of_the_window(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Worked example of the shared facts: start 07:00 on 3 May, from 30 April to 2 May, 07:00."""
    job = replace(demo_operation.jobs[0], first_day=date(2027, 5, 3), first_flight="07:00")
    made = book(replace(demo_operation, jobs=(job,)), table, on=date(2027, 4, 1))

    one = find(made, NOTAM)

    assert one.opens_at == datetime(2027, 4, 30, 7, tzinfo=ZONE)
    assert one.due_at == datetime(2027, 5, 2, 7, tzinfo=ZONE)
    assert (one.any_hour, one.state) == (False, DutyState.OPEN)


def test_within_a_job_the_soonest_flight_that_can_still_be_told_is_asked_for(
    demo_operation: Operation, table: RulesTable
) -> None:
    made = book(demo_operation, table, on=date(2027, 5, 26))

    assert find(made, NOTAM, "pasture-ne@2027-05-28").due_on == date(2027, 5, 26)
    assert find(made, "epa.label-check", "pasture-ne@2027-05-26").due_on == date(2027, 5, 26)


def test_last_days_of_a_job_have_no_flight_wholly_in_time(
    demo_operation: Operation, table: RulesTable
) -> None:
    """The job ends on 12 June: today is too late, of tomorrow the late starts are in time."""
    made = book(demo_operation, table, on=date(2027, 6, 11))
    states = [(one.occasion, str(one.state)) for one in made.due if one.row.id == NOTAM]

    assert states == [
        ("pasture-ne@2027-06-11", "overdue"),
        ("pasture-ne@2027-06-12", "late-for-some"),
        ("pasture-sd@2027-06-14", "open"),
        ("cover-crop@2027-08-23", "open"),
    ]


SOME, LATE, OPEN = "late-for-some", "overdue", ("open", "")


# The windows are counted in hours that really pass, as Fed. R. Civ. P. 6(a)(2) does; the offsets of
# the clock are those of the IANA table: on 7 November 2027 a day of Nebraska has 25 hours, on
# 14 March 2027 it has 23. Each answer was counted by hand.
@pytest.mark.parametrize(
    ("hours", "now", "states"),
    [
        # 12 hours: told at 06:10 a start from 18:10 on is in time today.
        (12, "2027-05-26 06:10", {26: (SOME, "26 18:10"), 27: (SOME, "26 18:10"), 28: OPEN}),
        (12, "2027-05-26 11:59", {26: (SOME, "26 23:59"), 27: (SOME, "26 23:59"), 28: OPEN}),
        (12, "2027-05-26 12:00", {26: (LATE, "27 00:00"), 27: (SOME, "27 00:00"), 28: OPEN}),
        # 24 hours: no start today, tomorrow from the same time of day on.
        (24, "2027-05-26 06:10", {26: (LATE, "27 06:10"), 27: (SOME, "27 06:10"), 28: OPEN}),
        # 48 hours: tomorrow is wholly too late and is said so.
        (
            48,
            "2027-05-26 06:10",
            {26: (LATE, "28 06:10"), 27: (LATE, "28 06:10"), 28: (SOME, "28 06:10"), 29: OPEN},
        ),
        # A day of 25 hours: told at 00:10 a start at 23:10 of the same day is 24 hours later.
        (24, "2027-11-07 00:10", {7: (SOME, "7 23:10"), 8: (SOME, "7 23:10"), 9: OPEN}),
        (24, "2027-11-07 00:59", {7: (SOME, "7 23:59"), 8: (SOME, "7 23:59"), 9: OPEN}),
        (24, "2027-11-07 06:10", {7: (LATE, "8 06:10"), 8: (SOME, "8 06:10"), 9: OPEN}),
        # Told the evening before the 23 hours of 14 March: an hour later on the clock.
        (24, "2027-03-13 18:10", {13: (LATE, "14 19:10"), 14: (SOME, "14 19:10"), 15: OPEN}),
        # 48 hours over it: the whole of 14 March is too late, 15 March from 19:10 on.
        (
            48,
            "2027-03-13 18:10",
            {13: (LATE, "15 19:10"), 14: (LATE, "15 19:10"), 15: (SOME, "15 19:10"), 16: OPEN},
        ),
    ],
)
def test_start_that_is_still_in_time_is_counted_from_now(
    hours: int,
    now: str,
    states: dict[int, tuple[str, str]],
    demo_operation: Operation,
    table: RulesTable,
) -> None:
    moment = datetime.fromisoformat(now).replace(tzinfo=ZONE)
    job = replace(demo_operation.jobs[0], first_day=date(2027, 1, 1), last_day=date(2027, 12, 31))
    duties = tuple(
        replace(row, count=hours, opens=0) if row.id == NOTAM else row for row in table.duties
    )
    made = book(
        replace(demo_operation, jobs=(job,)),
        replace(table, duties=duties),
        on=moment.date(),
        now=moment,
    )
    found = {
        one.event_on.day: (
            str(one.state),
            f"{one.start_from.day} {one.start_from:%H:%M}" if one.start_from else "",
        )
        for one in made.due
        if one.row.id == NOTAM
    }

    assert found == states


def test_known_hour_is_late_by_the_clock_and_says_the_start_that_is_in_time(
    demo_operation: Operation, table: RulesTable
) -> None:
    """24 hours before 06:30: at 06:30 sharp tomorrow's notice is in time, a minute later not."""
    job = replace(demo_operation.jobs[0], first_flight="06:30")
    alone = replace(demo_operation, jobs=(job,))

    def look(minute: int) -> dict[int, str]:
        now = datetime(2027, 5, 26, 6, minute, tzinfo=ZONE)
        made = book(alone, table, on=now.date(), now=now)
        return {
            one.event_on.day: f"{one.state} {one.start_from:%d %H:%M}"
            if one.start_from
            else str(one.state)
            for one in made.due
            if one.row.id == NOTAM
        }

    assert look(30) == {26: "overdue 27 06:30", 27: "open"}
    assert look(31) == {26: "overdue 27 06:31", 27: "overdue 27 06:31", 28: "open"}


def test_missed_notices_of_the_next_three_days_are_named(
    demo_operation: Operation, table: RulesTable
) -> None:
    """96 hours before 06:30: on the 26th the flights up to the 29th cannot be told of in time.

    The 30th was to be told of at 06:30 on the 26th; that of the 31st is wholly in time. Counted by
    hand.
    """
    job = replace(demo_operation.jobs[0], first_flight="06:30")
    duties = tuple(
        replace(row, count=96, opens=0) if row.id == NOTAM else row for row in table.duties
    )
    now = datetime(2027, 5, 26, 6, 31, tzinfo=ZONE)
    made = book(
        replace(demo_operation, jobs=(job,)),
        replace(table, duties=duties),
        on=now.date(),
        now=now,
    )
    found = [(one.event_on.day, str(one.state)) for one in made.due if one.row.id == NOTAM]

    assert found == [(26, LATE), (27, LATE), (28, LATE), (29, LATE), (31, "open")]


def test_hour_that_comes_twice_says_so(demo_operation: Operation, table: RulesTable) -> None:
    """Clocks of Nebraska go back on 7 November 2027 (IANA table): 01:30 comes twice that day."""
    job = replace(
        demo_operation.jobs[0],
        first_day=date(2027, 11, 7),
        last_day=date(2027, 11, 8),
        first_flight="01:30",
    )
    made = book(replace(demo_operation, jobs=(job,)), table, on=date(2027, 11, 1))
    found = [one for one in made.due if one.row.id == NOTAM]

    assert [one.hour_fault for one in found] == [
        (
            "01:30 comes twice on Sun 7 Nov 2027, as clocks go back, so no hour is taken for that "
            "day; count from the one you mean"
        )
    ]
    assert found[0].any_hour


def test_seconds_of_now_make_the_first_start_a_minute_later(
    demo_operation: Operation, table: RulesTable
) -> None:
    now = datetime(2027, 5, 26, 6, 10, 1, tzinfo=ZONE)
    made = book(demo_operation, table, on=now.date(), now=now)

    one = find(made, NOTAM, "pasture-ne@2027-05-26")

    assert one.start_from == datetime(2027, 5, 27, 6, 11, tzinfo=ZONE)


def test_own_terms_override_the_table_and_say_where_they_stand(
    demo_operation: Operation, table: RulesTable
) -> None:
    """48 hours before any start on Monday ends with Friday; 168 hours open on Tuesday."""
    terms = (
        OwnTerm(duty=NOTAM, document="authorization, item 7", count=48, unit="hours", opens=168),
        OwnTerm(duty="faa.exemption.monthly-report", document="grant", applies=False),
    )
    held = replace(COA, own_terms=terms)
    grant = replace(COA, paper="faa.exemption")
    made = book(replace(demo_operation, papers=(held, grant)), table, on=date(2027, 4, 1))

    one = find(made, NOTAM, "pasture-ne@2027-05-24")
    every = {*(due.row.id for due in made.due), *(wait.row.id for wait in made.undated)}

    assert (one.opens_on, one.due_on) == (date(2027, 5, 18), date(2027, 5, 21))
    assert one.term == terms[0]
    assert (one.row.count, one.row.opens) == (48, 168)
    assert "faa.exemption.monthly-report" not in every


def test_window_without_a_whole_day_says_so_by_having_no_first_day(
    demo_operation: Operation, table: RulesTable
) -> None:
    term = OwnTerm(duty=NOTAM, document="letter", count=24, unit="hours", opens=36)
    held = replace(COA, own_terms=(term,))
    made = book(replace(demo_operation, papers=(held,)), table, on=date(2027, 4, 1))

    one = find(made, NOTAM, "pasture-ne@2027-05-24")

    assert (one.opens_on, one.due_on, one.any_hour) == (None, date(2027, 5, 22), True)


def test_term_of_a_pilot_speaks_for_that_pilot_alone(
    demo_operation: Operation, table: RulesTable
) -> None:
    duty = "ne.commercial-applicator.record"
    term = OwnTerm(duty=duty, document="letter", count=24, unit="hours")
    papers = tuple(
        replace(held, own_terms=(term,)) if held.paper == "ne.commercial-applicator" else held
        for held in demo_operation.papers
    )
    own = replace(demo_operation, papers=papers)
    made = book(own, table, flight(1, 24), flight(2, 25, pilot="wren"), on=date(2027, 5, 25))

    odile, wren = find(made, duty, "flight-1"), find(made, duty, "flight-2")

    assert odile.due_at == datetime(2027, 5, 25, 7, 45, tzinfo=ZONE)
    assert wren.due_at == datetime(2027, 5, 27, 7, 45, tzinfo=ZONE)
    assert (odile.term, wren.term) == (term, None)


def test_flight_starts_only_the_duties_of_its_state_aircraft_and_pilot(
    demo_operation: Operation, table: RulesTable
) -> None:
    """A seeding job has no pesticide record; a Nebraska flight no South Dakota one."""
    made = book(
        demo_operation,
        table,
        flight(1, 24),
        flight(2, 25, job="cover-crop"),
        on=date(2027, 5, 25),
    )
    started = {
        number: sorted(one.id for one in made.due if one.occasion == f"flight-{number}")
        for number in (1, 2)
    }

    assert started[1] == [
        "epa.customer-copy/flight-1",
        "epa.restricted-use-record-keep/flight-1",
        "epa.restricted-use-record/flight-1",
        "epa.worker-posting/flight-1",
        "faa.ag-operator.records/flight-1",
        "ne.commercial-applicator.record-keep:odile/flight-1",
        "ne.commercial-applicator.record:odile/flight-1",
    ]
    assert started[2] == ["faa.ag-operator.records/flight-2"]


def test_withdrawn_flight_starts_nothing(demo_operation: Operation, table: RulesTable) -> None:
    gone = JobEvent(number=2, kind=JobEventKind.WITHDRAWN, on=date(2027, 5, 26), withdraws=1)
    made = book(demo_operation, table, flight(1, 24), gone, on=date(2027, 5, 26))

    assert [one.id for one in made.due if one.occasion == "flight-1"] == []


@pytest.mark.parametrize(
    ("now", "state"),
    [
        (datetime(2027, 5, 25, 7, 45, tzinfo=ZONE), DutyState.OPEN),
        (datetime(2027, 5, 25, 7, 46, tzinfo=ZONE), DutyState.OVERDUE),
        (None, DutyState.OPEN),
    ],
)
def test_hours_are_held_to_the_minute_when_the_minute_is_known(
    now: datetime | None, state: DutyState, demo_operation: Operation, table: RulesTable
) -> None:
    made = book(demo_operation, table, flight(1, 24), on=date(2027, 5, 25), now=now)

    assert find(made, "epa.worker-posting").state is state


def test_month_is_reported_for_every_month_held_flown_or_not(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Due 5 working days after each month: 7 April and 7 May 2027 (5 USC 6103, no holiday near)."""
    own = replace(demo_operation, papers=(COA,))
    made = book(own, table, on=date(2027, 5, 10))
    months = [(one.occasion, one.due_on, one.state) for one in made.due if one.row.id == MONTHLY]

    assert months[:3] == [
        ("2027-03", date(2027, 4, 7), DutyState.OVERDUE),
        ("2027-04", date(2027, 5, 7), DutyState.OVERDUE),
        ("2027-05", date(2027, 6, 7), DutyState.OPEN),
    ]
    assert len(months) == 15  # March 2027 to 13 months ahead


def test_months_end_with_the_paper(demo_operation: Operation, table: RulesTable) -> None:
    own = replace(demo_operation, papers=(replace(COA, valid_through=date(2027, 6, 2)),))
    made = book(own, table, on=date(2027, 5, 10))

    assert [one.occasion for one in made.due if one.row.id == MONTHLY] == [
        "2027-03",
        "2027-04",
        "2027-05",
        "2027-06",
    ]


def test_ticking_one_month_and_those_before(demo_operation: Operation, table: RulesTable) -> None:
    own = replace(demo_operation, papers=(COA,))
    made = book(own, table, did(1, MONTHLY, "2027-04", and_before=True), on=date(2027, 5, 26))
    states = {one.occasion: one.state for one in made.due if one.row.id == MONTHLY}

    assert [states[month] for month in ("2027-03", "2027-04", "2027-05")] == [
        DutyState.DONE,
        DutyState.DONE,
        DutyState.OPEN,
    ]
    assert find(made, MONTHLY, "2027-03").done_on == date(2027, 5, 26)


def test_flights_before_the_tenth_are_before_it(
    demo_operation: Operation, table: RulesTable
) -> None:
    """Numbers count as numbers: the ninth flight is before the tenth, the eleventh is not."""
    flights = [flight(number, 24) for number in range(1, 12)]
    duty = "epa.worker-posting"
    made = book(
        demo_operation,
        table,
        *flights,
        did(12, duty, "flight-10", and_before=True),
        on=date(2027, 5, 24),
    )

    done = [one.occasion for one in made.due if one.row.id == duty and one.done_on is not None]

    assert done == [f"flight-{number}" for number in range(1, 11)]


def test_posting_stays_up_from_the_end_of_the_interval(
    demo_operation: Operation, table: RulesTable
) -> None:
    """40 CFR 170.311(b): 30 days after the restricted-entry interval; 20 hours end on 25 May."""
    made = book(demo_operation, table, flight(1, 24, re_entry_hours=20), on=date(2027, 5, 25))

    one = find(made, "epa.worker-posting-up")

    assert (one.event_on, one.due_on) == (date(2027, 5, 25), date(2027, 6, 24))
    assert one.state is DutyState.RUNNING


def test_move_of_a_pilot_is_no_move_of_the_operation(
    demo_operation: Operation, table: RulesTable
) -> None:
    moved = JobEvent(number=1, kind=JobEventKind.MOVED, on=date(2027, 6, 1), pilot="wren")
    made = book(demo_operation, table, moved, on=date(2027, 6, 2))

    assert [one.id for one in made.due if one.occasion == "event-1"] == [
        "faa.remote-pilot.address-change:wren/event-1"
    ]


def test_move_of_the_operation_is_told_before_and_after(
    demo_operation: Operation, table: RulesTable
) -> None:
    """14 CFR 137.75 (before), 48.115(b) (14 days), 47.45 and 107.77 (30 days)."""
    moved = JobEvent(number=1, kind=JobEventKind.MOVED, on=date(2027, 6, 1))
    made = book(demo_operation, table, moved, on=date(2027, 5, 20))

    assert [(one.id, one.due_on) for one in made.due if one.occasion == "event-1"] == [
        ("faa.ag-operator.home-base-move/event-1", date(2027, 5, 31)),
        ("faa.registration-small.update:tg18/event-1", date(2027, 6, 15)),
        ("faa.registration-n.address-change:tg46/event-1", date(2027, 7, 1)),
        ("faa.registration-n.location-change:tg46/event-1", date(2027, 7, 1)),
        ("faa.remote-pilot.address-change:odile/event-1", date(2027, 7, 1)),
        ("faa.remote-pilot.address-change:wren/event-1", date(2027, 7, 1)),
    ]


def test_only_the_last_training_counts(demo_operation: Operation, table: RulesTable) -> None:
    """40 CFR 170.401(a): within the last 12 months."""
    trained = [
        JobEvent(
            number=number,
            kind=JobEventKind.TRAINED,
            on=date(year, 3, 1),
            duty="epa.worker-training",
        )
        for number, year in ((1, 2026), (2, 2027))
    ]
    made = book(demo_operation, table, *trained, on=date(2027, 5, 20))

    assert find(made, "epa.worker-training").due_on == date(2028, 3, 1)


def test_extension_sent_off_is_done(demo_operation: Operation, table: RulesTable) -> None:
    grant = replace(COA, paper="faa.exemption", valid_through=date(2027, 12, 31))
    own = replace(demo_operation, papers=(grant,))
    mailed = LogEntry(
        number=1,
        kind=EventKind.MAILED,
        paper="faa.exemption",
        holder=OPERATION,
        happened_on=date(2027, 8, 2),
    )
    before = book(own, table, on=date(2027, 8, 20))
    after = book(own, table, on=date(2027, 9, 20), log=(mailed,))

    assert find(before, "faa.exemption.extend").due_on == date(2027, 9, 2)
    assert find(after, "faa.exemption.extend").done_on == date(2027, 8, 2)


def test_what_nobody_told_yet_waits_undated(demo_operation: Operation, table: RulesTable) -> None:
    made = book(demo_operation, table, on=date(2027, 1, 11))
    waiting = {one.row.id for one in made.undated}

    assert {
        "faa.airspace-authorization.accident-report",
        "faa.registration-n.address-change",
        "ne.commercial-applicator.record",
        "sd.commercial-applicator.record",
        "epa.worker-record-copy",
    } <= waiting
    assert NOTAM not in waiting
    assert not {one.row.id for one in made.due} & waiting


def test_operation_without_jobs_has_no_duties(demo_operation: Operation, table: RulesTable) -> None:
    """What it holds still asks for changes to be told, marked as needed by no job."""
    alone = replace(demo_operation, jobs=())

    assert book(replace(alone, papers=()), table, on=date(2027, 1, 11)) == DutyBook()
    held = book(alone, table, on=date(2027, 1, 11))
    assert {one.needed for one in held.undated} == {False}
    assert {one.needed for one in held.due} <= {False}


def test_yearly_summary_of_north_dakota_is_due_on_the_first_of_december(
    demo_operation: Operation, table: RulesTable
) -> None:
    """NDAC 6-02-02-12: by December 1 of the year of application."""
    jobs = (replace(demo_operation.jobs[0], state="ND"),)
    made = book(replace(demo_operation, jobs=jobs), table, on=date(2027, 6, 1))

    one = find(made, "nd.unmanned-applicator.acreage-summary")

    assert (one.occasion, one.due_on) == ("2027", date(2027, 12, 1))
    assert one.about == "the work of 2027: pasture-ne"


def test_what_is_due_once_the_job_is_done_counts_from_the_end_of_the_flight(
    demo_operation: Operation, table: RulesTable
) -> None:
    """K.S.A. 2-2455: the customer's statement before or when the job is finished, past midnight.

    A record is one of a day, so what is due on the day of the application keeps its day
    (7 CFR 110.3(a): the date of the application); that reading is our own, the careful one.
    """
    jobs = tuple(
        replace(job, state="KS", for_hire=True) if job.id == "pasture-ne" else job
        for job in demo_operation.jobs
    )
    operation = replace(demo_operation, jobs=jobs)
    night = flight(
        1,
        31,
        start=datetime(2027, 5, 31, 22, 30, tzinfo=ZONE),
        end=datetime(2027, 6, 1, 0, 40, tzinfo=ZONE),
    )

    made = book(operation, table, night, on=date(2027, 6, 1))
    statement = find(made, "ks.business.customer-statement", "flight-1")

    assert (statement.due_on, statement.state) == (date(2027, 6, 1), DutyState.OPEN)
    later = book(operation, table, night, on=date(2027, 6, 2))
    assert find(later, "ks.business.customer-statement", "flight-1").state is DutyState.OVERDUE
    kept = find(made, "ks.business.statement-keep", "flight-1")
    assert kept.due_on == date(2030, 6, 1)
    record = find(made, "epa.restricted-use-record", "flight-1")
    assert record.due_on == date(2027, 6, 14)
