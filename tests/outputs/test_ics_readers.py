"""Independent readers must see in our file what the ledger says: ids, days, alarms, text.

Three parsers that share no code: vobject, ical, and icalendar's own reader (icalendar is also the
writer, so its vote counts less). Ring times are checked over both changes of the clock in 2027;
those dates (second Sunday of March, first Sunday of November) are in 15 U.S.C. 260a.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st
from ical.calendar_stream import IcsCalendarStream
from icalendar import Alarm as IcalendarAlarm
from icalendar import Calendar
from icalendar.alarms import Alarms

from compliance.engine.ledger import (
    Alarm,
    Entry,
    EntryState,
    LedgerLine,
    LineState,
    clean_line,
    clean_text,
    compute_revision,
)
from compliance.outputs.ics import render_calendar

NAMESPACE = UUID("5b0c1a52-5a0e-4d0e-9d0a-0a6a1f3c7e11")
CENTRAL = ZoneInfo("America/Chicago")
EVENING_BEFORE = Alarm(id="evening", days_before=1, hour=18)
WEEK_BEFORE = Alarm(id="week", days_before=7, hour=8)
MONDAY = datetime(2027, 1, 11, 14, 5, 9, tzinfo=UTC)
TUESDAY = MONDAY + timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a reader saw; typed loosely, since the readers are the ones under question."""

    uid: object
    starts_on: object
    ends_on: object
    stamp: object
    sequence: object
    status: object
    title: object
    text: object
    triggers: tuple[object, ...]


def seen_by_vobject(data: bytes) -> list[Seen]:
    calendar = vobject.readOne(data.decode())
    calendar.validate(raiseException=True)
    return [
        Seen(
            uid=event.uid.value,
            starts_on=event.dtstart.value,
            ends_on=event.dtend.value,
            stamp=event.dtstamp.value,
            sequence=int(event.sequence.value),
            status=event.status.value,
            title=event.summary.value,
            text=event.description.value if "description" in event.contents else "",
            triggers=tuple(alarm.trigger.value for alarm in event.contents.get("valarm", ())),
        )
        for event in calendar.vevent_list
    ]


def seen_by_ical(data: bytes) -> list[Seen]:
    calendar = IcsCalendarStream.calendar_from_ics(data.decode())
    return [
        Seen(
            uid=event.uid,
            starts_on=event.dtstart,
            ends_on=event.dtend,
            stamp=event.dtstamp,
            sequence=event.sequence,
            status=event.status and event.status.value,
            title=event.summary,
            text=event.description or "",
            triggers=tuple(alarm.trigger for alarm in event.alarm),
        )
        for event in calendar.events
    ]


def seen_by_icalendar(data: bytes) -> list[Seen]:
    return [
        Seen(
            uid=event.uid,
            starts_on=event.start,
            ends_on=event.end,
            stamp=event.stamp,
            sequence=event.sequence,
            status=event.status,
            title=event.summary,
            text=event.description or "",
            triggers=tuple(
                alarm.TRIGGER for alarm in event.subcomponents if isinstance(alarm, IcalendarAlarm)
            ),
        )
        for event in Calendar.from_ical(data).events
    ]


Reader = Callable[[bytes], list[Seen]]
every_reader = pytest.mark.parametrize(
    "reader",
    [
        seen_by_vobject,
        seen_by_ical,
        seen_by_icalendar,
    ],
)


def expected(line: LedgerLine) -> Seen:
    """Say what a reader must see, from the ledger and the standard alone."""
    return Seen(
        uid=line.uid,
        starts_on=line.on,
        ends_on=line.on + timedelta(days=1),
        stamp=line.revised_at,
        sequence=line.sequence,
        status="CANCELLED" if line.state is LineState.CANCELLED else "CONFIRMED",
        title=line.title,
        text=line.text,
        triggers=tuple(
            timedelta(hours=alarm.hour - 24 * alarm.days_before) for alarm in line.alarms
        ),
    )


def render(lines: tuple[LedgerLine, ...]) -> bytes:
    return render_calendar(lines, name="Sandbur Flats Aerial LLC", calendar_uid=UUID(int=7))


