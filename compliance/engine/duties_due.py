"""Which duties are due, for which occasion, by which day or moment, and how they stand."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import partial

from compliance.base.calendars import DayCalendar
from compliance.base.dates import add_days, add_months
from compliance.base.holidays import build_federal_calendar
from compliance.engine.applies import Verdict
from compliance.engine.duties import compute_duty_due
from compliance.engine.duties_model import (
    RESTING,
    DueDuty,
    DutyBook,
    DutyState,
    UndatedDuty,
    duty_id,
    say_owner,
)
from compliance.engine.duty_flights import (
    days_before_any_hour,
    find_first_start,
    has_start_in_time,
    list_planned_flights,
)
from compliance.engine.duty_ground import Ground
from compliance.engine.duty_occasions import MONTHS_BACK, Occasion, list_occasions
from compliance.facts.events import JobEvent, JobEventKind, find_standing_events
from compliance.facts.log import LogEntry, find_standing
from compliance.facts.model import Holder, Operation
from compliance.facts.own_terms import OwnTerm
from compliance.facts.zones import add_hours
from compliance.rules.model import DueUnit, DutyEvent, DutyKind, DutyRow, RulesTable

# Room on both ends of the federal calendar for events long past and papers that last for years.
_DAYS_BEFORE, _DAYS_AFTER = 1_500, 4_500
# What cannot be made good once the flight or job has begun, and is not shown any more.
_GONE_AFTER = frozenset({DutyEvent.FLIGHT_START, DutyEvent.JOB_START})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ticked:
    """One duty somebody ticked off."""

    owner: str
    occasion: str
    and_before: bool
    on: date


def compute_duty_book(
    operation: Operation,
    table: RulesTable,
    verdicts: tuple[Verdict, ...],
    log: tuple[LogEntry, ...],
    events: tuple[JobEvent, ...],
    *,
    as_of: date,
    now: datetime | None = None,
) -> DutyBook:
    """Compute every duty of an operation as of one day.

    Shape: due ones by day, then in table order; done ones included. Duties before a flight or job
    that has passed are left out, and so is what was to be kept through a day that has passed.
    Undated ones are those that wait for something to happen. An edition of a row counts when it is
    in force on the day of the occasion.
    Units: *now* lets a duty that counts hours be overdue within the day; without it the whole of
    *as_of* is on time.
    """
    ground = Ground(
        operation=operation,
        verdicts=verdicts,
        log=find_standing(log),
        events=find_standing_events(events),
        as_of=as_of,
    )
    days = [as_of, *(event.on for event in ground.events)]
    federal = build_federal_calendar(
        min(days) - timedelta(days=_DAYS_BEFORE), max(days) + timedelta(days=_DAYS_AFTER)
    )
    clock = _Clock(ground, federal, _list_ticked(ground.events), now)
    due: list[DueDuty] = []
    undated: list[UndatedDuty] = []
    for row in table.duties:
        for holder in ground.holders_of(row):
            term = ground.find_term(row, holder)
            if term is not None and not term.applies:
                continue
            own = apply_term(row, term)
            found = tuple(clock.list_due(own, holder, term))
            due.extend(found)
            if not found and row.in_force_on(as_of) and _waits(row):
                jobs = ground.jobs_for(row, holder)
                undated.append(UndatedDuty(row=own, holder=holder, jobs=jobs, term=term))
    shown = sorted((one for one in due if not _is_gone(one, as_of)), key=lambda one: one.due_on)
    return DutyBook(
        due=tuple(one for one in shown if not _is_old(one, as_of)),
        older=tuple(one for one in shown if _is_old(one, as_of)),
        undated=_merge_editions(undated),
    )


def apply_term(row: DutyRow, term: OwnTerm | None) -> DutyRow:
    """Give a duty with the numbers of the holder's own document, when there is one."""
    if term is None or not term.applies:
        return row
    return replace(row, count=term.count, unit=DueUnit(term.unit), opens=term.opens)


