"""What really happened around flying: flights, accidents, moves, requests, duties ticked off.

A log of its own beside the packets' log, append-only like it.
"""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class JobEventKind(StrEnum):
    """What happened."""

    FLEW = "flew"
    ACCIDENT = "accident"
    DEPARTURE = "departure"
    MOVED = "moved"
    CHANGED = "changed"
    ASKED = "asked"
    TRAINED = "trained"
    REFUSED = "refused"
    DID = "did"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True, kw_only=True)
class JobEvent:
    """One thing that happened around flying.

    ``number`` counts from 1 within an operation and never changes. ``on`` is the local day, of a
    flight the day it began. ``start`` and ``end`` are aware, in the zone of the place; ``end`` only
    for flights. ``aircraft`` and ``pilot`` are ids of the operation. ``re_entry_hours`` is the
    restricted-entry interval of the label, None when nobody said. ``duty`` is the duty that was
    ticked off (``did``) or the one whose clock starts (``changed``, ``asked``, ``trained``,
    ``refused``); ``occasion`` says which of its times, and ``and_before`` ticks the earlier ones
    too. ``note`` is what the person added; ``withdraws`` the number of an entry that was wrong.
    """

    number: int
    kind: JobEventKind
    on: date
    job: str = ""
    start: datetime | None = None
    end: datetime | None = None
    aircraft: str = ""
    pilot: str = ""
    product: str = ""
    re_entry_hours: int | None = None
    duty: str = ""
    occasion: str = ""
    and_before: bool = False
    note: str = ""
    withdraws: int | None = None


# What has a moment and not only a day.
TIMED = frozenset({JobEventKind.FLEW, JobEventKind.ACCIDENT, JobEventKind.DEPARTURE})
# What starts the clock of one duty by name, since each means something else.
NAMES_DUTY = frozenset(
    {JobEventKind.CHANGED, JobEventKind.ASKED, JobEventKind.TRAINED, JobEventKind.REFUSED}
)
# What a person may know before it happens; a duty can be due before it.
MAY_BE_AHEAD = frozenset({JobEventKind.MOVED, JobEventKind.CHANGED})


def find_standing_events(events: tuple[JobEvent, ...]) -> tuple[JobEvent, ...]:
    """Give the events that still stand, by day, moment and number; withdrawals are left out."""
    gone = {event.withdraws for event in events if event.kind is JobEventKind.WITHDRAWN}
    kept = (
        event
        for event in events
        if event.kind is not JobEventKind.WITHDRAWN and event.number not in gone
    )
    return tuple(
        sorted(
            kept,
            key=lambda one: (one.on, one.start.timestamp() if one.start else 0.0, one.number),
        )
    )


def find_flights(events: tuple[JobEvent, ...], job: str = "") -> tuple[JobEvent, ...]:
    """Give the flights that stand, of one job or of all."""
    return tuple(
        event
        for event in find_standing_events(events)
        if event.kind is JobEventKind.FLEW and job in {"", event.job}
    )
