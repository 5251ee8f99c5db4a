"""Why an act in town has no day in time, and which days would be in time if something changed."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from compliance.base.dates import say_date
from compliance.engine.days import OperationDays
from compliance.engine.network import IN_HAND
from compliance.engine.plan_model import Plan
from compliance.engine.trip_model import NoDay, ShutDay, TownAct
from compliance.engine.trip_tasks import TownTask
from compliance.facts.model import Operation
from compliance.facts.places import PLACE_WORDS, PlaceKind, find_place_days

_MOST_DAYS = 60
_MARGIN = timedelta(days=7)
_NOBODY = {"field": "nobody can leave the field", "vehicle": "nobody can drive"}
KEEPING_HOME = tuple(_NOBODY)


def find_no_day(plan: Plan, task: TownTask, blocked: frozenset[date]) -> NoDay:
    """Say what stands in the way of an act without a day in time.

    Shape: at most the 60 days up to its last one; none when what comes before it is too late, or
    leaves no day.
    """
    ready = _find_ready(plan, task)
    by = _find_limit(plan, task)
    days: list[ShutDay] = []
    if ready <= by:
        first = max(ready, by - timedelta(days=_MOST_DAYS - 1))
        kept = tuple(one for one in plan.operation.closures if one.who not in _NOBODY)
        places = replace(plan.operation, closures=kept)
        calendars = OperationDays(places, first - _MARGIN, by + _MARGIN)
        calendar = calendars.at_place(task.step.calendar, task.step.row.done_at)
        for at in range((by - first).days + 1):
            day = first + timedelta(days=at)
            is_open = calendar.is_open(day.toordinal())
            reason = _find_reason(plan, day, blocked) if is_open else _say_closed(plan, task)
            if reason:
                days.append(ShutDay(on=day, reason=reason, is_place_open=is_open))
    errand = task.errand
    first_day = date.fromordinal(errand.days[0] if errand.days else errand.first)
    act = TownAct(
        paper=task.paper,
        step=task.step,
        kind=task.kind,
        first=first_day,
        by=first_day,
        is_safe=False,
        is_late=True,
    )
    # Of a last day that has gone there is one, the plan's: nobody could have gone after it.
    gone = task.step.last if by < plan.as_of else None
    return NoDay(
        act=act,
        ready=ready,
        by=gone or by,
        shut=tuple(days),
        kept_home=tuple(list_kept_home(plan.operation, ready, first_day)),
        is_past=by < plan.as_of,
    )


def list_kept_home(operation: Operation, first: date, last: date) -> Iterator[str]:
    """Name the closures of some days in which nobody can go to town, with their own days.

    *first* and *last* are inclusive. A closure that lies within another is not named.
    """
    found = [
        one
        for one in operation.closures
        if one.who in _NOBODY and one.last_day >= first and one.first_day <= last
    ]
    for one in found:
        spans = [(other.first_day, other.last_day) for other in found if other is not one]
        if not any(begin <= one.first_day and one.last_day <= end for begin, end in spans):
            why = one.why or _NOBODY[one.who]
            end = f" to {say_date(one.last_day)}" if one.last_day > one.first_day else ""
            yield f"{why}, {say_date(one.first_day)}{end}"


def _find_ready(plan: Plan, task: TownTask) -> date:
    """Give the first day everything before an act can be over."""
    ready = plan.as_of
    names = {f"{task.paper.id}/{name}" for name in task.step.row.after}
    for step in task.paper.steps:
        if step.turn == task.step.turn and (
            step.id in names or step.row.name in task.step.row.after
        ):
            ready = max(ready, step.earliest)
    other = plan.find_paper(task.step.earliest_by.removesuffix(f"/{IN_HAND}"))
    if task.step.earliest_by.endswith(f"/{IN_HAND}") and other is not None:
        ready = max(ready, other.earliest_ready)
    return ready


def _find_limit(plan: Plan, task: TownTask) -> date:
    """Give the last day of an act as if its place were always open."""
    follower = plan.find_step(task.step.bound_by)
    limit = follower.last_start if follower is not None else None
    return limit or task.step.last or plan.as_of


def _find_reason(plan: Plan, day: date, blocked: frozenset[date]) -> str:
    """Say what keeps somebody from going on a day; empty when nothing does."""
    if day in blocked:
        return "given with --no-trip"
    for closure in plan.operation.closures:
        if closure.first_day <= day <= closure.last_day and closure.who in _NOBODY:
            return closure.why or _NOBODY[closure.who]
    return ""


def _say_closed(plan: Plan, task: TownTask) -> str:
    """Say that a place is closed, with its days when they are known."""
    operation, word = plan.operation, PLACE_WORDS[task.kind]
    own = {
        PlaceKind.NOTARY: operation.notary_days,
        PlaceKind.POST_OFFICE: operation.post_office_days,
    }.get(task.kind, find_place_days(operation.places, task.kind))
    days = f" (it is open {', '.join(own)})" if own else ""
    return f"the {word} is closed{days}"
