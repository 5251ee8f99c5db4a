"""What happened to one packet, told from the log."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from compliance.facts.log import EventKind, LogEntry


class Turn(StrEnum):
    """What a line of the story tells."""

    BEFORE = "before"
    SENT = "sent"
    SENT_AGAIN = "sent again"
    REACHED = "reached"
    CAME_BACK = "came back"
    HEARD = "heard"
    GRANTED = "granted"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One thing that happened.

    Units: calendar days. ``waited`` counts from the last sending, of a new sending from the return
    before it; ``lost`` of a new sending counts from the sending before it; None without such a day.
    """

    turn: Turn
    entry: LogEntry
    waited: int | None = None
    lost: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """The chapters of one packet, oldest first.

    ``returns`` counts how often it came back, ``lost`` the calendar days that cost so far: from
    each sending that came back to the next one, or to today while there is none.
    """

    chapters: tuple[Chapter, ...]
    returns: int
    lost: int


def compute_story(entries: tuple[LogEntry, ...], as_of: date) -> Story:
    """Tell the story of a packet from its entries that stand, by day and number."""
    chapters: list[Chapter] = []
    sent: date | None = None
    back: date | None = None
    returns = lost = 0
    for entry in entries:
        day = entry.happened_on
        if entry.kind is EventKind.MAILED:
            again = back is not None
            cost = (day - sent).days if again and sent is not None else None
            lost += cost or 0
            waited = (day - back).days if back is not None else None
            turn = Turn.SENT_AGAIN if again else Turn.SENT
            chapters.append(Chapter(turn=turn, entry=entry, waited=waited, lost=cost))
            sent, back = day, None
            continue
        waited = (day - sent).days if sent is not None else None
        if entry.kind is EventKind.RETURNED:
            returns += 1
            back = day
            chapters.append(Chapter(turn=Turn.CAME_BACK, entry=entry, waited=waited))
        elif entry.kind is EventKind.GRANTED:
            chapters.append(Chapter(turn=Turn.GRANTED, entry=entry, waited=waited))
            sent = back = None
        elif entry.kind is EventKind.RECEIVED:
            chapters.append(Chapter(turn=Turn.REACHED, entry=entry, waited=waited))
        elif entry.kind is EventKind.HEARD:
            chapters.append(Chapter(turn=Turn.HEARD, entry=entry, waited=waited))
        else:
            chapters.append(Chapter(turn=Turn.BEFORE, entry=entry))
    if back is not None and sent is not None:
        lost += (as_of - sent).days
    return Story(chapters=tuple(chapters), returns=returns, lost=lost)
