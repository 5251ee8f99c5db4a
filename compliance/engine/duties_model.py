"""Due duties as plain values: what every output about them is made from."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import TypeAlias

from compliance.facts.basis import Confidence
from compliance.facts.events import JobEvent
from compliance.facts.model import Holder, HolderKind
from compliance.facts.own_terms import OwnTerm
from compliance.rules.model import DutyKind, DutyRow

# Nothing has to be done on the day of these: something is kept, or good, through it.
RESTING = frozenset({DutyKind.KEEP_RECORD, DutyKind.LAST_DAY})


# The hours of a flight on one local day, aware, both ends in the zone of its place.
Span: TypeAlias = tuple[datetime, datetime]

UNNEEDED = "held, no job needs it"
"""Marks what is asked for a paper only because it is held."""

OF_FLIGHT = "flight-"
"""How the occasion of a logged flight begins; its number follows."""


class DutyState(StrEnum):
    """How a duty stands: to do, its last moment past, done, or running by itself.

    ``late-for-some``: before a flight whose hour is not known, in time for a late start only.
    """

    OPEN = "open"
    LATE_FOR_SOME = "late-for-some"
    OVERDUE = "overdue"
    DONE = "done"
    RUNNING = "running"


@dataclass(frozen=True, slots=True, kw_only=True)
class DueDuty:
    """One duty for one occasion.

    ``row`` has the numbers of the holder's own document when ``term`` is set. ``id`` is
    ``DUTY/OCCASION``, the aircraft or pilot after a colon; it names the duty when it is ticked off.
    ``about`` says the occasion in words. ``due_on`` is the last day that is on time, in the time
    zone of the place; ``due_at`` its aware moment when the duty counts clock hours. ``opens_on``
    and ``opens_at``: not before. ``any_hour``: the hour of the flight is not known, and the days
    are right for a start at any hour of the day; None for ``opens_on`` then means no whole day is;
    ``hour_fault`` says why the hour that its job has cannot be taken.
    ``start_from`` is the first moment at which a flight may start when what is late is told now;
    None when it is not late or the moment of now is not known. ``record`` is the number of the
    record of the flight the duty is about, and ``lacks`` the elements that the rule asks for and
    the record does not hold; with any the duty is not done. ``records`` are all records of that
    flight, by its days; ``bare`` its hours on the days that no record tells of, while another day
    has one, and the duty is not done then. ``early_on`` is the day that record was first written
    when that is before its work as corrected. ``beside`` names the less strict terms
    in force at once: documents, or the rule's own; ``not_before`` the one of them by which the
    window opens, and ``apart`` those whose own window no moment of this one suits. ``needed`` is
    False for the duty of a paper that is held while no job needs it.
    """

    id: str
    row: DutyRow
    holder: Holder
    occasion: str
    about: str
    job: str
    event_on: date
    due_on: date
    state: DutyState
    due_at: datetime | None = None
    opens_on: date | None = None
    opens_at: datetime | None = None
    any_hour: bool = False
    hour_fault: str = ""
    start_from: datetime | None = None
    done_on: date | None = None
    term: OwnTerm | None = None
    record: int | None = None
    records: tuple[int, ...] = ()
    lacks: tuple[str, ...] = ()
    bare: tuple[Span, ...] = ()
    early_on: date | None = None
    beside: tuple[str, ...] = ()
    not_before: str = ""
    apart: tuple[str, ...] = ()
    needed: bool = True

    @property
    def is_live(self) -> bool:
        """Tell whether somebody still has to do something."""
        return self.state not in {DutyState.DONE, DutyState.RUNNING}

    @property
    def is_careful(self) -> bool:
        """Tell whether its day is careful practice only, because no time was found in the rule."""
        return is_careful_duty(self.row, self.term)


@dataclass(frozen=True, slots=True, kw_only=True)
class UndatedDuty:
    """A duty that applies but whose clock has not started: only if something happens.

    ``jobs`` are the ids of the jobs it goes with; ``beside``, ``not_before``,
    ``apart`` and ``needed`` as in `DueDuty`.
    """

    row: DutyRow
    holder: Holder
    jobs: tuple[str, ...]
    term: OwnTerm | None = None
    beside: tuple[str, ...] = ()
    not_before: str = ""
    apart: tuple[str, ...] = ()
    needed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class UnwrittenFlight:
    """A logged flight that no record tells of, or none of some of its days.

    ``due_on`` is the soonest last day, inclusive, that a duty or a record rule gives to write it,
    None when none does; ``due_at`` its moment where hours are counted; ``careful``: that day is
    careful practice only. ``records`` are those of its other days, and ``bare`` its hours without.
    """

    flight: JobEvent
    due_on: date | None
    due_at: datetime | None = None
    careful: bool = False
    records: tuple[int, ...] = ()
    bare: tuple[Span, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyBook:
    """All duties of an operation as of one day.

    ``due`` are in the order of their last moments, then in table order. ``older`` are those of
    months and flights of more than a year ago, left out of ``due``. ``unwritten`` are the flights
    without a record, in the order in which they began.
    """

    due: tuple[DueDuty, ...] = ()
    older: tuple[DueDuty, ...] = ()
    undated: tuple[UndatedDuty, ...] = ()
    unwritten: tuple[UnwrittenFlight, ...] = ()


NO_DUTIES = DutyBook()


def is_careful_duty(row: DutyRow, term: OwnTerm | None) -> bool:
    """Tell whether a duty's day to write a record is careful practice, and of no rule or paper."""
    careful = row.basis.confidence is Confidence.COMMON_PRACTICE
    return careful and term is None and row.kind is DutyKind.WRITE_RECORD


def duty_id(row: str, holder: Holder, occasion: str) -> str:
    """Name one duty for one occasion."""
    return f"{say_owner(row, holder)}/{occasion}"


def say_owner(row: str, holder: Holder) -> str:
    """Name a duty and whose it is: the row, and the aircraft or pilot after a colon."""
    return row if holder.kind is HolderKind.OPERATION else f"{row}:{holder.ref}"
