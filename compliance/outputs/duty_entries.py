"""Duties as entries for a phone's calendar."""

from collections.abc import Iterator, Mapping
from datetime import date

from compliance.base.dates import add_days, say_date
from compliance.engine.duties_model import OF_FLIGHT, RESTING, DueDuty, DutyState
from compliance.engine.ledger import Alarm, Entry, EntryState
from compliance.engine.plan_model import Plan
from compliance.outputs.duty_groups import MOST_NAMED, DutyGroup, say_group_lacks, say_ticking
from compliance.outputs.duty_words import say_due, say_hours_unknown, say_source, say_what
from compliance.outputs.words import CAUTION
from compliance.rules.model import DutyEvent

EVENING_BEFORE = Alarm(id="evening-before", days_before=1, hour=18)
WEEK_BEFORE = Alarm(id="week-before", days_before=7, hour=8)


def compute_duty_entries(plan: Plan) -> tuple[Entry, ...]:
    """List the duties that belong on the calendar, in the order of the plan.

    What counts clock hours is at its moment; what is overdue, or a careful day that has passed,
    stands on the plan's day. Before a flight three days of a job are shown at most: today, or its
    first day when that is to come; once that is too late tomorrow, where some starts are in time;
    and the next flight wholly in time. The flights of one job on one day are one entry, the first
    limit counting, or a season would bury everything else. Where many days of a job are behind, the
    oldest stands for all on the plan's day, and the others stay on their own. What is merely kept
    through a day is left out. Keys hold no date of a flight that is only planned, so a job that
    moves takes its entries along.
    """
    first_days = {job.job.id: max(job.job.first_day, plan.as_of) for job in plan.jobs}
    groups: dict[tuple[str, ...], list[DueDuty]] = {}
    for duty in plan.duties.due:
        first_day = first_days.get(duty.job)
        if duty.row.kind not in RESTING and _is_shown(duty, first_day, plan.as_of):
            key = _key(plan, duty)
            if _is_planned(duty) and duty.event_on != first_day:
                key = (*key, "next" if duty.state is DutyState.OPEN else "tomorrow")
            groups.setdefault(key, []).append(duty)
    runs = _find_runs(groups, plan.as_of)
    first = {
        run[0]: [one for key in run for one in groups[key] if _is_behind(one, plan.as_of)]
        for run in runs
    }
    stay = {key for run in runs for key in run[1:]}
    return tuple(
        _entry(plan, key, first.get(key, duties), stays=key in stay)
        for key, duties in groups.items()
    )


def _find_runs(
    groups: Mapping[tuple[str, ...], list[DueDuty]], as_of: date
) -> list[list[tuple[str, ...]]]:
    """Find the keys of what is behind on many days or months of one duty, oldest first."""
    runs: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for key, duties in groups.items():
        late = next((one for one in duties if _is_behind(one, as_of)), None)
        if late is not None and (late.occasion.startswith(OF_FLIGHT) or _is_monthly(late)):
            runs.setdefault(key[:-1], []).append(key)
    return [keys for keys in runs.values() if len(keys) > MOST_NAMED]


def _is_monthly(duty: DueDuty) -> bool:
    return DutyEvent.MONTH_FLOWN in duty.row.events


def _is_behind(duty: DueDuty, as_of: date) -> bool:
    careful = duty.is_live and duty.is_careful and duty.due_on < as_of
    return duty.state is DutyState.OVERDUE or careful


def _is_shown(duty: DueDuty, first_day: date | None, as_of: date) -> bool:
    in_time = duty.state not in {DutyState.OVERDUE, DutyState.LATE_FOR_SOME}
    may_go_later = duty.state is DutyState.LATE_FOR_SOME and duty.event_on == add_days(as_of, 1)
    return not _is_planned(duty) or duty.event_on == first_day or in_time or may_go_later


def _is_planned(duty: DueDuty) -> bool:
    return DutyEvent.FLIGHT_START in duty.row.events


