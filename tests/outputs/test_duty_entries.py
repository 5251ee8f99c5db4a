"""Duties on the calendar: at their hour, in their zone, read back by two other libraries."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from io import StringIO
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
import vobject
from dateutil import tz
from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar

from compliance.engine.duties_due import compute_duty_book
from compliance.engine.duties_model import DueDuty, DutyBook, DutyState, duty_id
from compliance.engine.ledger import Entry, EntryState, LedgerLine, compute_revision
from compliance.engine.plan_model import Plan
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.model import Holder, HolderKind
from compliance.outputs.duty_entries import compute_duty_entries
from compliance.outputs.ics import render_calendar
from compliance.outputs.ics_lint import check_ics
from compliance.outputs.ics_zones import compute_zone
from compliance.rules.model import DutyEvent, DutyKind, DutyRow, RulesTable

ZONE = ZoneInfo("America/Chicago")
SPACE = UUID("6d9b1a34-0000-4000-8000-000000000000")
NOW = datetime(2027, 5, 24, 14, tzinfo=UTC)


def flight(number: int, hour: int, job: str = "pasture-ne") -> JobEvent:
    return JobEvent(
        number=number,
        kind=JobEventKind.FLEW,
        on=date(2027, 5, 24),
        job=job,
        start=datetime(2027, 5, 24, hour, 10, tzinfo=ZONE),
        end=datetime(2027, 5, 24, hour, 45, tzinfo=ZONE),
        aircraft="tg46",
        pilot="odile",
    )


def shift(event: JobEvent, days: int) -> JobEvent:
    assert event.start is not None
    assert event.end is not None
    span = timedelta(days=days)
    return replace(event, on=event.on + span, start=event.start + span, end=event.end + span)


def plan_of(plan: Plan, table: RulesTable, *events: JobEvent, on: date) -> Plan:
    duties = compute_duty_book(plan.operation, table, plan.verdicts, (), events, as_of=on)
    return replace(plan, as_of=on, duties=duties)


def find(entries: tuple[Entry, ...], duty: str) -> list[Entry]:
    return [entry for entry in entries if entry.key[2] == duty]


def test_flights_of_a_day_are_one_entry_at_the_first_limit(
    demo_plan: Plan, table: RulesTable
) -> None:
    """Posting is due 24 hours after the end, the earlier flight's first (40 CFR 170.311(b))."""
    made = plan_of(demo_plan, table, flight(1, 6), flight(2, 8), on=date(2027, 5, 24))

    (entry,) = find(compute_duty_entries(made), "epa.worker-posting")

    assert entry.at == datetime(2027, 5, 25, 6, 45, tzinfo=ZONE)
    assert entry.on == date(2027, 5, 25)
    assert entry.title == "Post the application where workers see it: pasture-ne"
    assert entry.text.splitlines()[0] == (
        "By Tue 25 May 2027 06:45 CDT, for the flight of Mon 24 May 2027 06:10 to 06:45 CDT, "
        "pasture-ne, and 1 more that day"
    )
    assert "mailby log did epa.worker-posting/flight-2 --and-before" in entry.text
    assert "not legal advice" in entry.text


def test_many_days_behind_are_one_entry_today(demo_plan: Plan, table: RulesTable) -> None:
    """Thirty reminders on one morning would bury the one that counts; no day is taken back."""
    flown = [shift(flight(number, 6), number - 1) for number in range(1, 7)]
    before = compute_duty_entries(plan_of(demo_plan, table, *flown, on=date(2027, 5, 24)))
    made = plan_of(demo_plan, table, *flown, on=date(2027, 6, 2))

    after = compute_duty_entries(made)

    posting = find(after, "epa.worker-posting")
    assert {one.key for one in find(before, "epa.worker-posting")} == {one.key for one in posting}
    assert [one.title for one in posting if one.on == made.as_of] == [
        "OVERDUE: Post the application where workers see it: 6 flights"
    ]
    assert [one.on.day for one in posting if one.on < made.as_of] == [26, 27, 28, 29, 30]
    first = next(one for one in posting if one.on == made.as_of)
    assert "6 flights of pasture-ne, Mon 24 May 2027 to Sat 29 May 2027" in first.text
    assert "all are done: mailby log did epa.worker-posting/flight-6 --and-before" in first.text


def test_flights_with_and_without_a_record_have_each_their_command(
    demo_plan: Plan, table: RulesTable
) -> None:
    """Who is told to write a record that is there already would write it twice."""
    flown = [shift(flight(number, 6), number - 1) for number in range(1, 7)]
    made = plan_of(demo_plan, table, *flown, on=date(2027, 6, 30))
    lacking = {"flight-2", "flight-5"}
    due = tuple(
        replace(one, record=40 + int(one.occasion[-1]), lacks=("crop",))
        if one.occasion in lacking and one.row.kind is DutyKind.WRITE_RECORD
        else one
        for one in made.duties.due
    )
    made = replace(made, duties=replace(made.duties, due=due))

    entries = find(compute_duty_entries(made), "epa.restricted-use-record")
    first = next(one for one in entries if one.on == made.as_of)

    assert "6 flights" in first.title
    assert "without a record or with a record that lacks something" in first.text
    assert (
        "Write it: mailby record pasture-ne --flight 1; mailby record pasture-ne --flight 3; "
        in (first.text)
    )
    assert "written as records 42, 45, which lack: crop" in first.text
    assert "mailby record pasture-ne --correct 42" in first.text
    assert "--flight 2" not in first.text


