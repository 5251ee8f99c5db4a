"""When to ask an office about a packet that is still there."""

from dataclasses import dataclass
from datetime import date

from compliance.base.calendars import OutOfRangeError
from compliance.engine.office_days import OfficeDays
from compliance.engine.turnaround import Observation, Outcome, Seen
from compliance.engine.turnaround_belief import Belief, believe_without
from compliance.rules.model import StepRow

ASK_AT = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowUp:
    """A packet at an office, and from when its silence is unusual.

    ``age`` counts the days it has been there, on the calendar of its step. By ``unusual_from`` nine
    in ten such packets are decided, by ``half_on`` half of them, and usual mail has brought what
    comes by mail.
    """

    operation: str
    packet: str
    step: str
    began_on: date
    age: int
    nine_in_ten_by: int
    half_on: date
    unusual_from: date

    def ask_on(self, needed_by: date | None) -> date:
        """Give the day to ask: when silence is unusual, or when the paper is needed if sooner.

        Before half of all such packets are decided nobody has to be asked.
        """
        if needed_by is None:
            return self.unusual_from
        return min(self.unusual_from, max(needed_by, self.half_on))


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
        by = beliefs[key].days_by(ASK_AT)
        try:
            half_on = _at_home(days, calendar.forward(began, beliefs[key].days_by(0.5)), one)
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
            )
        )
    return tuple(found)


def _at_home(days: OfficeDays, day: int, seen: Observation) -> date:
    """Give the day on which usual mail has brought what was decided on a day."""
    for name, usual in seen.way_home:
        day = days.calendar(name).forward(day, usual)
    return date.fromordinal(day)
