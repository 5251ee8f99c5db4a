"""The revision ledger as a calendar file: one entry for each line, most of them all day."""

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

from icalendar import Alarm, Calendar, Event, Timezone
from icalendar.enums import STATUS, TRANSP

from compliance.engine.ledger import LedgerLine, LineAlarm, LineState, clean_line, clean_text
from compliance.outputs.ics_zones import compute_zone

# Without a version number: a new release must not change every file.
PRODID = "-//mailby//deadline calendar//EN"

# How long before its moment an entry with an hour begins.
BEFORE_THE_MOMENT = timedelta(minutes=30)

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
        subcomponents=[*_compute_zones(ordered), *(compute_event(line) for line in ordered)],
    )


def _compute_zones(lines: list[LedgerLine]) -> list[Timezone]:
    """Build the clocks of the zones that timed entries name, by name (RFC 5545 3.6.5)."""
    days: dict[str, list[date]] = {}
    for line in lines:
        if line.at is not None:
            days.setdefault(str(line.at.tzinfo), []).append(line.on)
    return [compute_zone(name, min(found), max(found)) for name, found in sorted(days.items())]


def compute_event(line: LedgerLine) -> Event:
    """Build the entry of one ledger line: all day, or the half hour that ends at its moment.

    Units: ``line.on`` is the day itself; DTEND is the day after it, exclusive. A moment is written
    in its own time zone, which the calendar must carry. The entry does not mark the time as busy. A
    cancelled line has no alarms.

    Raises:
        OverflowError: The day is the last one of the year 9999.

    Source: RFC 5545 3.6.1 (DATE start inclusive, end exclusive), 3.8.7.2 (without METHOD, DTSTAMP
    is the last revision), 3.8.7.4 (SEQUENCE). X-MICROSOFT-CDO-BUSYSTATUS: MS-OXCICAL.
    """
    title = clean_line(line.title)
    cancelled = line.state is LineState.CANCELLED
    start, end = _compute_span(line)
    event = Event.new(
        uid=line.uid,
        stamp=line.revised_at,
        last_modified=line.revised_at,
        sequence=line.sequence,
        start=start,
        end=end,
        status=STATUS.CANCELLED if cancelled else STATUS.CONFIRMED,
        transparency=TRANSP.TRANSPARENT,
        summary=title,
        description=clean_text(line.text) or None,  # an empty property is a fault to some readers
        related_to=line.related_to,
        subcomponents=[] if cancelled else [_compute_alarm(a, title, line.at) for a in line.alarms],
    )
    event.add("X-MICROSOFT-CDO-BUSYSTATUS", "FREE")
    return event


def _compute_span(line: LedgerLine) -> tuple[date, date]:
    """Give DTSTART and DTEND: days, or moments in the zone of the place."""
    if line.at is None:
        return line.on, line.on + timedelta(days=1)
    # By way of UTC, so that a night in which clocks change keeps the half hour.
    start = (line.at.astimezone(UTC) - BEFORE_THE_MOMENT).astimezone(line.at.tzinfo)
    return start, line.at


def _compute_trigger(alarm: LineAlarm, at: datetime | None) -> timedelta:
    """Give how long after its start an alarm rings, a negative time."""
    if at is None:
        return timedelta(hours=alarm.hour) - timedelta(days=alarm.days_before)
    day = at.date() - timedelta(days=alarm.days_before)
    rings = datetime.combine(day, time(alarm.hour), tzinfo=at.tzinfo)
    return rings.astimezone(UTC) - (at.astimezone(UTC) - BEFORE_THE_MOMENT)


def _compute_alarm(alarm: LineAlarm, title: str, at: datetime | None) -> Alarm:
    """Build one alarm; its hour is on the clock of the place, or of the phone for a whole day.

    The trigger counts from the start of the entry: from midnight for a whole day.

    Source: RFC 5545 3.6.6 and 3.8.6.3; RFC 9074 4 (UID of an alarm).
    """
    trigger = _compute_trigger(alarm, at)
    if trigger >= timedelta(0):
        raise ValueError(f"an alarm must ring before its day; got {alarm}")
    return Alarm.new_display(description=title, trigger=trigger, uid=alarm.uid)
