"""When to ask an office about a packet that is still there."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from compliance.base.calendars import DayCalendar, OutOfRangeError
from compliance.engine.ask_model import AskDay, AskWhy
from compliance.engine.edition_seen import find_rows_for
from compliance.engine.office_days import OfficeDays
from compliance.engine.turnaround import Observation, Outcome, Seen
from compliance.engine.turnaround_belief import Belief, believe_without
from compliance.facts.log import LogEntry
from compliance.rules.model import CalendarName, StepRow

ASK_AT = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """A packet at an office, and from when its silence is unusual.

    ``step`` is the one the packet is at by usual days, which began on ``began_on``; ``age`` counts
    the days since then, on the calendar of that step. ``there_since`` is the day the packet came to
    the office, None when that is the same. ``unusual_from`` is the first working day of offices by
    which nine in ten such packets are answered and usual mail has brought what comes by mail:
    ``nine_in_ten_by`` counted days after ``answer_from``, when the step whose answer is seen,
    ``answer_step``, begins by usual days. ``heard`` is what the office last said of it;
    ``again_on`` is then the working day on which half the usual spread, the days between half and
    nine in ten, has gone by once more, and ``next_on`` the office's first working day after it was
    heard. ``open_on`` is the first working day from today on. ``is_one_of_several`` tells that the
    packet passes several steps of the office. ``planned`` is the day to ask that the plan names,
    None where no plan was made.
    """

    operation: str
    packet: str
    step: str
    began_on: date
    age: int
    answer_step: str
    answer_from: date
    nine_in_ten_by: int
    unusual_from: date
    heard: LogEntry | None = None
    again_on: date | None = None
    next_on: date | None = None
    there_since: date | None = None
    open_on: date | None = None
    is_one_of_several: bool = False
    workdays: DayCalendar | None = field(default=None, compare=False, repr=False)
    planned: AskDay | None = None

    def ask_day(self, needed_by: date | None = None, usual_on: date | None = None) -> AskDay:
        """Give the day to ask: when silence is unusual, or when the paper is needed if sooner.

        *usual_on* is the day by which the paper is there by usual days: before that nobody has to
        be asked. After the office was heard it is the day the office named, else half the usual
        spread later, and not sooner than it would have been; but never after the day the paper is
        needed. When that day has gone, it is the day the office named, else the office's next
        working day.

        Shape: always a working day of offices. The day silence is unusual, the usual day and a day
        the office named move on to the next one, the day the paper is needed back to the one
        before.
        """
        at_step = self.step if self.is_one_of_several else ""
        found = self._find_day(needed_by, usual_on)
        return replace(found, open_on=self.open_on, at_step=at_step)

    def _find_day(self, needed_by: date | None, usual_on: date | None) -> AskDay:
        first = self._first(needed_by, usual_on)
        if self.heard is None or self.again_on is None:
            return first
        asked = self.heard.happened_on
        if self.heard.expects is not None:
            named = self._workday(self.heard.expects)
            why = AskWhy.NAMED if named == self.heard.expects else AskWhy.AFTER_NAMED
            found = AskDay(on=named, why=why, before=first.on)
        elif self.again_on > first.on:
            found = AskDay(on=self.again_on, why=AskWhy.SPREAD, before=first.on)
        else:
            found = replace(first, before=first.on)
        if needed_by is None or found.on <= needed_by:
            return found
        last = self._needed(needed_by)
        if last.on > asked:
            return replace(last, before=first.on)
        if self.heard.expects is not None or self.next_on is None:
            return found
        return replace(found, on=self.next_on, why=AskWhy.TOO_LATE)

    def _first(self, needed_by: date | None, usual_on: date | None) -> AskDay:
        """Give the day to ask of a packet of which nothing was heard."""
        unusual = AskDay(on=self.unusual_from, why=AskWhy.UNUSUAL)
        if needed_by is None:
            return unusual
        found = self._needed(needed_by)
        usual = None if usual_on is None else self._workday(usual_on)
        if usual is not None and usual > found.on:
            found = AskDay(on=usual, why=AskWhy.USUAL)
        return found if found.on < unusual.on else unusual

    def _needed(self, needed_by: date) -> AskDay:
        """Give the last working day of offices up to the day the paper is needed."""
        if self.workdays is None:
            return AskDay(on=needed_by, why=AskWhy.NEEDED)
        day = date.fromordinal(self.workdays.on_or_before(needed_by.toordinal()))
        return AskDay(on=day, why=AskWhy.NEEDED if day == needed_by else AskWhy.BEFORE_NEEDED)

    def _workday(self, day: date) -> date:
        """Give the first working day of offices from a day on."""
        if self.workdays is None:
            return day
        return date.fromordinal(self.workdays.on_or_after(day.toordinal()))


def compute_follow_ups(
    observations: tuple[Observation, ...],
    rows: tuple[StepRow, ...],
    seen: Seen,
    days: OfficeDays,
    as_of: date,
    editions: tuple[StepRow, ...] = (),
) -> tuple[FollowUp, ...]:
    """Compute when to ask about each pending packet of a log, in the order of *observations*.

    The day rests on what is believed without that packet: else its own slowness would move the
    day on and on. *rows* are those in force today; *editions* are all, in force or not, so that a
    packet is judged by the edition that its wait counts by (`edition_seen`).
    """
    calendars = days.of_rows(rows)
    beliefs: dict[tuple[str, int, date | None], Belief] = {}
    found = []
    for one in observations:
        calendar = calendars.get(one.step)
        if one.outcome is not Outcome.PENDING or not one.packet or calendar is None:
            continue
        age = max(calendar.count(one.sent_on.toordinal(), as_of.toordinal()), 0)
        try:
            own = find_rows_for(one.step, one.sent_on, rows, editions, days)
            first = next(row.applies_from for row in own if row.id == one.step)
            key = (one.step, age, first)
            if key not in beliefs:
                beliefs[key] = believe_without(own, seen, one.step, age)
            found.append(_follow(one, beliefs[key], days.of_rows(own), days, as_of))
        except OutOfRangeError:
            continue
    return tuple(found)


def _follow(
    one: Observation,
    belief: Belief,
    calendars: Mapping[str, DayCalendar],
    days: OfficeDays,
    as_of: date,
) -> FollowUp:
    """Work out the days of one packet.

    Raises:
        OutOfRangeError: A day is outside its calendar.
    """
    calendar, workdays = calendars[one.step], days.calendar(CalendarName.FEDERAL)
    half, by = belief.days_by(0.5), belief.days_by(ASK_AT)
    at = one.stop_on(as_of)
    own = calendars.get(at.step, calendar)
    again_on = next_on = None
    if one.heard is not None:
        asked = one.heard.happened_on.toordinal()
        again_on = workdays.on_or_after(calendar.forward(asked, -(-(by - half) // 2)))
        next_on = workdays.forward(asked, 1)
    unusual = _at_home(days, calendar.forward(one.sent_on.toordinal(), by), one)
    return FollowUp(
        operation=one.operation,
        packet=one.packet,
        step=at.step,
        began_on=at.began_on,
        age=max(own.count(at.began_on.toordinal(), as_of.toordinal()), 0),
        answer_step=one.step,
        answer_from=one.sent_on,
        nine_in_ten_by=by,
        unusual_from=date.fromordinal(workdays.on_or_after(unusual)),
        heard=one.heard,
        again_on=None if again_on is None else date.fromordinal(again_on),
        next_on=None if next_on is None else date.fromordinal(next_on),
        there_since=one.there_since if one.there_since != at.began_on else None,
        open_on=date.fromordinal(workdays.on_or_after(as_of.toordinal())),
        is_one_of_several=bool(one.stops) or one.there_since is not None,
        workdays=workdays,
    )


def _at_home(days: OfficeDays, day: int, seen: Observation) -> int:
    """Give the day on which usual mail has brought what was decided on a day."""
    for name, usual in seen.way_home:
        day = days.calendar(name).forward(day, usual)
    return day
