"""Which closures of field and vehicle stand in the way when everybody could go to town at once."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

from compliance.engine.plan_model import Plan
from compliance.engine.trip_no_day import KEEPING_HOME, list_kept_home
from compliance.facts.model import Closure, Operation
from compliance.facts.places import find_place_kind
from compliance.rules.model import StepKind


def keep_harmless(
    free: Operation,
    closures: tuple[Closure, ...],
    compute: Callable[[Operation], Plan],
    find_first: Callable[[Plan], date],
) -> Operation:
    """Give an operation without closures of people back those that are not in the way.

    *free* has none of them; *compute* plans an operation, *find_first* reads the day that matters.
    A closure is in the way when something in town would be done within it, and when that day comes
    later with it, beside those given back before.
    """
    best = compute(free)
    wanted, town = find_first(best), _list_town_days(best)
    for one in closures:
        if one.who not in KEEPING_HOME:
            continue
        trial = replace(free, closures=(*free.closures, one))
        is_met = any(one.first_day <= day <= one.last_day for day in town)
        if not is_met or find_first(compute(trial)) == wanted:
            free = trial
    return free


def name_given_up(before: Operation, after: Operation, last: date) -> str:
    """Say which closures of people an operation no longer has; empty without any.

    *last* is the day up to which they matter.
    """
    gone = tuple(one for one in before.closures if one not in after.closures)
    first = min((one.first_day for one in gone), default=last)
    names = tuple(list_kept_home(replace(before, closures=gone), first, last))
    return f", also while nobody is to leave ({'; '.join(names)})" if names else ""


def _list_town_days(plan: Plan) -> tuple[date, ...]:
    """List the first days of the acts still to do in town."""
    return tuple(
        step.earliest
        for paper in plan.papers
        for step in paper.steps
        if step.kind is StepKind.ACT
        and step.done_on is None
        and find_place_kind(step.row.done_at) is not None
    )
