"""Duties as entries for a phone's calendar."""

from datetime import date

from compliance.base.dates import say_date
from compliance.engine.duties_model import RESTING, DueDuty, DutyState
from compliance.engine.ledger import Alarm, Entry, EntryState
from compliance.engine.plan_model import Plan
from compliance.outputs.duty_words import say_due, say_hours_unknown, say_source, say_what
from compliance.outputs.words import CAUTION
from compliance.rules.model import DutyEvent

EVENING_BEFORE = Alarm(id="evening-before", days_before=1, hour=18)
WEEK_BEFORE = Alarm(id="week-before", days_before=7, hour=8)


def compute_duty_entries(plan: Plan) -> tuple[Entry, ...]:
    """List the duties that belong on the calendar, in the order of the plan.

    What counts clock hours is at its moment; what is overdue, or a careful day that has passed,
    stands on the plan's day. Before a flight two days of a job are shown at most: today, or its
    first day when that is to come, and once that is too late the next flight wholly in time. The
    flights of one job on one day are one entry, the first limit counting, or a season would bury
    everything else. What is merely kept through a day is left out. Keys hold no date of a flight
    that is only planned, so a job that moves takes its entries along.
    """
    first_days = {job.job.id: max(job.job.first_day, plan.as_of) for job in plan.jobs}
    groups: dict[tuple[str, ...], list[DueDuty]] = {}
    for duty in plan.duties.due:
        first_day = first_days.get(duty.job)
        if duty.row.kind not in RESTING and _is_shown(duty, first_day):
            key = _key(plan, duty)
            key = (*key, "next") if _is_planned(duty) and duty.event_on != first_day else key
            groups.setdefault(key, []).append(duty)
    return tuple(_entry(plan, key, duties) for key, duties in groups.items())


def _is_shown(duty: DueDuty, first_day: date | None) -> bool:
    in_time = duty.state not in {DutyState.OVERDUE, DutyState.LATE_FOR_SOME}
    return not _is_planned(duty) or duty.event_on == first_day or in_time


def _is_planned(duty: DueDuty) -> bool:
    return DutyEvent.FLIGHT_START in duty.row.events


def _key(plan: Plan, duty: DueDuty) -> tuple[str, ...]:
    occasion = duty.occasion.partition("@")[0]
    if occasion.startswith("flight-") and duty.job:
        # A day that was flown does not move any more.
        occasion = f"{duty.job} {duty.event_on}"
    return ("duty", plan.operation.id, duty.row.id, duty.holder.ref or "-", occasion)


def _entry(plan: Plan, key: tuple[str, ...], duties: list[DueDuty]) -> Entry:
    live = [one for one in duties if one.is_live]
    duty = (live or duties)[0]
    title = f"{duty.row.title}: {duty.job}" if duty.job else duty.row.title
    if not live:
        on = duty.done_on or duty.due_on
        text = f"For {duty.about}\nDone on {say_date(on)}\n{CAUTION}"
        return Entry(key=key, on=on, title=title, text=text, state=EntryState.DONE)
    late = duty.state is not DutyState.OPEN
    timed = duty.due_at is not None and not late
    word = "OVERDUE" if duty.state is DutyState.OVERDUE else "LATE FOR SOME STARTS"
    return Entry(
        key=key,
        on=max(plan.as_of, duty.due_on) if late or duty.is_careful else duty.due_on,
        at=duty.due_at if timed else None,
        title=f"{word}: {title}" if late else title,
        text=_text(plan, live),
        alarms=(EVENING_BEFORE,) if timed else (EVENING_BEFORE, WEEK_BEFORE),
    )


def say_left_out(count: int) -> str:
    """Say how many open reports are older than what the calendar shows, nothing without any."""
    if not count:
        return ""
    many = "1 older report is" if count == 1 else f"{count:,} older reports are"
    return f"{many} still open and not on the calendar: `mailby duties --all` lists them."


def _count_older(plan: Plan, duty: DueDuty) -> int:
    """Count the open reports older than what is shown, for the first entry of their kind only."""

    def is_alike(one: DueDuty) -> bool:
        return one.is_live and (one.row.id, one.holder) == (duty.row.id, duty.holder)

    first = next(filter(is_alike, plan.duties.due), None)
    return sum(map(is_alike, plan.duties.older)) if first is duty else 0


def _text(plan: Plan, live: list[DueDuty]) -> str:
    duty, last = live[0], live[-1]
    # How far off it is would change the text, and with it the entry, every day.
    said = say_due(duty, plan.as_of)
    when = said if duty.is_careful else said.partition(", ")[0]
    more = f", and {len(live) - 1} more that day" if len(live) > 1 else ""
    lines = [
        f"{when[:1].upper()}{when[1:]}, for {duty.about}{more}",
        say_what(duty),
        say_hours_unknown(duty),
        say_source(duty),
        f"When it is done: mailby log did {last.id}{' --and-before' if more else ''}",
        say_left_out(_count_older(plan, duty)),
        *plan.reviews,
        CAUTION,
    ]
    return "\n".join(line for line in lines if line)