def entry(number: int, on: date, title: str = "Mail the packet", text: str = "") -> Entry:
    return Entry(
        key=("step", str(number)),
        on=on,
        title=title,
        text=text,
        alarms=(EVENING_BEFORE, WEEK_BEFORE),
    )


ENTRIES = (
    entry(1, date(2027, 3, 15), "Mail, sign; seal \\ send: today"),
    entry(2, date(2027, 12, 31), text="one\n\ntwo, three; four\\n five: six"),
    entry(3, date(2028, 2, 29), "\U0001f33e" * 40, "\u00e9" * 200),
    replace(entry(4, date(2027, 2, 1)), alarms=()),
    entry(5, date(2027, 2, 1), "a" * 67),
    entry(6, date(2027, 2, 1), "a" * 68),
)


@every_reader
def test_reader_sees_what_the_ledger_says(reader: Reader) -> None:
    lines = compute_revision(ENTRIES, (), namespace=NAMESPACE, now=MONDAY)

    assert reader(render(lines)) == [expected(line) for line in lines]


@every_reader
def test_reader_sees_moves_done_marks_and_tombstones(reader: Reader) -> None:
    before = compute_revision(ENTRIES, (), namespace=NAMESPACE, now=MONDAY)
    changed = (
        replace(ENTRIES[0], on=date(2027, 3, 16)),
        replace(ENTRIES[1], state=EntryState.DONE),
        *ENTRIES[3:],
    )
    lines = compute_revision(changed, before, namespace=NAMESPACE, now=TUESDAY)

    seen = {each.uid: each for each in reader(render(lines))}

    assert seen == {line.uid: expected(line) for line in lines}
    assert sum(each.sequence == 1 for each in seen.values()) == 3
    assert [each.starts_on for each in seen.values() if each.status == "CANCELLED"] == [
        date(2028, 2, 29)
    ]


# Signs that people type, with every one the format treats in its own way.
TYPED = st.text(st.sampled_from("aB1 ,;:\\n\"'\n\r\t\x07\u00e9e\u0301\u2028\U0001f33e\u200d%^="))


@every_reader
@settings(max_examples=40, deadline=None)
@given(title=TYPED.filter(clean_line), text=TYPED)
def test_reader_sees_any_typed_text(reader: Reader, title: str, text: str) -> None:
    lines = compute_revision(
        (entry(1, date(2027, 3, 15), title, text),), (), namespace=NAMESPACE, now=MONDAY
    )

    (seen,) = reader(render(lines))

    assert (seen.title, seen.text) == (clean_line(title), clean_text(text))


@pytest.mark.parametrize(
    ("on", "evening", "week"),
    [
        # An ordinary week; then the clock goes forward on 14 March and back on 7 November 2027.
        (date(2027, 2, 8), "2027-02-07T18:00:00-06:00", "2027-02-01T08:00:00-06:00"),
        (date(2027, 3, 14), "2027-03-13T18:00:00-06:00", "2027-03-07T08:00:00-06:00"),
        (date(2027, 3, 15), "2027-03-14T18:00:00-05:00", "2027-03-08T08:00:00-06:00"),
        (date(2027, 3, 20), "2027-03-19T18:00:00-05:00", "2027-03-13T08:00:00-06:00"),
        (date(2027, 3, 21), "2027-03-20T18:00:00-05:00", "2027-03-14T08:00:00-05:00"),
        (date(2027, 11, 8), "2027-11-07T18:00:00-06:00", "2027-11-01T08:00:00-05:00"),
        (date(2027, 11, 14), "2027-11-13T18:00:00-06:00", "2027-11-07T08:00:00-06:00"),
        (date(2028, 1, 1), "2027-12-31T18:00:00-06:00", "2027-12-25T08:00:00-06:00"),
        (date(2028, 3, 1), "2028-02-29T18:00:00-06:00", "2028-02-23T08:00:00-06:00"),
    ],
)
def test_alarms_ring_at_the_same_hour_over_a_clock_change(
    on: date, evening: str, week: str
) -> None:
    lines = compute_revision((entry(1, on),), (), namespace=NAMESPACE, now=MONDAY)
    alarms = Alarms(Calendar.from_ical(render(lines)).events[0])
    alarms.set_local_timezone(CENTRAL)

    rings = [ring.trigger for ring in alarms.times]

    assert [ring.isoformat() for ring in rings] == [evening, week]
