"""Which rules a record falls under, what it still lacks, and until when it is kept."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time, timedelta
from decimal import Decimal

from compliance.base.dates import add_days
from compliance.engine.flight_index import FlightIndex
from compliance.engine.record_keep import (
    KeepDays,
    KeepDuty,
    Kept,
    compute_kept,
    find_keep_days,
    find_keep_duties,
)
from compliance.engine.record_limits import Limit, find_within, find_write_duties, is_careful
from compliance.facts.catalog import Subject
from compliance.facts.conditions import evaluate_condition
from compliance.facts.events import JobEvent
from compliance.facts.model import Acquired, Aircraft, Job, Operation, Pilot
from compliance.facts.records import Application
from compliance.facts.zones import add_hours
from compliance.rules.model import DueUnit, DutyRow, GapAbout, GapRow, RecordRow, RulesTable

# A record row asks nothing about the machine or the person; the check of the table holds that.
_ANY_AIRCRAFT = Aircraft(
    id="any", maker="", model="", serial="", takeoff_weight_lb=Decimal(1), acquired=Acquired.NEW
)
_ANY_PILOT = Pilot(id="any", name="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lacking:
    """One rule and the elements it asks for that the record does not hold, in the rule's order."""

    row: RecordRow
    elements: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """One rule whose time to write the record had passed; ``by`` is its last day, inclusive."""

    row: Limit
    by: date


@dataclass(slots=True, kw_only=True)
class _Work:
    """What the table says of one kind of work; of the days of a record as they are asked for."""

    rows: tuple[RecordRow, ...]
    gaps: tuple[GapRow, ...]
    writing: tuple[DutyRow, ...]
    keeping: tuple[KeepDuty, ...]
    of_day: dict[date, tuple[RecordRow, ...]] = field(default_factory=dict)
    kept: dict[KeepDays, Kept] = field(default_factory=dict)


@dataclass(slots=True)
class RecordRules:
    """Finds the rules of records; answers for equal kinds of work are kept, since there are few.

    ``flights`` are the logged ones that stand: a duty to keep begins with the end of its flight.
    """

    table: RulesTable
    operation: Operation
    flights: tuple[JobEvent, ...] = ()
    _works: dict[tuple[object, ...], _Work] = field(default_factory=dict)
    _last: tuple[Application, _Work] | None = None
    _index: FlightIndex | None = None

    def find(self, record: Application) -> tuple[RecordRow, ...]:
        """Give the rules a record falls under: the state's first, then the federal ones."""
        work = self._find_work(record)
        found = work.of_day.get(record.on)
        if found is None:
            found = tuple(row for row in work.rows if row.in_force_on(record.on))
            work.of_day[record.on] = found
        return found

    def find_gaps(self, record: Application) -> tuple[GapRow, ...]:
        """Give what no rule was found about for such work in the record's state."""
        return self._find_work(record).gaps

    def find_limits(self, record: Application) -> tuple[Limit, ...]:
        """Give what gives a time to write a record: its rules, or the state's duty to write it.

        The duty counts where no rule of records of that state has a time.
        """
        rows = tuple([row for row in self.find(record) if row.within is not None])
        if any(row.state for row in rows):
            return rows
        writing = self._find_work(record).writing
        return (*(row for row in writing if row.in_force_on(record.on)), *rows)

    def list_near(self, record: Application) -> tuple[JobEvent, ...]:
        """List the flights that may be those of a record, as `FlightIndex.list_near` does."""
        if self._index is None:
            self._index = FlightIndex(self.flights)
        return self._index.list_near(record)

    def find_kept(self, record: Application) -> Kept:
        """Compute until when a record is kept, by every rule and duty that applies to it."""
        work = self._find_work(record)
        days = find_keep_days(record, self.list_near(record))
        kept = work.kept.get(days)
        if kept is None:
            kept = compute_kept(record.state, days, self.find(record), work.keeping)
            work.kept[days] = kept
        return kept

    def _find_work(self, record: Application) -> _Work:
        # Several things are asked of a record in a row.
        if self._last is not None and self._last[0] is record:
            return self._last[1]
        key = (
            record.state,
            record.for_hire,
            record.restricted_use,
            record.material,
            record.job,
            record.aircraft,
            record.pilot,
        )
        work = self._works.get(key)
        if work is None:
            work = self._works[key] = self._ask(record)
        self._last = record, work
        return work

    def _ask(self, record: Application) -> _Work:
        subject, subjects = self._make_subject(record), self._make_subjects(record)
        held = [row for row in self.table.records if evaluate_condition(row.when, subject)[0]]
        return _Work(
            rows=tuple(sorted(held, key=lambda row: not row.state)),
            gaps=tuple(
                gap
                for gap in self.table.gaps
                if gap.about is GapAbout.RECORDS
                and gap.state == record.state
                and evaluate_condition(gap.when, subject)[0]
            ),
            writing=find_write_duties(self.table, record.state, subjects),
            keeping=find_keep_duties(self.table, self.operation, subjects),
        )

    def _make_subjects(self, record: Application) -> tuple[Subject, ...]:
        """Give the work as the record and as its job say it, with every machine it may have been.

        A machine or person that is in the file no more may have been any of those that are.
        """
        asked = self._make_subject(record)
        jobs = [asked.job]
        jobs += [replace(one, state=record.state) for one in self._list_jobs(record)]
        machine = self.operation.find_aircraft(record.aircraft)
        pilot = self.operation.find_pilot(record.pilot)
        machines = (machine,) if machine is not None else self.operation.aircraft
        pilots = (pilot,) if pilot is not None else self.operation.pilots
        return tuple(
            Subject(operation=self.operation, job=job, aircraft=one, pilot=person)
            for job in jobs
            for one in machines or (_ANY_AIRCRAFT,)
            for person in pilots or (_ANY_PILOT,)
        )

    def _list_jobs(self, record: Application) -> list[Job]:
        return [one for one in self.operation.jobs if one.id == record.job]

    def _make_subject(self, record: Application) -> Subject:
        job = Job(
            id=record.job,
            first_day=record.on,
            last_day=record.on,
            state=record.state,
            for_hire=record.for_hire,
            restricted_use=record.restricted_use,
            material=record.material,
            aircraft=(),
            pilots=(),
        )
        return Subject(operation=self.operation, job=job, aircraft=_ANY_AIRCRAFT, pilot=_ANY_PILOT)