def _key(plan: Plan, duty: DueDuty) -> tuple[str, ...]:
    occasion = duty.occasion.partition("@")[0]
    if occasion.startswith(OF_FLIGHT) and duty.job:
        # A day that was flown does not move any more.
        occasion = f"{duty.job} {duty.event_on}"
    return ("duty", plan.operation.id, duty.row.id, duty.holder.ref or "-", occasion)


def _entry(plan: Plan, key: tuple[str, ...], duties: list[DueDuty], *, stays: bool) -> Entry:
    live = [one for one in duties if one.is_live]
    duty = (live or duties)[0]
    title = _say_title(duty)
    if not live:
        on = duty.done_on or duty.due_on
        text = f"For {duty.about}\nDone on {say_date(on)}\n{CAUTION}"
        return Entry(key=key, on=on, title=title, text=text, state=EntryState.DONE)
    late = duty.state is not DutyState.OPEN
    timed = duty.due_at is not None and not late
    moves = (late or duty.is_careful) and not stays
    word = "OVERDUE" if duty.state is DutyState.OVERDUE else "LATE FOR SOME STARTS"
    group = DutyGroup(duties=tuple(live), is_run=len({one.event_on for one in live}) > 1)
    title = _say_run(group) if group.is_run else title
    return Entry(
        key=key,
        on=max(plan.as_of, duty.due_on) if moves else duty.due_on,
        at=duty.due_at if timed else None,
        title=f"{word}: {title}" if late else title,
        text=_text(plan, group),
        alarms=(EVENING_BEFORE,) if timed else (EVENING_BEFORE, WEEK_BEFORE),
    )


def _say_title(duty: DueDuty) -> str:
    tail = duty.occasion if _is_monthly(duty) else duty.job
    return f"{duty.row.title}: {tail}" if tail else duty.row.title


def _say_run(group: DutyGroup) -> str:
    word = "months" if group.is_of_months else "flights"
    return f"{group.first.row.title}: {len(group.occasions)} {word}"


def say_left_out(count: int) -> str:
    """Say how many open duties are older than what the calendar shows, nothing without any."""
    if not count:
        return ""
    many = "1 older duty is" if count == 1 else f"{count:,} older duties are"
    return f"{many} still open and not on the calendar: `mailby duties --all` lists them."


def _count_older(plan: Plan, duty: DueDuty) -> int:
    """Count the open reports older than what is shown, for the first entry of their kind only."""

    def is_alike(one: DueDuty) -> bool:
        return one.is_live and (one.row.id, one.holder) == (duty.row.id, duty.holder)

    first = next(filter(is_alike, plan.duties.due), None)
    return sum(map(is_alike, plan.duties.older)) if first is duty else 0


def _text(plan: Plan, group: DutyGroup) -> str:
    duty, count = group.first, len(group.duties)
    # How far off it is would change the text, and with it the entry, every day.
    said = say_due(duty, plan.as_of)
    when = said if duty.is_careful else said.partition(", ")[0]
    about = duty.about if count == 1 else f"{duty.about}, and {count - 1} more that day"
    lines = [
        f"{when[:1].upper()}{when[1:]}, for {group.about if group.is_run else about}",
        *(line for one in _split(group) for line in _settle(one, plan)),
        say_what(duty),
        say_hours_unknown(duty),
        say_source(duty),
        say_left_out(_count_older(plan, duty)),
        *plan.reviews,
        CAUTION,
    ]
    return "\n".join(line for line in lines if line)


def _split(group: DutyGroup) -> tuple[DutyGroup, ...]:
    """Split a group by what settles its duties: each has a record, none, or one of some hours."""
    parts: dict[tuple[object, ...], list[DueDuty]] = {}
    for one in group.duties:
        parts.setdefault((one.record is None, one.lacks, one.bare), []).append(one)
    if len(parts) == 1:
        return (group,)
    return tuple(
        DutyGroup(duties=tuple(found), is_run=group.is_run and len(found) > 1)
        for found in parts.values()
    )


def _settle(group: DutyGroup, plan: Plan) -> Iterator[str]:
    ticking = say_ticking(group, plan.duties.due)
    yield from filter(None, (say_group_lacks(group),))
    yield f"{ticking[:1].upper()}{ticking[1:]}"
