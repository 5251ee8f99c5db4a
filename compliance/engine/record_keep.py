"""Until when a record is kept: the longest of the record rules and of the duties to keep it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from compliance.base.dates import add_days, add_months
from compliance.base.holidays import build_federal_calendar
from compliance.engine.duties import compute_duty_due
from compliance.facts.basis import Confidence
from compliance.facts.catalog import Subject
from compliance.facts.conditions import evaluate_condition
from compliance.facts.events import JobEvent
from compliance.facts.model import HeldPaper, Operation
from compliance.facts.records import Application
from compliance.facts.zones import add_hours
from compliance.rules.model import (
    DueUnit,
    DutyEvent,
    DutyKind,
    DutyRow,
    KeptFrom,
    PaperRow,
    RecordRow,
    RulesTable,
)

# Many records are of one day; moving a day by months is the dearest part of asking about them.
_move = lru_cache(maxsize=10_000)(add_months)
# Days from which a record can be kept; what begins with a request or a season is no record of work.
_BEGINS = frozenset({DutyEvent.FLIGHT, DutyEvent.RE_ENTRY_ENDS})
# Room on the calendar of business days for weekends and holidays among the days counted.
_SPAN = 3
_NO_STATE = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepDuty:
    """A duty to keep something of a job that applies to a record; ``of_state``: a state's own.

    ``held`` is the paper whose own term it is, which counts for work while that is in force.
    """

    row: DutyRow
    of_state: bool
    held: HeldPaper | None = None

    def counts_on(self, day: date) -> bool:
        """Tell whether it counts for work of a day: the rule then, and the paper with its term."""
        begun = self.held is None or self.held.issued_on is None or self.held.issued_on <= day
        through = self.held.valid_through if self.held is not None else None
        return self.row.in_force_on(day) and begun and (through is None or day <= through)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Until when a record is kept: through a day, inclusive, by one of its rules.

    ``through`` is None when no rule says. ``state_known`` tells whether a rule of the record's own
    state that somebody read says how long; a time from memory does not count.
    """

    through: date | None
    row: RecordRow | DutyRow | None
    state_known: bool


def find_keep_duties(
    table: RulesTable, operation: Operation, subjects: tuple[Subject, ...]
) -> tuple[KeepDuty, ...]:
    """Find the duties to keep something of the work of some subjects, in table order.

    A duty with a paper counts where that paper is needed. Where a paper in hand has a longer time
    of its own for a duty, that one counts for work on its days; a shorter one never does.
    """
    papers: dict[str, list[PaperRow]] = {}
    for paper in table.papers:
        papers.setdefault(paper.id, []).append(paper)
    found = []
    for row in table.duties:
        if row.kind is not DutyKind.KEEP_RECORD or not _BEGINS & set(row.events):
            continue
        rows = papers.get(row.paper, []) if row.paper else []
        if not any(holds_for_work(row, rows, one) for one in subjects):
            continue
        elsewhere = (_move_away(one) for one in subjects)
        of_state = not any(holds_for_work(row, rows, one) for one in elsewhere)
        found.append(KeepDuty(row=row, of_state=of_state))
        found.extend(
            KeepDuty(row=longer, of_state=of_state, held=held)
            for longer, held in _list_own(row, operation)
        )
    return tuple(found)


def holds_for_work(row: DutyRow, papers: list[PaperRow], subject: Subject) -> bool:
    """Tell whether a duty is asked for of some work; one with *papers* where one of them is."""
    if not evaluate_condition(row.when, subject)[0]:
        return False
    return not papers or any(evaluate_condition(paper.when, subject)[0] for paper in papers)


def _move_away(subject: Subject) -> Subject:
    """Give the same work in no state: a duty that falls away was the state's own."""
    return replace(subject, job=replace(subject.job, state=_NO_STATE))


