"""The revision ledger as a calendar file: one all-day entry for each line."""

from collections.abc import Iterable
from datetime import timedelta
from uuid import UUID

from icalendar import Alarm, Calendar, Event
from icalendar.enums import STATUS, TRANSP

from compliance.engine.ledger import LedgerLine, LineAlarm, LineState, clean_line, clean_text

# Without a version number: a new release must not change every file.
PRODID = "-//mailby//deadline calendar//EN"

# Readers disagree on how these look in a calendar's name, so a name has none of them.
_NAME_MARKS = str.maketrans(dict.fromkeys(",;\\", " "))


def render_calendar(lines: Iterable[LedgerLine], *, name: str, calendar_uid: UUID) -> bytes:
    """Write a calendar file.

    Shape: ``.ics`` bytes, lines end in CR LF; entries sorted by day, then uid, whatever the order
    of *lines*. Nothing is read from a clock: equal input gives equal bytes.

    Raises:
        ValueError: There is no line (a calendar without an entry is not a legal file) or *name*
            has nothing printable.
    """
    data: bytes = compute_calendar(lines, name=name, calendar_uid=calendar_uid).to_ical()
    return data


def compute_calendar(lines: Iterable[LedgerLine], *, name: str, calendar_uid: UUID) -> Calendar:
    """Build the calendar that `render_calendar` writes.

    Shape: no METHOD (with it, DTSTAMP would have to be the time of writing); commas, semicolons
    and backslashes in *name* become blanks.

    Raises:
        ValueError: As for `render_calendar`.

    Source: RFC 5545 3.6 and 3.7, RFC 7986 5.1 (NAME) and 5.3 (UID of the calendar). X-WR-CALNAME
    is the older form of NAME: common practice, no standard.
    """
    ordered = sorted(lines, key=lambda line: (line.on, line.uid))
    if not ordered:
        raise ValueError("a calendar file needs at least one entry")
    shown_name = clean_line(name.translate(_NAME_MARKS))
    if not shown_name:
        raise ValueError("a calendar needs a name")
    return Calendar.new(
        prodid=PRODID,
        name=shown_name,  # written as NAME and as X-WR-CALNAME
        uid=calendar_uid,
        subcomponents=[compute_event(line) for line in ordered],
    )


def compute_event(line: LedgerLine) -> Event:
    """Build the all-day entry of one ledger line.

    Units: ``line.on`` is the day itself; DTEND is the day after it, exclusive. The entry does not
    mark the day as busy. A cancelled line has no alarms.

    Raises:
        OverflowError: The day is the last one of the year 9999.

    Source: RFC 5545 3.6.1 (DATE start inclusive, end exclusive), 3.8.7.2 (without METHOD, DTSTAMP
    is the last revision), 3.8.7.4 (SEQUENCE). X-MICROSOFT-CDO-BUSYSTATUS: MS-OXCICAL.
    """
    title = clean_line(line.title)
    cancelled = line.state is LineState.CANCELLED
    event = Event.new(
        uid=line.uid,
        stamp=line.revised_at,
        last_modified=line.revised_at,
        sequence=line.sequence,
        start=line.on,
        end=line.on + timedelta(days=1),
        status=STATUS.CANCELLED if cancelled else STATUS.CONFIRMED,
        transparency=TRANSP.TRANSPARENT,
        summary=title,
        description=clean_text(line.text) or None,  # an empty property is a fault to some readers
        related_to=line.related_to,
        subcomponents=[] if cancelled else [_compute_alarm(a, title) for a in line.alarms],
    )
    event.add("X-MICROSOFT-CDO-BUSYSTATUS", "FREE")
    return event


def _compute_alarm(alarm: LineAlarm, title: str) -> Alarm:
    """Build one alarm; the trigger counts from midnight, in the phone's zone, as the day begins.

    Source: RFC 5545 3.6.6 and 3.8.6.3; RFC 9074 4 (UID of an alarm).
    """
    trigger = timedelta(hours=alarm.hour) - timedelta(days=alarm.days_before)
    if trigger >= timedelta(0):
        raise ValueError(f"an alarm must ring before its day; got {alarm}")
    return Alarm.new_display(description=title, trigger=trigger, uid=alarm.uid)