def _waits(row: DutyRow) -> bool:
    """Tell whether a duty waits for something to happen that nobody can plan."""
    planned = {DutyEvent.FLIGHT_START, DutyEvent.JOB_START, DutyEvent.JOB_END}
    return not planned & set(row.events)


def _merge_editions(undated: list[UndatedDuty]) -> tuple[UndatedDuty, ...]:
    return tuple({(one.row.id, one.holder): one for one in undated}.values())


def _is_old(duty: DueDuty, as_of: date) -> bool:
    """Tell whether it is the report of a month before the year that is looked back on."""
    floor = add_months(as_of.replace(day=1), -MONTHS_BACK)
    return DutyEvent.MONTH_FLOWN in duty.row.events and duty.event_on < floor


def _is_gone(duty: DueDuty, as_of: date) -> bool:
    if duty.state is DutyState.RUNNING:
        return duty.due_on < as_of
    too_late = duty.row.before and bool(_GONE_AFTER & set(duty.row.events))
    ended = duty.row.before and DutyEvent.PAPER_ENDS in duty.row.events
    return (too_late or ended) and duty.event_on < as_of


def _is_before(key: str, other: str) -> bool:
    """Tell whether one occasion of a duty comes before another of the same kind."""
    (kind, at), (other_kind, other_at) = _place(key), _place(other)
    return kind == other_kind and at < other_at


def _place(key: str) -> tuple[str, str]:
    """Split an occasion into its kind, or its job, and a text that sorts as it happened."""
    kind, dash, number = key.rpartition("-")
    if dash and kind in {"flight", "event"}:
        return kind, number.rjust(9, "0")
    job, _, day = key.rpartition("@")
    return job, day


def _list_ticked(events: tuple[JobEvent, ...]) -> tuple[_Ticked, ...]:
    return tuple(
        _Ticked(owner=event.duty, occasion=event.occasion, and_before=event.and_before, on=event.on)
        for event in events
        if event.kind is JobEventKind.DID
    )


