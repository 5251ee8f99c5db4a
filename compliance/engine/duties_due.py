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
    OF_FLIGHT,
    RESTING,
    UNNEEDED,
    DueDuty,
    DutyBook,
    DutyState,
    UndatedDuty,
    duty_id,
    is_careful_duty,
    say_owner,
)
from compliance.engine.duty_flights import (
    days_before_any_hour,
    find_first_start,
    has_start_in_time,
    list_planned_flights,
)
from compliance.engine.duty_ground import Ground, make_ground
from compliance.engine.duty_occasions import MONTHS_BACK, Occasion, list_occasions
from compliance.engine.duty_order import sort_duties
from compliance.engine.duty_terms import Counted, choose_term
from compliance.facts.events import JobEvent, JobEventKind
from compliance.facts.log import LogEntry
from compliance.facts.model import Holder, Operation
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

    Shape: due ones by their last moment, then in table order; done ones included. Duties before a
    flight or job that has passed are left out, and so is what was to be kept through a day that has
    passed.
    Undated ones are those that wait for something to happen. Duties of papers that are held while
    no job needs them are included and marked. Own terms count on the days on which their paper is
    in force, the strictest of several. An edition of a row counts when it is
    in force on the day of the occasion.
    Units: *now* lets a duty that counts hours be overdue within the day; without it the whole of
    *as_of* is on time.
    """
    ground = make_ground(operation, table, verdicts, log, events, as_of)
    days = [as_of, *(event.on for event in ground.events)]
    federal = build_federal_calendar(
        min(days) - timedelta(days=_DAYS_BEFORE), max(days) + timedelta(days=_DAYS_AFTER)
    )
    clock = _Clock(ground, federal, _list_ticked(ground.events), now)
    due: list[DueDuty] = []
    undated: list[UndatedDuty] = []
    for row in table.duties:
        needing = [(one, True) for one in ground.holders_of(row)]
        for holder, needed in (*needing, *((one, False) for one in ground.unneeded_of(row))):
            found = tuple(clock.list_due(row, holder, needed=needed))
            due.extend(found)
            if not found and row.in_force_on(as_of) and _waits(row):
                undated.extend(clock.list_undated(row, holder, needed=needed))
    shown = sort_duties(operation, (one for one in due if not _is_gone(one, as_of)))
    return DutyBook(
        due=tuple(one for one in shown if not _is_old(one, as_of)),
        older=tuple(one for one in shown if _is_old(one, as_of)),
        undated=_merge_editions(undated),
    )


def _waits(row: DutyRow) -> bool:
    """Tell whether a duty waits for something to happen that nobody can plan."""
    planned = {DutyEvent.FLIGHT_START, DutyEvent.JOB_START, DutyEvent.JOB_END}
    return not planned & set(row.events)


def _merge_editions(undated: list[UndatedDuty]) -> tuple[UndatedDuty, ...]:
    return tuple({(one.row.id, one.holder): one for one in undated}.values())


def _is_old(duty: DueDuty, as_of: date) -> bool:
    """Tell whether it is of a month or a flight before the year that is looked back on.

    What is still kept, or is still to come, is never old, however long ago its flight was.
    """
    floor = add_months(as_of.replace(day=1), -MONTHS_BACK)
    if duty.event_on >= floor:
        return False
    of_flight = duty.occasion.startswith(OF_FLIGHT) and duty.state is not DutyState.RUNNING
    return DutyEvent.MONTH_FLOWN in duty.row.events or (of_flight and duty.due_on < as_of)


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

    def list_due(self, row: DutyRow, holder: Holder, *, needed: bool) -> Iterator[DueDuty]:
        """Give a duty for each of its occasions that it is asked for."""
        for event in row.events:
            for occasion in self._occasions(event, row, holder):
                if not row.in_force_on(occasion.began_on) or not occasion.fits(holder):
                    continue
                if occasion.job and not self._concerns(row, holder, occasion):
                    continue
                if not needed and not self._is_held(event, row, holder, occasion):
                    continue
                counted = self._count(row, holder, occasion)
                if counted is not None:
                    yield self._due(counted, holder, occasion, needed=needed)

    def list_undated(self, row: DutyRow, holder: Holder, *, needed: bool) -> Iterator[UndatedDuty]:
        """Give a duty whose clock has not started, as it counts on the day of the book."""
        today = self.ground.as_of
        if not needed and not self.ground.papers.is_in_force(row.paper, holder, today, today):
            return
        now = Occasion(key="", about="", began_on=today, ended_on=today)
        counted = self._count(row, holder, now)
        if counted is not None:
            yield UndatedDuty(
                row=counted.row,
                holder=holder,
                jobs=self.ground.jobs_for(row, holder),
                term=counted.term,
                beside=counted.beside,
                not_before=counted.not_before,
                apart=counted.apart,
                needed=needed,
            )

    def _is_held(self, event: DutyEvent, row: DutyRow, holder: Holder, occasion: Occasion) -> bool:
        """Tell whether a paper that no job needs is in force when its clock starts."""
        if event is DutyEvent.PAPER_ENDS and occasion.began_on < self.ground.as_of:
            return False
        return self.ground.papers.is_in_force(row.paper, holder, *occasion.about_days)

    def _count(self, row: DutyRow, holder: Holder, occasion: Occasion) -> Counted | None:
        """Give the duty as the papers in force on the days of an occasion have it."""
        terms = self.ground.papers.list_terms(row, holder, *occasion.about_days)
        return choose_term(
            row,
            terms,
            lambda own: self._limit(own, occasion, own.count),
            lambda own: self._opens(own, occasion),
        )

    def _count_row(self, row: DutyRow, holder: Holder, occasion: Occasion) -> DutyRow | None:
        counted = self._count(row, holder, occasion)
        return counted.row if counted is not None else None

    def _occasions(self, event: DutyEvent, row: DutyRow, holder: Holder) -> tuple[Occasion, ...]:
        if event is DutyEvent.FLIGHT_START:
            count = partial(self._count_row, row, holder)
            return tuple(list_planned_flights(self.ground, count, self._judge))
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
        self, counted: Counted, holder: Holder, occasion: Occasion, *, needed: bool
    ) -> DueDuty:
        row = counted.row
        careful = is_careful_duty(row, counted.term)
        # What no rule times is not asked for before the work has ended.
        timed = replace(row, from_end=True) if careful else row
        due_on, due_at = self._limit(timed, occasion, row.count)
        opens_on, opens_at = self._opening(counted.opener or row, occasion, due_on)
        done_on = self._done_on(row, holder, occasion)
        state = self._state(row, occasion, done_on)
        if careful and state is DutyState.OVERDUE:
            state = DutyState.OPEN
        return DueDuty(
            id=duty_id(row.id, holder, occasion.key),
            row=row,
            holder=holder,
            occasion=occasion.key,
            about=occasion.about if needed else f"{occasion.about} ({UNNEEDED})",
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
            term=counted.term,
            beside=counted.beside,
            not_before=counted.not_before,
            apart=counted.apart,
            needed=needed,
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
        if not row.opens:
            return None, None
        opens_on, opens_at = self._opens(row, occasion)
        return (opens_on, opens_at) if opens_on <= due_on else (None, None)

    def _opens(self, row: DutyRow, occasion: Occasion) -> tuple[date, datetime | None]:
        if row.unit is DueUnit.HOURS and row.before and occasion.began_at is None:
            # The flight may start as late as the end of its day.
            return add_days(occasion.began_on, 1 - row.opens // 24), None
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
        if (
            occasion.any_hour
            and row.unit is DueUnit.HOURS
            and has_start_in_time(
                occasion.began_on, row.count, occasion.zone, as_of=self.ground.as_of, now=self.now
            )
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