def test_months_that_are_behind_are_one_entry_and_name_their_month(
    demo_plan: Plan, table: RulesTable
) -> None:
    row = next(one for one in table.duties if DutyEvent.MONTH_FLOWN in one.events)
    months = [make_month(demo_plan, row, month, date(2027, month + 1, 5)) for month in range(1, 6)]
    made = replace(demo_plan, as_of=date(2027, 6, 20), duties=DutyBook(due=tuple(months)))

    entries = compute_duty_entries(made)

    assert [(one.on, one.title) for one in entries][:2] == [
        (date(2027, 6, 20), f"OVERDUE: {row.title}: 5 months"),
        (date(2027, 3, 5), f"OVERDUE: {row.title}: 2027-02"),
    ]
    assert "2027-05 --and-before" in entries[0].text


def make_month(plan: Plan, row: DutyRow, month: int, due_on: date) -> DueDuty:
    holder = Holder(kind=HolderKind.OPERATION)
    occasion = f"2027-{month:02}"
    return DueDuty(
        id=duty_id(row.id, holder, occasion),
        row=row,
        holder=holder,
        occasion=occasion,
        about=f"the month {occasion} of {plan.operation.id}",
        job="",
        event_on=date(2027, month, 1),
        due_on=due_on,
        state=DutyState.OVERDUE,
    )


def test_overdue_moves_to_today_and_done_is_done(demo_plan: Plan, table: RulesTable) -> None:
    did = JobEvent(
        number=2,
        kind=JobEventKind.DID,
        on=date(2027, 5, 25),
        duty="epa.worker-posting",
        occasion="flight-1",
    )
    late = plan_of(demo_plan, table, flight(1, 6), on=date(2027, 5, 30))
    done = plan_of(demo_plan, table, flight(1, 6), did, on=date(2027, 5, 30))

    (overdue,) = find(compute_duty_entries(late), "epa.worker-posting")
    (ticked,) = find(compute_duty_entries(done), "epa.worker-posting")

    assert (overdue.on, overdue.at) == (date(2027, 5, 30), None)
    assert overdue.title == "OVERDUE: Post the application where workers see it: pasture-ne"
    assert (ticked.state, ticked.on) == (EntryState.DONE, date(2027, 5, 25))
    assert ticked.key == overdue.key


def test_three_flights_of_a_job_are_planned_at_most_and_their_keys_have_no_date(
    demo_plan: Plan, table: RulesTable
) -> None:
    """Today's is that of the first day, moved; tomorrow's and the next one have their own."""
    duty = "faa.airspace-authorization.notam"
    ahead = plan_of(demo_plan, table, on=date(2027, 1, 11))
    within = plan_of(demo_plan, table, on=date(2027, 5, 27))

    assert [entry.key[-1] for entry in find(compute_duty_entries(ahead), duty)] == [
        "pasture-ne",
        "pasture-sd",
        "cover-crop",
    ]
    entries = find(compute_duty_entries(within), duty)
    assert [(entry.key[-2:], entry.on, entry.title[:8]) for entry in entries] == [
        (("-", "pasture-ne"), date(2027, 5, 27), "OVERDUE:"),
        (("pasture-ne", "tomorrow"), date(2027, 5, 27), "LATE FOR"),
        (("pasture-ne", "next"), date(2027, 5, 27), "Notice t"),
        (("-", "pasture-sd"), date(2027, 6, 12), "Notice t"),
        (("-", "cover-crop"), date(2027, 8, 21), "Notice t"),
    ]
    first = find(compute_duty_entries(ahead), duty)[0]
    assert first.key == entries[0].key


def test_what_is_kept_through_a_day_is_not_on_the_calendar(
    demo_plan: Plan, table: RulesTable
) -> None:
    made = plan_of(demo_plan, table, flight(1, 6), on=date(2027, 5, 24))

    assert find(compute_duty_entries(made), "faa.ag-operator.records") == []


@pytest.fixture(name="data", scope="module")
def write_file() -> bytes:
    """A calendar with a moment on each side of the clock's change and one whole day."""
    entries = [
        timed("before", datetime(2027, 11, 6, 10, 20, tzinfo=ZONE)),
        timed("first", datetime(2027, 11, 7, 1, 30, tzinfo=ZONE)),
        timed("after", datetime(2027, 11, 7, 9, 20, tzinfo=ZONE)),
        timed("west", datetime(2028, 3, 12, 7, tzinfo=ZoneInfo("America/Denver"))),
        Entry(key=("day",), on=date(2027, 11, 6), title="A day"),
    ]
    lines: tuple[LedgerLine, ...] = compute_revision(entries, (), namespace=SPACE, now=NOW)
    return render_calendar(lines, name="Duties", calendar_uid=SPACE)


