"""When to ask an office about a packet that is still there."""

from dataclasses import dataclass, field, replace
from datetime import date

from compliance.base.calendars import DayCalendar, OutOfRangeError
from compliance.engine.ask_model import AskDay, AskWhy
from compliance.engine.office_days import OfficeDays
from compliance.engine.turnaround import Observation, Outcome, Seen
from compliance.engine.turnaround_belief import Belief, believe_without
from compliance.facts.log import LogEntry
from compliance.rules.model import CalendarName, StepRow

ASK_AT = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """A packet at an office, and from when its silence is unusual.

    ``age`` counts the days it has been there, on the calendar of its step. By ``unusual_from`` nine
    in ten such packets are decided, by ``half_on`` half of them, and usual mail has brought what
    comes by mail. ``heard`` is what the office last said of it; ``again_on`` is then the day on
    which half the usual spread, the days between half and nine in ten, has gone by once more, and
    ``next_on`` the office's first working day after it was heard. ``there_since`` is the day the
    packet came to the office, which ``began_on`` may be after: there the step began, by usual days.
    """

    operation: str
    packet: str
    step: str
    began_on: date
    age: int
    nine_in_ten_by: int
    half_on: date
    unusual_from: date
    heard: LogEntry | None = None
    again_on: date | None = None
    next_on: date | None = None
    there_since: date | None = None
    workdays: DayCalendar | None = field(default=None, compare=False, repr=False)

    def ask_on(self, needed_by: date | None) -> date:
        """Give the day to ask; see `ask_day`."""
        return self.ask_day(needed_by).on

    def ask_day(self, needed_by: date | None) -> AskDay:
        """Give the day to ask: when silence is unusual, or when the paper is needed if sooner.

        Before half of all such packets are decided nobody has to be asked. After the office was
        heard it is the day the office named, else half the usual spread later, and not sooner than
        it would have been; but never after the day the paper is needed. When that day has gone,
        it is the day the office named, else the office's next working day. A day to ask again is a
        working day of offices, unless the office named it.
        """
        first = AskDay(on=self.unusual_from, why=AskWhy.UNUSUAL)
        if needed_by is not None and max(needed_by, self.half_on) < self.unusual_from:
            why = AskWhy.NEEDED if needed_by >= self.half_on else AskWhy.HALF
            first = AskDay(on=max(needed_by, self.half_on), why=why)
        if self.heard is None or self.again_on is None:
            return first
        asked = self.heard.happened_on
        if self.heard.expects is not None:
            found = AskDay(on=self.heard.expects, why=AskWhy.NAMED, before=first.on)
        elif self.again_on > first.on:
            found = AskDay(on=self.again_on, why=AskWhy.SPREAD, before=first.on)
        else:
            found = AskDay(on=self._workday(first.on), why=first.why, before=first.on)
        if needed_by is None or found.on <= needed_by:
            return found
        last = self._workday_before(needed_by)
        if last > asked:
            return replace(found, on=last, why=AskWhy.NEEDED)
        if found.why is AskWhy.NAMED or self.next_on is None:
            return found
        return replace(found, on=self.next_on, why=AskWhy.TOO_LATE)

    def _workday(self, day: date) -> date:
        """Give the first working day of offices from a day on."""
        if self.workdays is None:
            return day
        return date.fromordinal(self.workdays.on_or_after(day.toordinal()))

    def _workday_before(self, day: date) -> date:
        """Give the last working day of offices up to a day."""
        if self.workdays is None:
            return day
        return date.fromordinal(self.workdays.on_or_before(day.toordinal()))


def compute_follow_ups(
    observations: tuple[Observation, ...],
    rows: tuple[StepRow, ...],
    seen: Seen,
    days: OfficeDays,
    as_of: date,
) -> tuple[FollowUp, ...]:
    """Compute when to ask about each pending packet of a log, in the order of *observations*.

    The day rests on what is believed without that packet: else its own slowness would move the
    day on and on.
    """
    calendars = days.of_rows(rows)
    workdays = days.calendar(CalendarName.FEDERAL)
    beliefs: dict[tuple[str, int], Belief] = {}
    found = []
    for one in observations:
        calendar = calendars.get(one.step)
        if one.outcome is not Outcome.PENDING or not one.packet or calendar is None:
            continue
        began = one.sent_on.toordinal()
        age = max(calendar.count(began, as_of.toordinal()), 0)
        key = (one.step, age)
        if key not in beliefs:
            beliefs[key] = believe_without(rows, seen, one.step, age)
        half, by = beliefs[key].days_by(0.5), beliefs[key].days_by(ASK_AT)
        try:
            half_on = _at_home(days, calendar.forward(began, half), one)
            again_on = next_on = None
            if one.heard is not None:
                asked = one.heard.happened_on.toordinal()
                again = calendar.forward(asked, -(-(by - half) // 2))
                again_on = date.fromordinal(workdays.on_or_after(again))
                next_on = date.fromordinal(workdays.forward(asked, 1))
            unusual_from = _at_home(days, calendar.forward(began, by), one)
        except OutOfRangeError:
            continue
        found.append(
            FollowUp(
                operation=one.operation,
                packet=one.packet,
                step=one.step,
                began_on=one.sent_on,
                age=age,
                nine_in_ten_by=by,
                half_on=half_on,
                unusual_from=unusual_from,
                heard=one.heard,
                again_on=again_on,
                next_on=next_on,
                there_since=one.there_since,
                workdays=workdays,
            )
        )
    return tuple(found)


def _at_home(days: OfficeDays, day: int, seen: Observation) -> date:
    """Give the day on which usual mail has brought what was decided on a day."""
    for name, usual in seen.way_home:
        day = days.calendar(name).forward(day, usual)
    return date.fromordinal(day)