def _list_own(row: DutyRow, operation: Operation) -> Iterator[tuple[DutyRow, HeldPaper]]:
    for held in operation.papers:
        for term in held.own_terms:
            if term.duty == row.id and term.applies:
                yield replace(row, count=term.count, unit=DueUnit(term.unit)), held


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepDays:
    """The days from which a record may be kept: many records of a day have the same ones.

    ``on`` is the day of the work, ``flown`` the last day of its logged flights where that is later.
    ``re_entry`` is the day the restricted-entry interval ends as the record says, and
    ``re_entry_flown`` as it or a flight says, the latest that is known.
    """

    on: date
    flown: date
    re_entry: date
    re_entry_flown: date


def find_keep_days(record: Application, flights: Iterable[JobEvent] = ()) -> KeepDays:
    """Find the days from which a record may be kept.

    Shape: *flights* are logged ones that stand; those of other work are passed over.
    """
    own = [one for one in flights if _is_of(record, one)]
    re_entry = _find_re_entry(record)
    return KeepDays(
        on=record.on,
        flown=max([record.on, *(one.end.date() for one in own if one.end is not None)]),
        re_entry=re_entry,
        re_entry_flown=max([re_entry, *_list_re_entries(own)]),
    )


def compute_kept(
    state: str, days: KeepDays, rows: Iterable[RecordRow], duties: Iterable[KeepDuty] = ()
) -> Kept:
    """Compute until when a record of a state is kept: the longest of all rules and duties wins.

    Units: whole months from the day of the application, or from the day the restricted-entry
    interval ends; a duty counts from the end of the flight where that is later. The day itself is
    still kept. From 29 February it is through the last of February.
    """
    found: list[tuple[date, RecordRow | DutyRow, bool]] = [
        (_move(_find_start(days, row), row.keep_months), row, row.state == state)
        for row in rows
        if row.keep_months is not None
    ]
    found.extend(
        (_find_last(days, duty.row), duty.row, duty.of_state)
        for duty in duties
        if duty.counts_on(days.on)
    )
    if not found:
        return Kept(through=None, row=None, state_known=False)
    read = (row.basis.confidence is not Confidence.MEMORY for _, row, of_state in found if of_state)
    # A record rule speaks of the record itself, so of equal times it is the one to name.
    through, row, _ = max(found, key=lambda one: (one[0], one[2], isinstance(one[1], RecordRow)))
    return Kept(through=through, row=row, state_known=any(read))


def _find_start(days: KeepDays, row: RecordRow) -> date:
    return days.re_entry if row.kept_from is KeptFrom.RE_ENTRY_ENDS else days.on


def _is_of(record: Application, flight: JobEvent) -> bool:
    """Tell whether a flight may be the one a record tells of; in doubt it is."""
    if flight.job != record.job or flight.aircraft not in {"", record.aircraft}:
        return False
    if flight.number in record.flights:
        return True
    if flight.start is None or flight.end is None:
        return False
    return flight.start.date() <= record.on <= flight.end.date()


def _find_last(days: KeepDays, row: DutyRow) -> date:
    start = days.re_entry_flown if DutyEvent.RE_ENTRY_ENDS in row.events else days.flown
    if row.unit is DueUnit.MONTHS:
        return _move(start, row.count)
    if row.unit is DueUnit.HOURS:
        return add_days(start, -(-row.count // 24))
    if row.unit is DueUnit.DAYS:
        return add_days(start, row.count)
    room = timedelta(days=_SPAN * row.count + 30)
    return compute_duty_due(row, start, build_federal_calendar(start - room, start + room))


def _find_re_entry(record: Application) -> date:
    """Give the day the restricted-entry interval ends as a record says; its own day without one."""
    hours = record.find("re-entry")
    if not hours:
        return record.on
    ended = datetime.combine(record.on, time.fromisoformat(record.end or "23:59"))
    return max(record.on, (ended + timedelta(hours=int(hours))).date())


def _list_re_entries(flights: Iterable[JobEvent]) -> Iterator[date]:
    for one in flights:
        if one.end is not None and one.re_entry_hours is not None:
            yield add_hours(one.end, one.re_entry_hours).date()
