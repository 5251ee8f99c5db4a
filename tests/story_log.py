"""The log of one invented packet that came back once, for the tests of its story."""

from datetime import date

from compliance.facts.log import EventKind, LogEntry
from compliance.facts.model import Holder, HolderKind


def entry(number: int, kind: EventKind, day: date, **more: object) -> LogEntry:
    """One entry about the packet."""
    return LogEntry(
        number=number,
        kind=kind,
        paper="own.license",
        holder=Holder(kind=HolderKind.OPERATION),
        happened_on=day,
        **more,  # type: ignore[arg-type] # the fields a test sets
    )


SIGNED = entry(1, EventKind.SIGNED, date(2027, 1, 4))
SENT = entry(2, EventKind.MAILED, date(2027, 1, 5), tracking="INVENTED-1")
THERE = entry(3, EventKind.RECEIVED, date(2027, 1, 8))
HEARD = entry(
    4,
    EventKind.HEARD,
    date(2027, 1, 29),
    reason="an examiner has it",
    expects=date(2027, 2, 12),
)
BACK = entry(
    5,
    EventKind.RETURNED,
    date(2027, 2, 4),
    reason="stamp not readable",
    blanks=("affidavit/notary-stamp",),
    still_good=("sign",),
)
AGAIN = entry(6, EventKind.MAILED, date(2027, 2, 9), reason="looked over by hand")
GRANTED = entry(7, EventKind.GRANTED, date(2027, 3, 16), paper_number="N-INVENTED")
LOG = (SIGNED, SENT, THERE, HEARD, BACK, AGAIN, GRANTED)
TODAY = date(2027, 4, 1)
