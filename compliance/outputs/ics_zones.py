"""The clock of a time zone over some years, as a calendar file must carry it."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

_HOUR = timedelta(hours=1)


def compute_zone(name: str, first: date, last: date) -> Timezone:
    """Build the part of a calendar file that says how a zone's clock runs.

    Shape: one piece for the clock on 1 January of the year of *first*, and one for each change of
    the clock through the year of *last*. Each is in force from its DTSTART, which is told in the
    time before the change.

    Source: RFC 5545 3.6.5; the changes are those of the IANA table.
    """
    zone = ZoneInfo(name)
    start = datetime(first.year, 1, 1, tzinfo=zone)
    offset = start.utcoffset() or timedelta(0)
    found = Timezone()
    found.add("TZID", name)
    found.add_component(_piece(start, offset, start.replace(tzinfo=None)))
    moment = start.astimezone(UTC)
    end = datetime(last.year, 12, 31, tzinfo=UTC)
    while moment < end:
        after = moment + timedelta(days=1)
        if _offset(after, zone) != _offset(moment, zone):
            change = moment
            while _offset(change, zone) == _offset(moment, zone):
                change += _HOUR
            before = _offset(moment, zone)
            wall = (change + before).replace(tzinfo=None)
            found.add_component(_piece(change.astimezone(zone), before, wall))
        moment = after
    return found


def _offset(moment: datetime, zone: ZoneInfo) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta(0)


def _piece(
    onset: datetime, before: timedelta, wall: datetime
) -> TimezoneStandard | TimezoneDaylight:
    piece = TimezoneDaylight() if onset.dst() else TimezoneStandard()
    piece.add("DTSTART", wall)
    piece.add("TZNAME", onset.tzname() or "")
    piece.add("TZOFFSETFROM", before)
    piece.add("TZOFFSETTO", onset.utcoffset() or timedelta(0))
    return piece