def find_lacking(record: Application, rows: Iterable[RecordRow]) -> tuple[Lacking, ...]:
    """Say which elements each rule asks for that are not there; rules that lack none are left out.

    A record without a product does not lack what belongs to products, but the product itself.
    """
    found = []
    held = record.list_held()
    for row in rows:
        if not held.issuperset(row.elements):
            missing = tuple(name for name in row.elements if name not in held)
            found.append(Lacking(row=row, elements=missing))
    return tuple(found)


def compute_write_by(record: Application, row: Limit, ended: datetime | None = None) -> date | None:
    """Give the last day, inclusive, to write a record by one rule or duty; None without a limit.

    Units: calendar days after the day of the application; never moved over a weekend. Hours run
    from the end of the work, and are cut to the day they end on: *ended* is the aware end of its
    flight, which may be on the day after the record's; without one it is the end of the
    application, or the start of its day when that is not known. Days of careful practice run from
    the day of that end.
    """
    within, unit = find_within(row)
    if within is None:
        return None
    if unit is DueUnit.HOURS:
        if ended is not None:
            return add_hours(ended, within).date()
        return (_find_end(record) + timedelta(hours=within)).date()
    return add_days(ended.date() if ended is not None and is_careful(row) else record.on, within)


def compute_write_moment(row: Limit, ended: datetime | None) -> datetime | None:
    """Give the last moment to write a record of a flight that *ended*; None unless hours count."""
    within, unit = find_within(row)
    if within is None or unit is not DueUnit.HOURS or ended is None:
        return None
    return add_hours(ended, within)


def _find_end(record: Application) -> datetime:
    clock = record.end or record.start or "00:00"
    # Whole days are wanted, so the wall clock is counted without its zone.
    return datetime.combine(record.on, time.fromisoformat(clock))


def find_late(
    record: Application, rows: Iterable[Limit], first: date, ended: datetime | None = None
) -> tuple[Late, ...]:
    """Say which rules' time had passed on the day *first*, when the record was first written.

    *ended* is the end of its flight, as in `compute_write_by`.
    """
    limits = ((row, compute_write_by(record, row, ended)) for row in rows)
    return tuple(Late(row=row, by=by) for row, by in limits if by is not None and first > by)