def timed(name: str, at: datetime) -> Entry:
    return Entry(key=(name,), on=at.date(), title=name, at=at)


ENDS = {
    "before": datetime(2027, 11, 6, 15, 20, tzinfo=UTC),
    "first": datetime(2027, 11, 7, 6, 30, tzinfo=UTC),
    "after": datetime(2027, 11, 7, 15, 20, tzinfo=UTC),
    "west": datetime(2028, 3, 12, 13, tzinfo=UTC),
}


def test_file_is_sound(data: bytes) -> None:
    assert check_ics(data) == ()
    assert data.count(b"BEGIN:VTIMEZONE") == 2


def test_moments_read_by_icalendar_from_the_zone_in_the_file(data: bytes) -> None:
    found: Any = Calendar.from_ical(data)
    ends = {
        str(event["SUMMARY"]): event["DTEND"].dt.astimezone(UTC)
        for event in found.walk("VEVENT")
        if isinstance(event["DTEND"].dt, datetime)
    }

    assert ends == ENDS


def test_moments_read_by_ical(data: bytes) -> None:
    calendar: Any = IcsCalendarStream.calendar_from_ics(data.decode())
    ends = {
        str(event.summary): event.end.astimezone(UTC)
        for event in calendar.events
        if isinstance(event.end, datetime)
    }

    assert ends == ENDS


def test_moments_read_by_vobject_with_the_clock_written_in_the_file(data: bytes) -> None:
    """vobject builds its zones from the VTIMEZONE itself, by way of dateutil."""
    calendar = vobject.readOne(data.decode())
    ends = {
        event.summary.value: event.dtend.value.astimezone(UTC)
        for event in calendar.vevent_list
        if isinstance(event.dtend.value, datetime)
    }

    assert ends == ENDS


@pytest.mark.parametrize("name", ["America/Chicago", "America/Phoenix", "America/Adak"])
def test_zone_in_a_file_shows_the_clock_of_the_iana_table(name: str) -> None:
    """Read by dateutil from the text of the VTIMEZONE, every six hours of two years."""
    text = compute_zone(name, date(2027, 1, 1), date(2028, 12, 31)).to_ical().decode()
    wrapped = f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\n{text}END:VCALENDAR\r\n"
    from_file = tz.tzical(StringIO(wrapped)).get(name)
    moment = datetime(2027, 1, 2, tzinfo=UTC)

    while moment < datetime(2028, 12, 30, tzinfo=UTC):
        shown = moment.astimezone(ZoneInfo(name))
        again = shown.replace(tzinfo=from_file)
        assert again.utcoffset() == shown.utcoffset(), moment
        moment += timedelta(hours=6)


def test_lint_finds_a_moment_on_nobodys_clock(data: bytes) -> None:
    floating = data.replace(b"DTEND;TZID=America/Denver:", b"DTEND:", 1)
    lost = data.replace(b"\r\nTZID:America/Denver", b"\r\nTZID:America/Boise", 1)

    assert [one.partition(": ")[2] for one in check_ics(floating)] == [
        "DTEND is a moment on nobody's clock"
    ]
    assert [one.partition(": ")[2] for one in check_ics(lost)] == [
        "DTSTART has a TZID, but no time zone is written",
        "DTEND has a TZID, but no time zone is written",
    ]


def test_alarm_rings_the_evening_before_on_the_clock_of_the_place(
    demo_plan: Plan, table: RulesTable
) -> None:
    made = plan_of(demo_plan, table, flight(1, 6), on=date(2027, 5, 24))
    entries = find(compute_duty_entries(made), "epa.worker-posting")
    lines = compute_revision(entries, (), namespace=SPACE, now=NOW)
    data = render_calendar(lines, name="Duties", calendar_uid=SPACE)

    found: Any = Calendar.from_ical(data)
    (event,) = found.walk("VEVENT")
    (alarm,) = event.walk("VALARM")
    rings = event["DTSTART"].dt.astimezone(UTC) + alarm["TRIGGER"].dt

    assert rings == datetime(2027, 5, 24, 18, tzinfo=ZONE)
    assert event["DTSTART"].dt == datetime(2027, 5, 25, 6, 15, tzinfo=ZONE)


def test_moment_that_moves_raises_the_sequence_and_equal_ones_do_not() -> None:
    first = compute_revision(
        [timed("one", datetime(2027, 5, 25, 7, tzinfo=ZONE))], (), namespace=SPACE, now=NOW
    )
    same = compute_revision(
        [timed("one", datetime(2027, 5, 25, 7, tzinfo=ZONE))], first, namespace=SPACE, now=NOW
    )
    moved = compute_revision(
        [timed("one", datetime(2027, 5, 25, 8, tzinfo=ZONE))], first, namespace=SPACE, now=NOW
    )

    assert same == first
    assert [line.sequence for line in moved] == [1]