@dataclass(frozen=True, slots=True)
class _Clock:
    """Count the days and hours of duties."""

    ground: Ground
    federal: DayCalendar
    ticked: tuple[_Ticked, ...]
    now: datetime | None
    # A season has hundreds of flights, but few pairs of aircraft and pilot.
    flown: dict[DutyEvent, tuple[Occasion, ...]] = field(default_factory=dict)
    asked: dict[tuple[object, ...], bool] = field(default_factory=dict)

    def list_due(self, row: DutyRow, holder: Holder, term: OwnTerm | None) -> Iterator[DueDuty]:
        """Give a duty for each of its occasions."""
        for event in row.events:
            for occasion in self._occasions(event, row, holder):
                if not row.in_force_on(occasion.began_on) or not occasion.fits(holder):
                    continue
                if occasion.job and not self._concerns(row, holder, occasion):
                    continue
                yield self._due(row, holder, occasion, term)

    def _occasions(self, event: DutyEvent, row: DutyRow, holder: Holder) -> tuple[Occasion, ...]:
        if event is DutyEvent.FLIGHT_START:
            return tuple(list_planned_flights(self.ground, row, partial(self._judge, row)))
        if event not in {DutyEvent.FLIGHT, DutyEvent.RE_ENTRY_ENDS}:
            return tuple(list_occasions(self.ground, event, row, holder))
        if event not in self.flown:
            self.flown[event] = tuple(list_occasions(self.ground, event, row, holder))
        return self.flown[event]

    def _concerns(self, row: DutyRow, holder: Holder, occasion: Occasion) -> bool:
        key = (row.place, row.id, holder, occasion.job, occasion.aircraft, occasion.pilot)
        if key not in self.asked:
            self.asked[key] = self.ground.concerns(row, holder, occasion.subjects)
        return self.asked[key]

    def _due(
        self, row: DutyRow, holder: Holder, occasion: Occasion, term: OwnTerm | None
    ) -> DueDuty:
        due_on, due_at = self._limit(row, occasion, row.count)
        opens_on, opens_at = (None, None)
        if row.opens:
            opens_on, opens_at = self._opening(row, occasion, due_on)
        done_on = self._done_on(row, holder, occasion)
        state = self._state(row, occasion, done_on)
        return DueDuty(
            id=duty_id(row.id, holder, occasion.key),
            row=row,
            holder=holder,
            occasion=occasion.key,
            about=occasion.about,
            job=occasion.job,
            event_on=occasion.began_on,
            due_on=due_on,
            due_at=due_at,
            opens_on=opens_on,
            opens_at=opens_at,
            any_hour=occasion.any_hour and row.unit is DueUnit.HOURS,
            hour_fault=occasion.hour_fault if row.unit is DueUnit.HOURS else "",
            state=state,
            start_from=self._start_from(row, occasion, state),
            done_on=done_on,
            term=term,
        )

    def _limit(self, row: DutyRow, occasion: Occasion, count: int) -> tuple[date, datetime | None]:
        """Give the last day on time, and the moment when clock hours are counted."""
        if row.unit is DueUnit.HOURS:
            moment = occasion.began_at if row.before else occasion.ended_at
            if moment is not None:
                due_at = add_hours(moment, -count if row.before else count)
                return due_at.date(), due_at
            if row.before:
                return add_days(occasion.began_on, -days_before_any_hour(count)), None
            # Without an hour the careful reading is the day itself and no more than whole days.
            return add_days(occasion.began_on, count // 24), None
        from_end = row.from_end or row.kind in RESTING
        start = occasion.ended_on if from_end else occasion.began_on
        due = compute_duty_due(replace(row, count=count), start, self.federal)
        if row.before and row.kind is DutyKind.FILE:
            # Counted backward onto a closed day: the working day before is the last one.
            due = date.fromordinal(self.federal.on_or_before(due.toordinal()))
        return due, None

    def _opening(
        self, row: DutyRow, occasion: Occasion, due_on: date
    ) -> tuple[date | None, datetime | None]:
        """Give the first day on time; None when no whole day lies in the window."""
        if row.unit is DueUnit.HOURS and occasion.began_at is None:
            # The flight may start as late as the end of its day.
            first = add_days(occasion.began_on, 1 - row.opens // 24)
            return (first, None) if first <= due_on else (None, None)
        return self._limit(row, occasion, row.opens)

    def _done_on(self, row: DutyRow, holder: Holder, occasion: Occasion) -> date | None:
        owners = {row.id, say_owner(row.id, holder)}
        for tick in self.ticked:
            if tick.owner in owners and (
                tick.occasion == occasion.key
                or (tick.and_before and _is_before(occasion.key, tick.occasion))
            ):
                return tick.on
        return occasion.done_on

    def _state(self, row: DutyRow, occasion: Occasion, done_on: date | None) -> DutyState:
        if done_on is not None:
            return DutyState.DONE
        return DutyState.RUNNING if row.kind in RESTING else self._judge(row, occasion)

    def _judge(self, row: DutyRow, occasion: Occasion) -> DutyState:
        """Say whether an occasion is still in time, done or not."""
        due_on, due_at = self._limit(row, occasion, row.count)
        late = self.ground.as_of > due_on
        if due_at is not None and self.now is not None:
            late = self.now > due_at
        if not late:
            return DutyState.OPEN
        if occasion.any_hour and has_start_in_time(
            occasion.began_on, row.count, occasion.zone, as_of=self.ground.as_of, now=self.now
        ):
            return DutyState.LATE_FOR_SOME
        return DutyState.OVERDUE

    def _start_from(self, row: DutyRow, occasion: Occasion, state: DutyState) -> datetime | None:
        """Give the first start that is in time when a flight that is late is told of now."""
        late = state in {DutyState.LATE_FOR_SOME, DutyState.OVERDUE}
        planned = row.before and DutyEvent.FLIGHT_START in row.events
        if not late or not planned or self.now is None or row.unit is not DueUnit.HOURS:
            return None
        return find_first_start(self.now, row.count, occasion.zone)
