"""The last day to rely on for filing a renewal, when the rule's own day is a closed one."""

from collections.abc import Iterable
from datetime import date, timedelta

from compliance.base.holidays import build_federal_calendar, build_postal_calendar
from compliance.engine.network import compute_filing_limit, step_id
from compliance.engine.packets import Packet
from compliance.engine.validity import compute_mark
from compliance.facts.log import EventKind
from compliance.rules.model import (
    CalendarName,
    CountsOn,
    OfficeRow,
    PaperRow,
    RulesTable,
    StepRow,
    StepUse,
)

_BUILDERS = {
    CalendarName.FEDERAL: build_federal_calendar,
    CalendarName.POSTAL: build_postal_calendar,
}
# No run of closed days of these calendars is nearly as long.
_ROOM = timedelta(days=30)


def move_off_closed(calendar: CalendarName, limit: date) -> date:
    """Move a last day off a closed day of a calendar to the open day before it.

    Days of a notary, a counter or the field are an operation's own; with those it stays.
    """
    build = _BUILDERS.get(calendar)
    if build is None:
        return limit
    days = build(limit - _ROOM, limit)
    return date.fromordinal(days.on_or_before(limit.toordinal()))


def find_file_by(packet: Packet) -> date | None:
    """Find the last day to rely on for filing a renewal; None where the row names no such day."""
    for name, limit in compute_filing_limit(packet):
        rows = [row for row in packet.steps if step_id(packet.id, row.name) == name]
        return move_off_closed(rows[0].calendar, limit) if rows else limit
    return None


def find_file_by_of(paper: PaperRow, ends_on: date, table: RulesTable) -> date | None:
    """Find the same day for a paper that ends on a day though no packet is planned for it."""
    if paper.renewal is None or paper.renewal.renew_by is None:
        return None
    limit = compute_mark(paper.renewal.renew_by, ends_on)
    rows = (row for row in table.steps if row.paper == paper.id and row.in_force_on(limit))
    offices = [row for row in table.offices if row.id == paper.office]
    office = next((row for row in offices if row.in_force_on(limit)), None)
    return move_filing(rows, office, limit)


def move_filing(rows: Iterable[StepRow], office: OfficeRow | None, limit: date) -> date:
    """Move the rule's last day to file to the last one to rely on, by the steps of a renewal.

    As for a packet it is the step that puts the papers in the office's hands where receipt counts
    and there is one, else the step that sends them off.
    """
    is_receipt = office is None or office.counts_on is CountsOn.RECEIVED
    events = (EventKind.RECEIVED, EventKind.MAILED) if is_receipt else (EventKind.MAILED,)
    own = [row for row in rows if row.use in {StepUse.BOTH, StepUse.RENEWAL}]
    for event in events:
        for row in own:
            if row.event is event:
                return move_off_closed(row.calendar, limit)
    return limit
